"""A drill: faults drawn from a number, hidden; tasks one after the other; a diagnosis, marked."""

from collections.abc import Iterable
from typing import Final

import attrs
import numpy as np

from labkit.drills.marking import (
    Marking,
    Read,
    Settling,
    against,
    asked_places,
    mark,
    settle,
)
from labkit.drills.record import PRICES, Price
from labkit.drills.scene import Scene, Value, read_together
from labkit.drills.signature import Placed, pieces, readings, scene_of, telling
from labkit.drills.tasks import TASKS, choices
from labkit.errors import LabkitError, RunError, shown
from labkit.faults import FAULTS, complaints, morning, stocked
from labkit.site import Site
from labkit.sitefile import demo_site

MOST_DRAWS: Final = 200
_DRAW, _READ = 12, 13


@attrs.frozen(kw_only=True)
class Entry:
    """A line of the notebook: a task, where it was done, what was read, and the minutes by then."""

    key: str
    where: str
    values: tuple[Value, ...]
    minutes: float


@attrs.frozen(kw_only=True, eq=False)
class Drill:
    """A faulty line and what is known of it so far; each task gives a new one.

    Attributes
    ----------
    site : Site
        The line as it was built, with its stock.
    number : int
        The learner's own number.
    hidden : tuple of Placed
        What is wrong.
    complaints : tuple of str
        What people on site say.
    scene : Scene
        The faulty line at this moment.
    log : tuple of Entry
        What was read so far.
    wrong : tuple of tuple of str
        Diagnoses that were acted on and were wrong.
    """

    site: Site
    number: int
    hidden: tuple[Placed, ...]
    complaints: tuple[str, ...]
    scene: Scene
    log: tuple[Entry, ...] = ()
    wrong: tuple[tuple[str, ...], ...] = ()

    @property
    def bill(self) -> Price:
        """What the wrong diagnoses have cost so far."""
        acted = [PRICES[key] for keys in self.wrong for key in keys]
        return Price(sum(one.minutes for one in acted), sum(one.dollars for one in acted))

    @property
    def minutes(self) -> float:
        """Minutes spent so far."""
        return self.scene.minutes

    @property
    def clock(self) -> float:
        """Time of day on site [s after midnight]."""
        return self.scene.standing.clock

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """What can be done: (task, trough or an empty name)."""
        return choices(self.site)

    @property
    def suspects(self) -> tuple[str, ...]:
        """Keys of the faults that the site can have."""
        return tuple(key for key, fault in FAULTS.items() if fault.fits(self.site))

    def tried(self, key: str, where: str = "") -> "Drill":
        """Do a task and write down what is read.

        Raises
        ------
        LabkitError
            For a task or a trough that the site has not.
        """
        if (key, where) not in self.choices:
            raise LabkitError(f"{key!r} cannot be done at {where or 'this site'!r}")
        values, after = TASKS[key].do(self.scene, where)
        dice = np.random.default_rng([_READ, self.number, len(self.log)])
        read = read_together(values, dice)
        entry = Entry(key=key, where=where, values=read, minutes=after.minutes)
        return attrs.evolve(self, scene=after, log=(*self.log, entry))

    def places(self, key: str) -> tuple[str, ...]:
        """Give the places between which a diagnosis of a fault must choose; mostly none."""
        return asked_places(self.site, key)

    def mark(self, diagnosis: Iterable[str | tuple[str, str]]) -> Marking:
        """Mark a diagnosis: as many faults as are hidden, each its key, with its place if asked.

        Raises
        ------
        LabkitError
            For another number of faults, one that the site cannot have, a place that is missing, or
            what is neither a fault nor a fault and its place.
        """
        named = dict(map(_named, diagnosis))
        if unknown := sorted(set(named) - set(self.suspects)):
            raise LabkitError(f"the site cannot have {unknown[0]!r}")
        if len(named) != len(self.hidden):
            word = "one fault" if len(self.hidden) == 1 else f"{len(self.hidden)} faults"
            raise LabkitError(f"name {word}")
        for key, where in named.items():
            places = self.places(key)
            if places and where not in places:
                raise LabkitError(f"say where: {key}")
        given = {key: where if self.places(key) else "" for key, where in named.items()}
        return mark(self.site, self.hidden, given, self._read())

    def acted_on(self, diagnosis: Iterable[str | tuple[str, str]]) -> "tuple[Drill, Marking]":
        """Act on a diagnosis: its marking, and the drill with the cost of a wrong one on its bill.

        Raises
        ------
        LabkitError
            As `mark`.
        """
        named = tuple(diagnosis)
        marking = self.mark(named)
        if marking.is_right:
            return self, marking
        keys = tuple(key for key, _ in map(_named, named))
        return attrs.evolve(self, wrong=(*self.wrong, keys)), marking

    def against(self, key: str) -> tuple[int, ...]:
        """Give the places in the log of the readings that rule a single fault out."""
        return against(self.site, [key], self._read())

    def _read(self) -> list[Read]:
        return [((entry.key, entry.where), entry.values) for entry in self.log]

    def settled(self) -> Settling:
        """Find what would have settled it fastest; takes up to a minute, less the next time."""
        return settle(self.site, self.hidden)


def _named(one: object) -> tuple[str, str]:
    """Read one fault of a diagnosis, with its place or an empty name."""
    match one:
        case str():
            return one, ""
        case (str() as key, str() as where):
            return key, where
    rule = "write a fault, or a fault and its place"
    raise LabkitError(f"drill: diagnosis has {shown(one)}; {rule}")


def draw_drill(site: Site | str, number: int, *, faults: int = 1) -> Drill:
    """Draw a drill from a learner's own number: the same number brings the same drill.

    Parameters
    ----------
    site : Site or str
        A sound line, or the name of a demo ranch.
    number : int
        The learner's own number.
    faults : int
        How many faults, 1 or 2.

    Raises
    ------
    LabkitError
        For another number of faults, for a line that the pressure switch does not stop, or if
        nothing fit to be found turns up.
    """
    if faults not in (1, 2):
        raise LabkitError("a drill has 1 or 2 faults")
    built = demo_site(site) if isinstance(site, str) else site
    if built.drive.listens_to == "level sensor":
        raise LabkitError(
            "this line is stopped by its level sensors; the drill is about the switch"
        )
    sound = stocked(built)
    dice = np.random.default_rng([_DRAW, number, faults])
    usual, _ = morning(sound)
    for _ in range(MOST_DRAWS):
        try:
            hidden = _thrown(sound, dice, faults)
            scene = scene_of(sound, hidden)
            trace, _ = morning(scene.site)
        except RunError:  # such a line cannot be met with
            continue
        stopped = scene.stopped_gauge is not None
        said = complaints(trace, usual, is_gauge_stopped=stopped)
        if len(hidden) == faults and said and _both_count(sound, hidden, scene):
            return Drill(site=sound, number=number, hidden=hidden, complaints=said, scene=scene)
    raise LabkitError("no fault was found that shows on this site; take another ranch")


def _thrown(site: Site, dice: np.random.Generator, faults: int) -> tuple[Placed, ...]:
    """Throw some faults; fewer if a later one does not fit the line any more."""
    hidden: list[Placed] = []
    for key in dice.permutation(list(FAULTS))[:faults].tolist():
        fault = FAULTS[key]
        if fault.fits(site):
            size, where = fault.draw(site, dice)
            hidden.append(Placed(key=key, size=size, where=where))
            site = fault.apply(site, size, where)
    return tuple(hidden)


def _both_count(site: Site, hidden: tuple[Placed, ...], scene: Scene) -> bool:
    """Say whether two faults together can be told from each of them alone."""
    if len(hidden) == 1:
        return True
    keys = {one.key for one in hidden}
    done = choices(site)
    values = readings(scene, done)
    return all(
        telling(values, piece)
        for key in keys
        for piece in pieces(site, [key], lambda met, wait: readings(met, done, wait))
    )

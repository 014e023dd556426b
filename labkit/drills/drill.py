"""A drill: faults drawn from a number, hidden; tasks one after the other; a diagnosis, marked."""

from collections.abc import Iterable
from typing import Final, TypeAlias

import attrs
import numpy as np

from labkit.drills.doing import Task
from labkit.drills.marking import (
    Judged,
    Marking,
    Read,
    Settling,
    against,
    asked_places,
    judged,
    mark,
    settle,
)
from labkit.drills.mending import CYCLE, HINT, MOST_OPEN, PAR, Repair, needed
from labkit.drills.scene import Scene, Value, read_together
from labkit.drills.signature import (
    CALLED_BACK,
    PRICES,
    Placed,
    distinguishing_tests,
    pieces,
    readings,
    scene_of,
)
from labkit.drills.tasks import TASKS, choices
from labkit.errors import LabkitError, RunError, shown
from labkit.faults import FAULTS, Price, complaints, morning, stocked
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


Act: TypeAlias = tuple[str, ...]
"""Something that was done, as it is kept: its kind and what it was done to."""


@attrs.frozen(kw_only=True, eq=False)
class Drill:
    """A faulty line and what is known of it so far; each thing done gives a new one."""

    site: Site  # the line as it was built, with its stock
    number: int  # the learner's own number
    hidden: tuple[Placed, ...]  # what is wrong
    complaints: tuple[str, ...]  # what people on site say
    # the line as it was met, and at this moment
    met: Scene
    scene: Scene = attrs.field(default=attrs.Factory(lambda self: self.met, takes_self=True))
    log: tuple[Entry, ...] = ()  # what was read so far
    repairs: tuple[Repair, ...] = ()  # what was repaired so far, good parts included
    # steps that were left out: before which repair (or the proof, an empty name), and which step
    skipped: tuple[tuple[str, str], ...] = ()
    # hints that were asked for; second trips to a line that was handed back with its fault
    hints: int = 0
    trips: int = 0
    is_over: bool = False  # whether the line was handed back good
    # everything that was done, in order, by which `replayed` gets here again
    acts: tuple[Act, ...] = ()

    @property
    def left(self) -> tuple[Placed, ...]:
        """What is still wrong."""
        done = {named for repair in self.repairs for named in repair.faults}
        return tuple(one for one in self.hidden if not _is_among(self.site, one, done))

    @property
    def wrong(self) -> tuple[str, ...]:
        """Good parts that were repaired or replaced."""
        return tuple(key for repair in self.repairs for key in repair.wrong)

    @property
    def bill(self) -> Price:
        """What wrong repairs and second trips have cost so far."""
        acted = [*(PRICES[key] for key in self.wrong), *[CALLED_BACK] * self.trips]
        return Price(sum(one.minutes for one in acted), sum(one.dollars for one in acted))

    @property
    def minutes(self) -> float:
        """Minutes that tests and proofs have taken so far."""
        return self.scene.minutes

    @property
    def on_tests(self) -> float:
        """Minutes that count against par: of the tests, and of the hints."""
        tests = sum(TASKS[one.key].minutes for one in self.log if one.key != CYCLE.key)
        return tests + HINT * self.hints

    @property
    def is_proved(self) -> bool:
        """Whether a full cycle was watched since the last repair."""
        since = self.repairs[-1].read if self.repairs else 0
        return any(one.key == CYCLE.key for one in self.log[since:])

    @property
    def came(self) -> float:
        """When the technician came [s after midnight]."""
        return self.met.standing.clock

    @property
    def clock(self) -> float:
        """Time of day on site [s after midnight]; of repairs nothing is counted."""
        return self.came + 60.0 * self.minutes

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """What can be done: (task, trough or an empty name)."""
        return choices(self.site)

    @property
    def suspects(self) -> tuple[str, ...]:
        """Keys of the faults that the site can have."""
        return tuple(key for key, fault in FAULTS.items() if fault.fits(self.site))

    def tried(self, key: str, where: str = "") -> "Drill":
        """Do a task and write down what is read."""
        if (key, where) not in self.choices:
            raise LabkitError(f"{key!r} cannot be done at {where or 'this site'!r}")
        return self._done(TASKS[key], where, ("test", key, where))

    def proved(self, where: str, steps: Iterable[str] = ()) -> "Drill":
        """Watch one full cycle at a trough, some steps done first."""
        if where not in {trough.name for trough in self.site.troughs}:
            raise LabkitError(f"a cycle cannot be watched at {where!r}")
        done = tuple(steps)
        after = self._done(CYCLE, where, ("proof", where, ",".join(done)))
        return attrs.evolve(after, skipped=(*after.skipped, *self._skipping("", done)))

    def _done(self, task: Task, where: str, act: Act) -> "Drill":
        values, after = task.do(self.scene, where)
        rng = np.random.default_rng([_READ, self.number, len(self.log)])
        read = read_together(values, rng)
        entry = Entry(key=task.key, where=where, values=read, minutes=after.minutes)
        return attrs.evolve(self, scene=after, log=(*self.log, entry), acts=(*self.acts, act))

    def _skipping(self, key: str, done: Iterable[str]) -> list[tuple[str, str]]:
        return [(key, step) for step in sorted(needed(self.site, key).difference(done))]

    def places(self, key: str) -> tuple[str, ...]:
        """Return the places between which a diagnosis of a fault must choose; mostly none."""
        return asked_places(self.site, key)

    def repaired(
        self, diagnosis: Iterable[str | tuple[str, str]], steps: Iterable[str] = ()
    ) -> "Drill":
        """Repair what is taken to be wrong, some steps done first.

        Nothing tells whether it was the right part; the line shows it when it is tested again. A
        line that was repaired is met anew, filled and waiting, as after a morning.
        """
        named = tuple(self._given(diagnosis).items())
        if not 1 <= len(named) <= len(self.hidden):
            word = "one fault" if len(self.hidden) == 1 else f"one fault, or {len(self.hidden)}"
            raise LabkitError(f"name {word}")
        wrong = tuple(
            key for key, at in named
            if not any(_is_among(self.site, one, {(key, at)}) for one in self.left)
        )  # fmt: skip
        done = tuple(steps)
        repair = Repair(faults=named, wrong=wrong, steps=done, read=len(self.log))
        told = "+".join(f"{key}@{where}" for key, where in named)
        missed = [one for key, _ in named for one in self._skipping(key, done)]
        after = attrs.evolve(
            self,
            repairs=(*self.repairs, repair),
            skipped=(*self.skipped, *missed),
            acts=(*self.acts, ("repair", told, ",".join(done))),
        )
        if after.left == self.left:
            return after
        met = attrs.evolve(scene_of(self.site, after.left), minutes=self.minutes)
        return attrs.evolve(after, scene=met)

    def handed_back(self) -> "Drill":
        """Hand the line back: it is over if nothing is wrong any more, else they call again."""
        acts = (*self.acts, ("hand back",))
        if self.left:
            return attrs.evolve(self, trips=self.trips + 1, acts=acts)
        return attrs.evolve(self, is_over=True, acts=acts)

    def hinted(self) -> "Drill":
        """Count a hint."""
        return attrs.evolve(self, hints=self.hints + 1, acts=(*self.acts, ("hint",)))

    def mark(self, diagnosis: Iterable[str | tuple[str, str]]) -> Marking:
        """Mark a diagnosis: as many faults as are hidden, each its key, with its place if asked."""
        given = self._given(diagnosis)
        if len(given) != len(self.hidden):
            word = "one fault" if len(self.hidden) == 1 else f"{len(self.hidden)} faults"
            raise LabkitError(f"name {word}")
        return mark(self.site, self.hidden, given, self._read())

    def _given(self, diagnosis: Iterable[str | tuple[str, str]]) -> dict[str, str]:
        """Return the faults of a diagnosis, each with its place or an empty name."""
        named = dict(map(_named, diagnosis))
        if unknown := sorted(set(named) - set(self.suspects)):
            raise LabkitError(f"the site cannot have {unknown[0]!r}")
        for key, where in named.items():
            places = self.places(key)
            if places and where not in places:
                raise LabkitError(f"say where: {key}")
        return {key: where if self.places(key) else "" for key, where in named.items()}

    def against(self, key: str) -> tuple[int, ...]:
        """Return the places in the log of the readings that rule a single fault out."""
        return against(self.site, [key], self._read())

    def _read(self) -> list[Read]:
        """Return the tests on the line as it was met first: a repair makes it another."""
        mended = [
            one.read for one in self.repairs if set(one.wrong) < {key for key, _ in one.faults}
        ]
        first = self.log[: min(mended, default=len(self.log))]
        return [((one.key, one.where), one.values) for one in first if one.key != CYCLE.key]

    def settled(self) -> Settling:
        """Find what would have settled it fastest; takes seconds, less the next time."""
        return settle(self.site, self.hidden)

    def debriefed(self) -> "Debrief":
        """Look back on a line that was handed back; takes as long as `settled`."""
        told = judged(self.site, self.hidden, [done for done, _ in self._read()])
        return Debrief(drill=self, tests=told.tests, open=told.open, settling=self.settled())


@attrs.frozen(kw_only=True, eq=False)
class Debrief:
    """How a drill went."""

    drill: Drill
    tests: tuple[Judged, ...]  # what each of the learner's tests told
    open: tuple[str, ...]  # other faults that a test could have ruled out, and none did
    settling: Settling  # the cheapest line of evidence

    @property
    def missed(self) -> tuple[str, ...]:
        """What keeps it from counting as found well, by name; empty if it does."""
        drill = self.drill
        if not drill.is_over:
            return ("left",)
        marks = {
            "wrong": bool(drill.wrong or drill.trips),
            "unproved": not drill.is_proved,
            "steps": bool(drill.skipped),
            "luck": len(self.open) > MOST_OPEN,
            "par": drill.on_tests > PAR,
        }
        return tuple(name for name, is_so in marks.items() if is_so)


def replayed(drill: Drill, acts: Iterable[Act]) -> Drill:
    """Do again what was done on an earlier visit."""
    for kind, *what in acts:
        match kind, what:
            case "test", [key, where]:
                drill = drill.tried(key, where)
            case "proof", [where, steps]:
                drill = drill.proved(where, _split(steps, ","))
            case "repair", [named, steps]:
                faults = [one.partition("@")[::2] for one in named.split("+")]
                drill = drill.repaired(faults, _split(steps, ","))
            case "hint", []:
                drill = drill.hinted()
            case "hand back", []:
                drill = drill.handed_back()
            case _:
                raise LabkitError(f"drill: {kind!r} is nothing that can be done")
    return drill


def _split(words: str, mark: str) -> list[str]:
    return [word for word in words.split(mark) if word]


def _is_among(site: Site, placed: Placed, named: Iterable[tuple[str, str]]) -> bool:
    """Whether a fault is one of those named, in its place if that is asked."""
    where = placed.where if asked_places(site, placed.key) else ""
    return (placed.key, where) in set(named)


def _named(one: object) -> tuple[str, str]:
    """Read one fault of a diagnosis, with its place or an empty name."""
    match one:
        case str():
            return one, ""
        case (str() as key, str() as where):
            return key, where
    rule = "write a fault, or a fault and its place"
    raise LabkitError(f"drill: diagnosis has {shown(one)}; {rule}")


def draw_drill(site: Site | str, number: int, *, faults: int = 1, apart: int = 0) -> Drill:
    """Draw a drill from a learner's own number: the same number brings the same drill.

    It hides one fault or two; `apart` is another use of the number, in which it brings another one.
    It raises LabkitError for a line that its switch does not stop, or if nothing fit turns up.
    """
    if faults not in (1, 2):
        raise LabkitError("a drill has 1 or 2 faults")
    built = demo_site(site) if isinstance(site, str) else site
    if built.drive.listens_to == "level sensor":
        raise LabkitError(
            "this line is stopped by its level sensors; the drill is about the switch"
        )
    sound = stocked(built)
    rng = np.random.default_rng([_DRAW, number, faults, *([apart] if apart else [])])
    usual, _ = morning(sound)
    for _ in range(MOST_DRAWS):
        try:
            hidden = _thrown(sound, rng, faults)
            scene = scene_of(sound, hidden)
            trace, _ = morning(scene.site)
        except RunError:  # such a line cannot be met with
            continue
        if trace.is_cut_short:
            continue
        stopped = scene.stopped_gauge is not None
        said = complaints(trace, usual, is_gauge_stopped=stopped)
        if len(hidden) == faults and said and _both_count(sound, hidden, scene):
            return Drill(site=sound, number=number, hidden=hidden, complaints=said, met=scene)
    raise LabkitError("no fault was found that shows on this site; take another ranch")


def _thrown(site: Site, rng: np.random.Generator, faults: int) -> tuple[Placed, ...]:
    """Throw some faults; fewer if a later one does not fit the line any more."""
    hidden: list[Placed] = []
    for key in rng.permutation(list(FAULTS))[:faults].tolist():
        fault = FAULTS[key]
        if fault.fits(site):
            size, where = fault.draw(site, rng)
            hidden.append(Placed(key=key, size=size, where=where))
            site = fault.apply(site, size, where)
    return tuple(hidden)


def _both_count(site: Site, hidden: tuple[Placed, ...], scene: Scene) -> bool:
    """Whether two faults together can be told from each of them alone."""
    if len(hidden) == 1:
        return True
    keys = {one.key for one in hidden}
    done = choices(site)
    values = readings(scene, done)
    return all(
        distinguishing_tests(values, piece)
        for key in keys
        for piece in pieces(site, [key], lambda met, _: readings(met, done))
    )

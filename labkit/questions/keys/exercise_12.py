"""Exercise 12: a coworker's notebook from a faulty line, and which part it was."""

import contextlib
from functools import cache
from typing import Final

import numpy as np

from labkit.drills import (
    TASKS,
    Drill,
    Entry,
    choices,
    distinguishing_tests,
    draw_drill,
    pieces,
    readings,
    scene_of,
)
from labkit.drills.doing import seen
from labkit.drills.family import family_line
from labkit.errors import LabkitError
from labkit.faults import FAULTS, evidence
from labkit.questions import ChoiceQuestion, Question
from labkit.questions.bank import Picked, Value, choice_of
from labkit.questions.draw import draw, learner_number
from labkit.questions.keys import leaking, line, sheet
from labkit.questions.phrase import INCH, Amount, subset
from labkit.site import Site
from labkit.units import si

_NUMBER: Final = 12
_APART: Final = 12
"""Keeps the fault of a number apart from the one that the lesson's drill has for it."""
_OTHERS: Final = 3
_FAR, _TRIES = 1_000_003, 5
"""How far off the number is whose line stands in, and how many are tried."""
_NOTEBOOK: Final = (
    "watch", "contact", "pair", "screw", "lift", "shut in", "open line", "drip", "press", "bucket",
    "look", "power", "tank", "well at rest", "well pumping",
)  # fmt: skip
"""What the coworker did, in this order."""
_LEAST_RISE: Final = 3.0
"""Height of the trough over the gauge from which a story calls it above [m]."""
_FINE: Final = {"volume": "small volume"}


def exercise(learner: int | str) -> sheet.Exercise:
    """Return the exercise for a learner's own number."""
    own = learner_number(learner)
    return sheet.drawn_for(_NUMBER, own, lambda rng: _thrown(rng, own))


def _thrown(rng: np.random.Generator, number: int) -> sheet.Draft:
    """Hide a fault on the number's line, have the coworker look for it, and draw two sums."""
    drill = draw_drill(_line_of(number), number, apart=_APART)
    for key in _NOTEBOOK:
        where = drill.site.troughs[0].name if TASKS[key].is_at_trough else ""
        drill = drill.tried(key, where)
    (hidden,) = drill.hidden
    others = _ruled_out(drill, rng)

    @cache
    def asks() -> tuple[Question, ...]:
        sums = draw(lambda rng: _sums(rng, drill.site), rng, is_good=sheet.are_clear)
        part = _which_part(hidden.key, others, rng)
        return (part, _which_task(drill, others, rng), *sums)

    return sheet.Draft(
        site=drill.site,
        verdict=hidden.key,
        does=lambda: True,
        asks=asks,
        tells=lambda: _told(drill),
    )


def _line_of(number: int) -> Site:
    """Return the number's line; where its own draws bring none that suits, a far number's."""
    for again in range(_TRIES - 1):
        with contextlib.suppress(LabkitError):
            return family_line(number + again * _FAR, suits=_suits).site
    return family_line(number + (_TRIES - 1) * _FAR, suits=_suits).site


def _suits(site: Site) -> bool:
    """Whether a line has what the notebook and the sums need: one trough uphill, and a tank."""
    is_one = len(site.troughs) == 1 and site.pressure_tank is not None
    return is_one and site.elevation(site.troughs[0].name) > _LEAST_RISE


def _ruled_out(drill: Drill, rng: np.random.Generator) -> list[str]:
    """Draw other faults that the notebook rules out, first those that bring a like call."""
    (hidden,) = drill.hidden
    found: list[str] = []
    thrown = rng.permutation([key for key in drill.suspects if key != hidden.key]).tolist()
    for key in sorted(thrown, key=lambda key: not _is_like(drill, key)):
        if drill.against(key):
            found.append(key)
        if len(found) == _OTHERS:
            return found
    raise LabkitError("this number brings a line that cannot be told; take another number")


def _is_like(drill: Drill, key: str) -> bool:
    """Whether a fault brings some of the same complaints."""
    fault, site = FAULTS[key], drill.site
    where = fault.places(site)[0]
    said = evidence(site, fault, fault.size_at(site, where, 0.5), where).complaints
    return not set(said).isdisjoint(drill.complaints)


def _which_part(key: str, others: list[str], rng: np.random.Generator) -> ChoiceQuestion:
    named = {
        name: {"fault": FAULTS[name].name[:1].upper() + FAULTS[name].name[1:]}
        for name in rng.permutation([key, *others]).tolist()
    }
    why = {"about": FAULTS[key].about, "repair": FAULTS[key].repair}
    return choice_of("exercise_12.which_part", "which part", Picked(key, why, options=named), {})


def _which_task(drill: Drill, others: list[str], rng: np.random.Generator) -> ChoiceQuestion:
    """Ask which of four tasks alone would have told the hidden fault from another one."""
    (hidden,), done = drill.hidden, choices(drill.site)
    values = readings(scene_of(drill.site, drill.hidden), done)
    for other in others:
        found = pieces(drill.site, [other], lambda met, _: readings(met, done))
        out = [distinguishing_tests(values, piece) for piece in found]
        every = sorted(frozenset.intersection(*out))
        none = sorted(set(done) - frozenset().union(*out))
        if every and len(none) >= _OTHERS:
            break
    else:
        raise LabkitError("this number brings a line that cannot be told; take another number")
    right = min(every, key=lambda one: TASKS[one[0]].minutes)
    wrong = [none[n] for n in rng.permutation(len(none))[:_OTHERS]]
    shown = [right, *wrong]
    options = {
        _label(shown[n]): {"test": subset(_label(shown[n]), {"inch": INCH})}
        for n in rng.permutation(len(shown)).tolist()
    }
    asked = Picked(_label(right), {"one": hidden.key, "other": other}, options=options)
    return choice_of("exercise_12.which_task", "which test", asked, {})


def _sums(rng: np.random.Generator, site: Site) -> tuple[Question, ...]:
    """Ask for two numbers that a fault finder works in the head."""
    rise, friction = 5 * int(rng.integers(5, 20)), int(rng.integers(4, 9))
    leak = {
        "given_up": f"{rng.integers(8, 20) / 20.0} gal",
        "wait": f"{int(rng.integers(3, 10))} min",
        "refill": f"{5 * int(rng.integers(3, 8))} s",
    }
    return (
        line.at_rest("standing water", site=site, rise=f"{rise} ft", friction=f"{friction} psi"),
        leaking.size_of_leak("size of the leak", **leak),
    )


def _told(drill: Drill) -> dict[str, Value]:
    """Return what the story tells of the line, the call, and the coworker's notebook."""
    lines = [_line(number, entry) for number, entry in enumerate(drill.log, start=1)]
    read = {name: value for _, values in lines for name, value in values.items()}
    switch, tank = drill.site.pressure_switch, drill.site.pressure_tank
    return {
        "way": si(drill.site.troughs[0].pipe.length),
        "low": si(switch.cut_in),
        "high": si(switch.cut_out),
        "air": 0.0 if tank is None else si(tank.precharge),
        "call": " ".join(drill.complaints),
        "log": subset(" ".join(said for said, _ in lines), {**read, "inch": INCH}),
    }


def _line(number: int, entry: Entry) -> tuple[str, dict[str, Amount | str]]:
    """Write one line of the notebook, its amounts named apart from those of other lines."""
    said = TASKS[entry.key].words(entry.values)
    read: dict[str, Amount | str] = {}
    for value in entry.values:
        name = f"r{number}_{value.name}"
        said = said.replace(f"{{{value.name}}}", f"{{{name}}}")
        kind = _FINE.get(value.kind, value.kind)
        read[name] = (
            seen(value.value) if isinstance(value.value, str) else Amount(value.value, kind)
        )
    return f"**({number})** {_label((entry.key, entry.where))}: {said}", read


def _label(done: tuple[str, str]) -> str:
    key, where = done
    return TASKS[key].label.replace("{where}", f"“{where}”")

"""Exercise 12: a colleague's notebook from a faulty line, and which part it was."""

from typing import Final

import numpy as np

from labkit.drills import (
    TASKS,
    Drill,
    Entry,
    choices,
    draw_drill,
    pieces,
    readings,
    scene_of,
    telling,
)
from labkit.drills.family import family_line
from labkit.errors import LabkitError
from labkit.faults import FAULTS, evidence
from labkit.physics.water import air_pressure
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.draw import dice_of, draw, learner_number
from labkit.questions.keys import leaking, line
from labkit.questions.keys.sheet import Exercise, weight_of_water
from labkit.questions.number import NumberQuestion, is_clear
from labkit.questions.phrase import INCH, Amount, Phrase, of_those, phrase
from labkit.site import Site
from labkit.units import quantity, si

_NUMBER: Final = 12
_APART: Final = 12
"""Keeps the fault of a number apart from the one that the lesson's drill has for it."""
_OTHERS: Final = 3
_NOTEBOOK: Final = (
    "watch", "contact", "pair", "screw", "lift", "shut in", "open line", "drip", "press", "bucket",
    "look", "power", "tank", "well at rest", "well pumping",
)  # fmt: skip
"""What the colleague did, in this order."""
_LEAST_RISE: Final = 3.0
"""Height of the trough over the gauge from which a story calls it above [m]."""
_FINE: Final = {"volume": "small volume"}


def exercise(learner: int | str) -> Exercise:
    """Give the exercise for a learner's own number."""
    number = learner_number(learner)
    dice = dice_of(number, exercise=_NUMBER)
    drill = draw_drill(family_line(number, suits=_suits).site, number, apart=_APART)
    for key in _NOTEBOOK:
        drill = drill.tried(key, _place(drill, key))
    (hidden,) = drill.hidden
    others = _ruled_out(drill, dice)
    about_pressure, about_leak = draw(
        lambda thrown: _sums(thrown, drill), dice, is_good=lambda asked: all(map(is_clear, asked))
    )
    return Exercise(
        learner=number,
        site=drill.site,
        story=_story(drill),
        verdict=hidden.key,
        questions=(
            _which_part(hidden.key, others, dice),
            _which_task(drill, others, dice),
            about_pressure,
            about_leak,
        ),
    )


def _suits(site: Site) -> bool:
    """Whether a line has what the notebook and the sums need: one trough uphill, and a tank."""
    is_one = len(site.troughs) == 1 and site.pressure_tank is not None
    return is_one and site.elevation(site.troughs[0].name) > _LEAST_RISE


def _place(drill: Drill, key: str) -> str:
    return drill.site.troughs[0].name if TASKS[key].is_at_trough else ""


def _ruled_out(drill: Drill, dice: np.random.Generator) -> list[str]:
    """Draw other faults that the notebook rules out, first those that bring a like call."""
    (hidden,) = drill.hidden
    found: list[str] = []
    thrown = dice.permutation([key for key in drill.suspects if key != hidden.key]).tolist()
    for key in sorted(thrown, key=lambda key: not _is_like(drill, key)):
        if drill.against(key):
            found.append(key)
        if len(found) == _OTHERS:
            return found
    raise LabkitError("this number brings a line that cannot be told; take another number")


def _is_like(drill: Drill, key: str) -> bool:
    """Say whether a fault brings some of the same complaints."""
    fault, site = FAULTS[key], drill.site
    where = fault.places(site)[0]
    said = evidence(site, fault, fault.size_at(site, where, 0.5), where).complaints
    return not set(said).isdisjoint(drill.complaints)


def _which_part(key: str, others: list[str], dice: np.random.Generator) -> ChoiceQuestion:
    """Ask for the fault."""
    said = phrase("One line of the notebook speaks against that. Ask what it would have read.")
    right = phrase("{about} {repair}", about=FAULTS[key].about, repair=FAULTS[key].repair)
    options = [
        Option(
            words=phrase("{name}.", name=name[:1].upper() + name[1:]),
            said=right if name == key else said,
            is_right=name == key,
            slip="" if name == key else f"{name} for {key}",
        )
        for name in dice.permutation([key, *others]).tolist()
    ]
    return ChoiceQuestion(
        name="which part",
        ask=phrase("**Which of these fits every line of the notebook?**"),
        options=tuple(options),
    )


def _which_task(drill: Drill, others: list[str], dice: np.random.Generator) -> ChoiceQuestion:
    """Ask which of four tasks alone would have told the hidden fault from another one."""
    (hidden,), done = drill.hidden, choices(drill.site)
    values = readings(scene_of(drill.site, drill.hidden), done)
    for other in others:
        found = pieces(drill.site, [other], lambda met, wait: readings(met, done, wait))
        out = [telling(values, piece) for piece in found]
        every = sorted(frozenset.intersection(*out))
        none = sorted(set(done) - frozenset().union(*out))
        if every and len(none) >= _OTHERS:
            break
    else:
        raise LabkitError("this number brings a line that cannot be told; take another number")
    right = min(every, key=lambda one: TASKS[one[0]].minutes)
    wrong = [none[n] for n in dice.permutation(len(none))[:_OTHERS]]
    shown = [right, *wrong]
    return ChoiceQuestion(
        name="which test",
        ask=phrase(
            "Another day, before anything was tried, it could have been *{one}* or *{other}*. "
            "**Which of these, done first, would have told the one from the other?**",
            one=hidden.key,
            other=other,
        ),
        options=tuple(
            Option(
                words=of_those(f"{_label(shown[n])}.", {"inch": INCH}),
                said=phrase("With the one it reads otherwise than with the other.")
                if n == 0
                else phrase("That can read the same with both. Where do the two differ?"),
                is_right=n == 0,
            )
            for n in dice.permutation(len(shown)).tolist()
        ),
    )


def _sums(dice: np.random.Generator, drill: Drill) -> tuple[NumberQuestion, NumberQuestion]:
    """Ask for two numbers that a fault finder works in the head."""
    site = drill.site
    return (
        line.at_rest(
            "standing water",
            rise=_si(f"{5 * int(dice.integers(5, 20))} ft", "ft"),
            weight=weight_of_water(site),
            friction=_si(f"{int(dice.integers(4, 9))} psi", "psi"),
            air=air_pressure(si(site.place.elevation)),
        ),
        leaking.size_of_leak(
            "size of the leak",
            given_up=f"{dice.integers(8, 20) / 20.0} gal",
            wait=f"{int(dice.integers(3, 10))} min",
            refill=f"{5 * int(dice.integers(3, 8))} s",
        ),
    )


def _story(drill: Drill) -> Phrase:
    """Tell the line, the call, and the colleague's notebook."""
    site = drill.site
    words = [
        "A solar pump fills one trough, {rise} above the gauge, at the end of {way} of pipe. The "
        "water stands {lift} down in the well. The switch is meant to cut in at {low} and out at "
        "{high}; the tank's air is meant to be {air}. **The call:** "
        + " ".join(drill.complaints)
        + " **A colleague's notebook**, one fault, nothing changed in between:"
    ]
    trough, switch, tank = site.troughs[0], site.pressure_switch, site.pressure_tank
    amounts: dict[str, Amount | str] = {
        "rise": Amount(si(trough.pipe.rise), "length"),
        "way": Amount(si(trough.pipe.length), "length"),
        "lift": Amount(si(site.well.static_level), "length"),
        "low": Amount(si(switch.cut_in), "pressure"),
        "high": Amount(si(switch.cut_out), "pressure"),
        "air": Amount(0.0 if tank is None else si(tank.precharge), "pressure"),
    }
    for number, entry in enumerate(drill.log, start=1):
        said, read = _line(number, entry)
        words.append(said)
        amounts.update(read)
    return of_those(" ".join(words), {**amounts, "inch": INCH})


def _line(number: int, entry: Entry) -> tuple[str, dict[str, Amount | str]]:
    """Write one line of the notebook, its amounts named apart from those of other lines."""
    said = TASKS[entry.key].words(entry.values)
    read: dict[str, Amount | str] = {}
    for value in entry.values:
        name = f"r{number}_{value.name}"
        said = said.replace(f"{{{value.name}}}", f"{{{name}}}")
        kind = _FINE.get(value.kind, value.kind)
        read[name] = value.value if isinstance(value.value, str) else Amount(value.value, kind)
    return f"**({number})** {_label((entry.key, entry.where))}: {said}", read


def _label(done: tuple[str, str]) -> str:
    key, where = done
    return TASKS[key].label.replace("{where}", f"“{where}”")


def _si(typed: str, like: str) -> float:
    return si(quantity(typed, like))

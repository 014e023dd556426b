"""Lesson 12: which part is it? Questions on readings, decided by lines that are simulated."""

from functools import cache
from typing import Final

from labkit.drills import Placed, Value, scene_of
from labkit.drills.tasks import TASKS
from labkit.faults import FAULTS, stocked
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import leaking
from labkit.questions.number import COUNT, NumberQuestion
from labkit.questions.phrase import phrase
from labkit.site import Site

LOSERS: Final = ("bad check valve", "buried leak", "worn float seat", "waterlogged tank")
"""Four faults behind the same call: the pump comes on again and again."""
FALLS: Final = 20e3
"""A fall of the gauge in ten minutes that nobody overlooks [Pa]."""


@cache
def read(site: Site, key: str, task: str) -> dict[str, Value]:
    """Give what a task reads on a site with one of the faults, at its middling size."""
    sound, fault = stocked(site), FAULTS[key]
    where = fault.places(sound)[0]
    placed = Placed(key=key, size=fault.size_at(sound, where, 0.5), where=where)
    at = sound.troughs[0].name if TASKS[task].is_at_trough else ""
    values, _ = TASKS[task].do(scene_of(sound, [placed]), at)
    return {value.name: value for value in values}


def fall(site: Site, key: str, task: str) -> float:
    """Give how far the gauge falls in ten minutes, valve shut or open [Pa]."""
    value = read(site, key, task)["fall"].value
    return 0.0 if isinstance(value, str) else value


def who_falls_shut_in(site: Site) -> ChoiceQuestion:
    """Ask, before the drill, whose gauge falls with the valve shut; the simulation decides."""
    falls = [key for key in LOSERS if fall(site, key, "shut in") > FALLS]
    (right,) = falls
    said = phrase("It was not.")
    return ChoiceQuestion(
        name="gauge falls behind a shut valve",
        ask=phrase(
            "The call: the pump comes on again and again, though no stock drink. You switch the "
            "drive off, shut the valve where the line leaves the manifold, and watch the gauge. It "
            "falls. **Which part is it?**"
        ),
        options=tuple(
            Option(words=phrase(f"The {key}."), said=said, is_right=key == right) for key in LOSERS
        ),
    )


def how_many_fall_open(site: Site) -> NumberQuestion:
    """Ask how many of the four let the gauge fall with the valve open; the simulation decides."""
    count = sum(fall(site, key, "open line") > FALLS for key in LOSERS)
    return NumberQuestion(
        name="faults that show with the valve open",
        label="How many of the four",
        ask=phrase(
            "Now you open the valve again, the drive still off, and lift the float by hand. Four "
            "suspects: bad check valve, buried leak, worn float seat, waterlogged tank. **With how "
            "many of the four does the gauge fall?** Give a whole number."
        ),
        answer=float(count),
        kind=COUNT,
        hints=(phrase("Ask of each: where could water get away?"),),
        reason=phrase("Three of them let water get away. A tank without air only holds little."),
    )


def checks() -> tuple[ChoiceQuestion | NumberQuestion, ...]:
    """Give the questions at the end of the lesson."""
    leak = leaking.size_of_leak("leak size", given_up="0.9 gal", wait="5 min", refill="25 s")
    return _holds_shut_falls_open(), _closed_here_open_there(), leak


def _holds_shut_falls_open() -> ChoiceQuestion:
    return ChoiceQuestion(
        name="holds shut in, falls open",
        ask=phrase(
            "Drive off. With the valve at the manifold shut, the gauge holds. With the valve open "
            "and the float lifted, it falls. You walk to the trough: with the float lifted, not a "
            "drop comes. **Which part is it?**"
        ),
        options=(
            Option(
                words=phrase("The check valve"),
                said=phrase(
                    "A bad check valve sits on the well's side of the valve: it would let the "
                    "gauge fall with the valve shut as well."
                ),
                slip="check-valve leak",
            ),
            Option(
                words=phrase("The float valve's seat"),
                said=phrase("A worn seat drips into the trough with the float lifted. It did not."),
                slip="float leak",
            ),
            Option(
                words=phrase("A leak in the buried line"),
                said=phrase(
                    "Water gets away between the valve at the manifold and the float. What is left "
                    "is the pipe in the ground."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("The tank"),
                said=phrase("A tank without air lets no water away. The gauge falls here."),
                slip="tank for leak",
            ),
        ),
    )


def _closed_here_open_there() -> ChoiceQuestion:
    return ChoiceQuestion(
        name="closed at the switch, open at the controller",
        ask=phrase(
            "The pump does not stop. The gauge is far over the cut-out. You take the pair off the "
            "switch: its contact is closed. At the controller the pair reads open. **What is it?**"
        ),
        options=(
            Option(
                words=phrase("The switch's nipple is plugged"),
                said=phrase("Then the switch would not have tripped. Its contact has moved."),
            ),
            Option(
                words=phrase("A wire of the pair is cut"),
                said=phrase(
                    "At the controller a cut wire and an open contact look alike. Metered at both "
                    "ends they do not."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("The two wires touch"),
                said=phrase("Wires that touch read closed at the controller, whatever the switch."),
                slip="cut for shorted",
            ),
            Option(
                words=phrase("The cut-out is set too high"),
                said=phrase("The contact is closed, so the switch has tripped. Where is it lost?"),
            ),
        ),
    )

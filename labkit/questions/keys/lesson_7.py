"""Lesson 7: a small tank buys time."""

from typing import TYPE_CHECKING

from labkit.physics.water import air_pressure
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import leaking, tank
from labkit.questions.keys.sheet import plain_si
from labkit.questions.number import COUNT, NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import si

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace

ALIKE = 0.03
"""Two losses that differ by less than this share are the same."""


def starts(small: "Trace", big: "Trace") -> NumberQuestion:
    """Ask, before the run, how often the pump starts with a bigger tank; the runs decide."""
    volumes = [si(one.site.pressure_tank.volume) for one in (small, big) if one.site.pressure_tank]
    before, after = (one.measures().starts for one in (small, big))
    return NumberQuestion(
        name="starts with the bigger tank",
        label="Starts in the hour",
        ask=phrase(
            "With its tank of {small} and this leak the pump starts {before} times in an hour. Now "
            "you put in one of {big}, charged the same. **How many times will it start in the "
            "hour, the start at noon counted?** Give a whole number.",
            small=(volumes[0], "volume"),
            big=(volumes[1], "volume"),
            before=(before, "count"),
        ),
        answer=float(after),
        kind=COUNT,
        slips=(
            Slip(
                name="unchanged",
                values=(float(before),),
                hint=phrase("It starts less often."),
            ),
        ),
        hints=(phrase("How much longer does the water of the bigger tank last?"),),
        reason=phrase(
            "About as many times fewer as the tank is bigger; the pipe gives a little, too."
        ),
    )


def lost(small: "Trace", big: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the bigger tank does to the leak's loss; the runs decide."""
    before, after = (one.measures().leaked for one in (small, big))
    same = abs(after - before) < ALIKE * before
    return ChoiceQuestion(
        name="water lost with the bigger tank",
        ask=phrase(
            "And the water that the leak takes in that hour: **what will the tank do to it?**"
        ),
        options=(
            Option(
                words=phrase("Less is lost, for the pump runs less often."),
                said=phrase("It was not less."),
                is_right=not same and after < before,
            ),
            Option(
                words=phrase("As much is lost as before."),
                said=phrase("It was the same."),
                is_right=same,
            ),
            Option(
                words=phrase("More is lost, for there is more water to lose."),
                said=phrase("It was not more."),
                is_right=not same and after > before,
            ),
        ),
    )


def differential(narrow: "Trace", wide: "Trace") -> ChoiceQuestion:
    """Ask what was seen: what a tighter differential does; the runs decide."""
    few, many = wide.measures().starts, narrow.measures().starts
    again = phrase(
        "Press Reset, move the slider of the differential down, then up, and read the number of "
        "starts each time."
    )
    return ChoiceQuestion(
        name="a tighter differential",
        ask=phrase(
            "Before you read on: you made the differential tighter. **What did the pump do?**"
        ),
        options=(
            Option(
                words=phrase("It started less often: a tighter switch is a calmer switch."),
                said=again,
                is_right=many < few,
                slip="tighter differential stops cycling",
            ),
            Option(
                words=phrase("It started as often as before."), said=again, is_right=many == few
            ),
            Option(
                words=phrase("It started more often."),
                said=phrase(
                    "Yes: between two points that lie close together the tank gives less water, "
                    "and the leak has it sooner."
                ),
                is_right=many > few,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 6."""
    return (
        tank.precharge("precharge", cut_in=plain_si(20, "psi"), cut_out=plain_si(40, "psi")),
        tank.drawdown(
            "water a tank gives",
            volume=plain_si(20, "gal"),
            cut_in=plain_si(25, "psi"),
            cut_out=plain_si(45, "psi"),
            air=air_pressure(si(site.place.elevation)),
        ),
        tank.cures("a tank against a leak"),
        leaking.size_of_leak(
            "size of the leak, again", given_up="2.4 gal", wait="12 min", refill="45 s"
        ),
    )

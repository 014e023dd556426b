"""The ways to send the stop signal; used by lesson and exercise 13."""

from typing import Final

from labkit.catalogue import wire_gauges
from labkit.questions.bank import Length, Picked, Worked, Wrong, choice, number
from labkit.units.customary import FOOT

ROLL: Final = 500 * FOOT  # a roll of pair [m] (common practice)

DOUBLING: Final = 6
"""What each doubling of the distance takes in free space [dB]: 20 log10(2), ITU-R P.525."""

WAYS: Final = ("pressure", "wire", "radio")


@number
def loop_ohms(*, gauge: str, distance: Length) -> Worked:
    """Return what a meter shows across a pair [m one way], contact closed."""
    each = wire_gauges()[gauge]
    answer = 2.0 * distance * each
    steps = (2.0 * distance / unit * each * ROLL for unit in (FOOT, 1.0))
    return Worked(
        answer,
        {"one way only": answer / 2.0, "rolls forgotten": Wrong(*steps)},
        {"ohms": each * ROLL, "roll": ROLL},
    )


@number
def same_price(*, wire: int, roll: int, radio: int) -> Worked:
    """Return the distance at which wire and radio cost the same; prices in US dollars."""
    rolls = (radio - wire) / roll
    prices = {"wire_price": wire, "roll_price": roll, "radio_price": radio}
    return Worked(
        rolls * ROLL,
        {
            "sensor forgotten": radio / roll * ROLL,
            "added for took off": (radio + wire) / roll * ROLL,
            "rolls for distance": Wrong(rolls * FOOT, rolls),
        },
        {"length": ROLL, **{name: f"${price:,}" for name, price in prices.items()}},
    )


@number
def decibels_left(*, left: int, near: Length) -> Worked:
    """Return what a radio has left over [dB] at four times the distance [m]."""
    taken = 2 * DOUBLING
    return Worked(
        float(left - taken),
        {"one doubling for two": float(left - DOUBLING), "decibels divided": float(left // 4)},
        {"far": 4.0 * near, "left_over": str(left), "each": str(DOUBLING), "taken": str(taken)},
    )


@choice
def wire_cut(*, stop_when: str, outcome: str) -> Picked:  # noqa: ARG001
    """Pick what a pump does when its pair is cut, as the run found it."""
    return Picked(outcome)


@choice
def cheapest(*, works: dict[str, bool], costs: dict[str, float]) -> Picked:
    """Pick the cheapest of the ways that work on a line, from what each costs [US dollars]."""
    best = min((way for way in WAYS if works[way]), key=lambda way: costs[way])
    return Picked(
        best,
        hints={way: "dearer" if works[way] else way for way in WAYS},
        slips={way: f"{way} taken, {'dearer' if works[way] else 'does not work'}" for way in WAYS},
    )

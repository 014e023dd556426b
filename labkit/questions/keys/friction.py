"""What moving water costs."""

from typing import Final

from labkit.questions.bank import (
    Flow,
    Length,
    Picked,
    Pressure,
    Time,
    Value,
    Volume,
    Worked,
    Wrong,
    choice,
    number,
    words_of,
)
from labkit.questions.keys import slips
from labkit.units.customary import GALLON, GPM, MINUTE

HUNDRED_FEET: Final = 30.48  # 100 ft [m], the length for which tables give friction loss

TWICE: Final = 3.5
"""What twice the flow does to friction: 2 to the power 1.75 is 3.4 (Blasius 1913, smooth pipe),
2 to the power 1.85 is 3.6 (Hazen-Williams)."""


@number
def along(*, per_hundred: Pressure, length: Length, size: str) -> Worked:  # noqa: ARG001
    """Return the friction loss of a pipe [m] from a table's figure for 100 ft [Pa]."""
    answer = per_hundred * length / HUNDRED_FEET
    return Worked(
        answer,
        {
            "one hundred feet only": per_hundred,
            "per hundred taken for per foot": Wrong(answer * 100.0, answer * HUNDRED_FEET),
            "divided the wrong way": per_hundred * HUNDRED_FEET / length,
        },
        {"hundred": HUNDRED_FEET, "times": f"{length / HUNDRED_FEET:.4g}"},
    )


@number
def doubled(*, friction: Pressure, flow: Flow) -> Worked:
    """Return the friction loss at twice the flow [Pa, m3/s]."""
    return Worked(
        TWICE * friction,
        {
            "friction in proportion to flow": 2.0 * friction,
            "friction unchanged": friction,
            "rule used twice": 2.0 * TWICE * friction,
        },
        {"times": f"{TWICE:g}", "double": 2.0 * flow},
    )


@choice
def smallest_pipe(
    *, gauges: dict[str, Pressure], found: str, rest: Pressure, cut_out: Pressure
) -> Picked:
    """Pick the smallest pipe with which the trough fills without a stop.

    `gauges` are four sizes, small to large, with their friction loss [Pa], and `found` the one
    asked about before. `rest` is what rise and float valve take [Pa].
    """
    fits = {size: friction + rest < cut_out for size, friction in gauges.items()}
    right = next(size for size, does in fits.items() if does)
    more: dict[str, Value] = {"friction": gauges[right], "gauge": gauges[right] + rest}
    for place, (size, friction) in enumerate(gauges.items()):
        told = words_of("friction.smallest_pipe", "found") if size == found else friction
        more |= {f"f{place}": told, f"s{place}": size}
    return Picked(
        right,
        more,
        options={size: {"chosen": size} for size in gauges},
        hints={size: "large" if does else "small" for size, does in fits.items()},
    )


@number
def bucket(*, volume: Volume, seconds: Time) -> Worked:
    """Return a flow from a bucket [m3] and a watch [s]."""
    answer = volume / seconds
    upside = (
        seconds / (volume / GALLON) * GPM,
        seconds / (volume / slips.LITER) * slips.LITER / MINUTE,
    )
    return Worked(
        answer, {"seconds taken for minutes": answer / MINUTE, "watch over bucket": Wrong(*upside)}
    )

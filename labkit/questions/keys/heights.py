"""Several troughs at different heights."""

from labkit.questions.bank import (
    Flow,
    Length,
    Pressure,
    Value,
    Volume,
    Worked,
    Wrong,
    number,
    words_of,
)
from labkit.questions.keys import slips
from labkit.units.customary import FOOT, PSI


@number
def lowest_cut_in(*, heights: dict[str, Length], weight: float) -> Worked:
    """Return how low the gauge can fall where the highest of three troughs [m] alone calls."""
    low, middle, high = sorted(heights.values())
    return Worked(
        weight * high,
        {
            "another trough's column": Wrong(weight * middle),
            "counted from the lowest": Wrong(weight * (high - low)),
        }
        | slips.upside_down(high, weight)
        | slips.height_as_pressure(high, weight),
        {"high": high, **_named("lowest_cut_in", heights)},
    )


def _named(question: str, heights: dict[str, float]) -> dict[str, Value]:
    """Return names, heights and sides of troughs for a sentence, in their order."""
    more: dict[str, Value] = {}
    for place, (trough, height) in enumerate(heights.items()):
        side = words_of(f"heights.{question}", "above" if height >= 0.0 else "below")
        more |= {f"trough_{place}": trough, f"height_{place}": abs(height), f"side_{place}": side}
    return more


@number
def hill_between(*, trough: Length, crest: Length, weight: float) -> Worked:
    """Return how low the gauge can fall behind a hill: heights above the gauge [m], [N/m3]."""
    return Worked(
        weight * crest,
        {
            "counted to the trough": Wrong(weight * trough),
            "from the trough to the crest": Wrong(weight * (crest - trough)),
            "added the two": Wrong(weight * (crest + trough)),
        }
        | slips.upside_down(crest, weight)
        | slips.height_as_pressure(crest, weight),
    )


@number
def low_float_holds(*, drop: Length, cut_out: Pressure, weight: float) -> Worked:
    """Return what the float valve of a trough below the gauge must hold [m, Pa, N/m3]."""
    more = weight * drop
    as_number = cut_out + drop / FOOT * PSI  # in metric it is lost in rounding
    return Worked(
        cut_out + more,
        {
            "took off for downhill": cut_out - more,
            "same pressure everywhere": cut_out,
            "forgot the gauge": more,
            "height read as pressure": Wrong(as_number, height=drop),
        },
        {"more": more},
    )


@number
def how_many(*, heights: dict[str, Length], gauge: Pressure, weight: float) -> Worked:
    """Return how many of three troughs [m] can get any water at a reading of the gauge [Pa]."""
    reached = [height * weight < gauge for height in heights.values()]
    more = {"climb": gauge / weight, **_named("how_many", heights)}
    return Worked(float(sum(reached)), more=more)


@number
def first_water(*, missing: Volume, flow: Flow, low: str, high: str) -> Worked:  # noqa: ARG001
    """Return when a high trough gets its first water: when the low one is full [m3, m3/s]."""
    answer = missing / flow
    return Worked(answer, slips.hours_and_minutes(answer) | slips.flow_over_volume(answer))

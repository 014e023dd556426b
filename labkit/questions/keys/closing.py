"""A float valve that closes: the water in its band, water hammer, and the pump's cycles.

Only one formula: a column of water that is stopped jumps by ``density * wave speed * velocity``
(Joukowsky 1898, in heads ``dh = a dv / g``).
"""

from labkit.physics import GRAVITY
from labkit.questions.bank import (
    Length,
    Picked,
    Pressure,
    Velocity,
    Volume,
    Worked,
    Wrong,
    choice,
    number,
)
from labkit.questions.keys import slips


@number
def water_in_band(*, volume: Volume, depth: Length, band: Length) -> Worked:
    """Return how much water a trough takes while its float valve closes [m3, m, m]."""
    answer = volume * band / depth
    return Worked(
        answer,
        {
            "the whole trough": volume,
            "all but the band": volume - answer,
            "depth over band": volume * depth / band,
        },
    )


@number
def jump(*, velocity: Velocity, wave_speed: Velocity, weight: float) -> Worked:
    """Return the spike where moving water is stopped at once [m/s, m/s, N/m3]."""
    height = wave_speed * velocity / GRAVITY
    return Worked(
        weight * height,
        slips.height_as_pressure(height, weight) | slips.upside_down(height, weight),
        {"height": height, "gravity": GRAVITY},
    )


@number
def one_round_trip(*, length: Length, wave_speed: Velocity) -> Worked:
    """Return within what time a closing makes the whole spike [m, m/s]."""
    answer = 2.0 * length / wave_speed
    return Worked(
        answer,
        {"one way only": answer / 2.0, "speed over way": Wrong(1.0 / answer, 2.0 / answer)},
        {"both": 2.0 * length},
    )


@number
def margin(*, before: Pressure, jumped: Pressure, rating: Pressure) -> Worked:
    """Return what is left of a pipe's rating at the peak [Pa]."""
    return Worked(
        rating - before - jumped,
        {
            "forgot what was there before": rating - jumped,
            "forgot the jump": rating - before,
            "the peak itself": before + jumped,
        },
        {"peak": before + jumped},
    )


@choice
def rounds(*, stops: int, quiet_after: bool, since_shut: int = 0) -> Picked:
    """Pick what cycles of the pump mean, from its stops and its restarts since the float closed."""
    right, count = ("normal", stops) if quiet_after else ("leak", since_shut)
    return Picked(right, {"count": count}, case=right)

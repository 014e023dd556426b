"""What a pump can do: its head at less speed, its power, and a cut-out within its reach."""

from typing import Final

from labkit.questions.bank import Irradiance, Length, Power, Pressure, Share, Worked, Wrong, number
from labkit.questions.keys import slips
from labkit.units.customary import FOOT, PSI

FULL_SUN: Final = 1000.0  # sun in which panels are rated [W/m2] (IEC 60904-3)


@number
def at_speed(*, shut_off: Length, lift: Length, speed: Share, weight: float) -> Worked:
    """Return how far the gauge climbs where the sun lets the pump turn at part of its full speed.

    Shutoff head and lift in m; the speed is a share of full speed.
    """
    share = speed * speed
    left = share * shut_off
    return Worked(
        weight * (left - lift),
        {
            "head in proportion to speed": Wrong(weight * (speed * shut_off - lift)),
            "forgot the lift": Wrong(weight * left),
            "full speed in haze": Wrong(weight * (shut_off - lift)),
            "lift shrunk too": Wrong(weight * share * (shut_off - lift)),
        }
        | slips.height_as_pressure(left - lift, weight),
        {"share": share, "left": left},
    )


@number
def delivered(*, rated: Power, sun: Irradiance, kept: Share) -> Worked:
    """Return the power at the pump's shaft: nameplates [W], sun [W/m2], share that losses leave."""
    share = sun / FULL_SUN
    at_sun = rated * share
    return Worked(
        at_sun * kept,
        {
            "roof-rated for delivered": rated,
            "losses forgotten": at_sun,
            "sun forgotten": rated * kept,
            "lost for left": at_sun * (1.0 - kept),
        },
        {"full": FULL_SUN, "share": share, "at_sun": at_sun},
    )


@number
def after_drop(*, dead_head: Pressure, drop: Length, weight: float, lift: Length) -> Worked:
    """Return the highest gauge [Pa] once the water in the well has dropped [m]."""
    less = weight * drop
    answer = dead_head - less
    as_number = (dead_head - drop / FOOT * PSI, dead_head - drop * slips.KILOPASCAL)
    return Worked(
        answer,
        {
            "added the drop": dead_head + less,
            "height read as pressure": Wrong(*as_number),
            "the drop alone": less,
            "whole lift": answer - weight * lift,
        },
        {"less": less},
    )


@number
def with_margin(*, in_haze: Pressure, in_clear: Pressure, margin: Share) -> Worked:
    """Return a cut-out [Pa] that lies a share below what the pump reaches on the harder day."""
    kept = 1.0 - margin
    return Worked(
        kept * in_haze,
        {
            "took the clear day": kept * in_clear,
            "margin added": (1.0 + margin) * in_haze,
            "no margin": in_haze,
            "margin alone": margin * in_haze,
        },
        {"kept": kept},
    )

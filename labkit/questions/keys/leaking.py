"""The size of a leak, from how long the pump stays off."""

from labkit.questions.bank import Worked, Wrong, number
from labkit.questions.keys.slips import DAY, GALLON, LITER, MINUTE
from labkit.units import quantity, si


@number
def size_of_leak(*, given_up: str = "0.6 gal", wait: str = "4 min", refill: str = "20 s") -> Worked:
    """Return the flow of a leak.

    Parameters
    ----------
    given_up : str
        Water that tank and line give from cut-out to cut-in.
    wait, refill : str
        How long the pump stays off, and how long it runs each time, told to lead astray.
    """
    water, off, on = (
        si(quantity(typed, like))
        for typed, like in ((given_up, "gal"), (wait, "min"), (refill, "s"))
    )
    answer = water / off
    upside = (off / MINUTE / (water / size) * size / MINUTE for size in (GALLON, LITER))
    return Worked(
        answer,
        {
            "per run instead of per wait": water / on,
            "per hour": answer * 60.0,
            "time over water": Wrong(*upside),
        },
        {"water": water, "off": off, "on": on, "day": answer * DAY},
    )

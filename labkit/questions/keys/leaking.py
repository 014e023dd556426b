"""The size of a leak, from how long the pump stays off."""

from labkit.questions.bank import Time, Volume, Worked, Wrong, number
from labkit.questions.keys.slips import LITER
from labkit.units.customary import DAY, GALLON, MINUTE


@number
def size_of_leak(*, given_up: Volume, wait: Time, refill: Time = 20.0) -> Worked:
    """Return the flow of a leak from what tank and line give [m3] and how long they last [s].

    How long the pump runs each time is told to lead astray.
    """
    answer = given_up / wait
    upside = (wait / MINUTE / (given_up / size) * size / MINUTE for size in (GALLON, LITER))
    return Worked(
        answer,
        {
            "per run instead of per wait": given_up / refill,
            "per hour": answer * 60.0,
            "time over water": Wrong(*upside),
        },
        {"water": given_up, "off": wait, "on": refill, "day": answer * DAY},
    )

"""A closed line that loses water: which part, how far the gauge falls, how often it starts."""

from typing import Final, Self

import attrs

from labkit.advice.leak_down import CHECK, FLOAT, LINE, at_stop, fall, with_single_leak
from labkit.engine.standing import go_on
from labkit.questions.bank import (
    Flow,
    Length,
    Picked,
    Pressure,
    Time,
    Worked,
    Wrong,
    choice,
    number,
)
from labkit.questions.keys import slips
from labkit.site import Site
from labkit.units.customary import DAY, HOUR

SEEN: Final = 5e3  # a fall of the gauge that nobody overlooks [Pa]
DRIPS: Final = 4e-7  # a trickle that nobody overlooks [m3/s]


@attrs.frozen(kw_only=True)
class Readings:
    """What a technician reads on a line that loses water, the controller off."""

    minutes: float  # how long the gauge is watched each time [min]
    # how far it falls in that time, line shutoff valve closed and open [Pa]
    shut: float
    opened: float
    drip: float  # what comes past the float valve, lifted by hand, at first [m3/s]

    @classmethod
    def of(cls, site: Site, place: str, size: str, *, sun: str, minutes: float) -> Self:
        """Work a line with one leak of a size as on site."""
        now = at_stop(with_single_leak(site, place, size), sun)
        opened, shut = fall(now, minutes), fall(now, minutes, is_valve_shut=True)
        trace, _ = go_on(now, "10 s", is_drive_off=True)
        return cls(
            minutes=minutes,
            shut=float(shut.pressure[0]) - max(shut.at(60.0 * minutes), 0.0),
            opened=float(opened.pressure[0]) - max(opened.at(60.0 * minutes), 0.0),
            drip=float(trace.inflow[site.troughs[0].name][-1]),
        )

    @property
    def place(self) -> str:
        """Where the water is lost, as the readings say: there is one leak."""
        if self.shut > SEEN:
            return CHECK
        return FLOAT if self.drip > DRIPS else LINE


@choice
def which_part(seen: Readings) -> Picked:
    """Pick the part that loses the water; the readings, which a run has made, decide."""
    read = {name: getattr(seen, name) for name in ("shut", "opened", "drip")}
    return Picked(seen.place, {**read, "wait": 60.0 * seen.minutes}, case=seen.place)


@number
def where_it_ends(*, rise: Length, weight: float, cut_in: Pressure, air: Pressure) -> Worked:
    """Return the gauge in the morning on a line whose float valve leaks all night, `rise` [m] up.

    Cut-in and the air's pressure are told to lead astray [Pa].
    """
    answer = weight * rise
    return Worked(
        answer,
        {"falls to nothing": Wrong(0.0), "cut-in for column": Wrong(cut_in)}
        | slips.upside_down(rise, weight)
        | slips.height_as_pressure(rise, weight)
        | slips.air_counted(answer, air),
    )


@number
def starts(*, hours: float, off: Time, on: Time) -> Worked:
    """Return how often a leak starts the pump in some hours of sun; it rests and runs [h, s, s]."""
    seconds, cycle = hours * HOUR, off + on
    return Worked(
        float(round(seconds / cycle)),
        {"rest only": float(round(seconds / off)), "run only": float(round(seconds / on))},
        {"cycle": cycle},
        case="hour" if hours == 1 else "day",
    )


@number
def lost_in_a_day(*, leak: Flow) -> Worked:
    """Return how much a leak [m3/s] takes in a day."""
    answer = leak * DAY
    return Worked(
        answer,
        {
            "an hour for a day": answer / 24.0,
            "hours taken for minutes": answer / 60.0,
            "seconds taken for minutes": answer * 60.0,
        },
    )

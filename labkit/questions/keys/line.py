"""The pressure in a line: at rest, shut in, and where the pump may start."""

from labkit.questions.bank import Length, Pressure, Worked, Wrong, number
from labkit.questions.keys import slips


@number
def at_rest(*, rise: Length, weight: float, friction: Pressure, air: Pressure) -> Worked:
    """Return what a column of water at rest puts on the gauge, `rise` above it [m].

    Friction [Pa] and the air's pressure [Pa absolute] are told to lead astray.
    """
    answer = weight * rise
    return Worked(
        answer,
        slips.upside_down(rise, weight)
        | slips.height_as_pressure(rise, weight)
        | {"friction where nothing flows": Wrong(answer + friction, answer - friction)}
        | slips.air_counted(answer, air),
    )


@number
def dead_head(*, shut_off: Length, lift: Length, rise: Length, weight: float) -> Worked:
    """Return where the gauge goes with every float closed and no stop signal; heights in m."""
    height = shut_off - lift
    return Worked(
        weight * height,
        {
            "forgot the lift": Wrong(weight * shut_off),
            "added the lift": Wrong(weight * (shut_off + lift)),
            "took off the trough": Wrong(weight * (height - rise)),
        }
        | slips.upside_down(height, weight)
        | slips.height_as_pressure(height, weight),
        {"height": height},
    )


@number
def comes_back(*, cut_out: Pressure, differential: Pressure) -> Worked:
    """Return the reading at which the pump may start again [Pa]."""
    return Worked(
        cut_out - differential,
        {
            "cut-out for cut-in": cut_out,
            "differential for cut-in": differential,
            "added the differential": cut_out + differential,
        },
    )

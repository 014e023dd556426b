"""The pressure tank: its air, its drawdown, what it fixes and what it doesn't."""

from labkit.advice.rules import UNDER_CUT_IN
from labkit.questions.bank import Picked, Pressure, Share, Volume, Worked, choice, number


def given_up(volume: float, charge: float, cut_in: float, cut_out: float, air: float) -> float:
    """Return what a tank gives from cut-out down to cut-in, by Boyle's law [m3].

    Pressures are gauge [Pa] but the air's. With no air counted it is the well-known mistake of
    gauge pressures in the tank law.
    """
    return volume * (charge + air) * (1.0 / (cut_in + air) - 1.0 / (cut_out + air))


@number
def drawdown(
    *,
    volume: Volume,
    cut_in: Pressure,
    cut_out: Pressure,
    air: Pressure,
    is_charge_told: bool = True,
) -> Worked:
    """Return what a rightly charged tank gives between the points of the switch, as `given_up`."""
    charge = cut_in - UNDER_CUT_IN
    answer = given_up(volume, charge, cut_in, cut_out, air)
    low, high = ((charge + air) / (point + air) for point in (cut_in, cut_out))
    return Worked(
        answer,
        {
            "gauge for absolute pressure": given_up(volume, charge, cut_in, cut_out, 0.0),
            "all that it holds": volume * (1.0 - high),
            "the whole tank": volume,
            "air for water": volume * high,
        },
        {"charge": charge, "low": low, "high": high, "share": round(answer / volume, 3)},
        case="told" if is_charge_told else "found",
    )


@number
def precharge(*, cut_in: Pressure, cut_out: Pressure) -> Worked:
    """Return the precharge of a tank [Pa]."""
    return Worked(
        cut_in - UNDER_CUT_IN,
        {"cut-out for cut-in": cut_out - UNDER_CUT_IN, "over for under": cut_in + UNDER_CUT_IN},
        {"under": UNDER_CUT_IN},
    )


@number
def size_for(*, wanted: Volume, share: Share) -> Worked:
    """Return the tank that gives a wanted volume [m3], by a table's share [-]."""
    return Worked(
        wanted / share,
        {"multiplied for divided": wanted * share, "tank as big as its water": wanted},
    )


@choice
def enough(*, limit: int, verdict: str) -> Picked:  # noqa: ARG001
    """Pick whether a line keeps within the starts its motor is allowed; the run has found it."""
    return Picked(verdict)

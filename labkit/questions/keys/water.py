"""Volumes and times."""

from labkit.questions.bank import Flow, Volume, Worked, Wrong, number
from labkit.questions.keys import slips


@number
def refill(*, head: int, each: Volume, flow: Flow) -> Worked:
    """Return how long a trough takes to fill after so many head have drunk [m3 each, m3/s]."""
    volume = head * each
    answer = volume / flow
    return Worked(
        answer,
        {"one animal only": Wrong(each / flow)}
        | slips.hours_and_minutes(answer)
        | slips.flow_over_volume(answer),
        {"volume": volume},
    )


@number
def time_off(*, given_up: Volume, leak: Flow) -> Worked:
    """Return how long a leak [m3/s] takes to empty what the tank gives between its points [m3]."""
    answer = given_up / leak
    return Worked(answer, slips.hours_and_minutes(answer) | slips.flow_over_volume(answer))

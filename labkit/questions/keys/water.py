"""Questions about volumes and times."""

from labkit.questions.keys import slips
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase


def refill(name: str, *, head: int, each: float, flow: float) -> NumberQuestion:
    """Ask how long a trough takes to fill after a herd has drunk.

    Parameters
    ----------
    name : str
        Name of the question.
    head : int
        How many drank.
    each : float
        What each one drank [m3].
    flow : float
        Flow into the trough [m3/s].
    """
    answer = head * each / flow
    one = phrase("That is the time for one animal's drink. There are {head}.", head=(head, "count"))
    return NumberQuestion(
        name=name,
        label="Time to refill",
        ask=phrase(
            "{head} cows come and drink {each} each, then leave. The pump puts {flow} into the "
            "trough. **How long until the float shuts again, counted from when they have left and "
            "the pump has just started?**",
            head=(head, "count"),
            each=(each, "volume"),
            flow=(flow, "flow"),
        ),
        answer=answer,
        kind="time",
        tolerance=0.03,
        slips=(
            Slip(name="one animal only", values=(each / flow,), hint=one),
            slips.hours_and_minutes(answer),
            slips.flow_over_volume(answer),
        ),
        hints=(
            phrase("How much water is missing from the trough, all cows together?"),
            phrase(
                "{volume} are missing, and {flow} come in.",
                volume=(head * each, "volume"),
                flow=(flow, "flow"),
            ),
        ),
        reason=phrase(
            "{volume} at {flow} take {answer}. If it takes much longer in the field, something "
            "is using up the flow.",
            volume=(head * each, "volume"),
            flow=(flow, "flow"),
            answer=(answer, "time"),
        ),
    )


def time_off(name: str, *, given_up: float, leak: float) -> NumberQuestion:
    """Ask how long a leaking line keeps the pump off, cut-out to cut-in.

    Parameters
    ----------
    name : str
        Name of the question.
    given_up : float
        Water that the tank gives up between the two points [m3].
    leak : float
        What the leak takes on average [m3/s].
    """
    answer = given_up / leak
    return NumberQuestion(
        name=name,
        label="Time from stop to start",
        ask=phrase(
            "The trough is full again and the pump is off. From cut-out down to cut-in the small "
            "tank gives up {water}. A leak in the line takes {leak} on average. "
            "**How long does the pump stay off?**",
            water=(given_up, "small volume"),
            leak=(leak, "small flow"),
        ),
        answer=answer,
        kind="time",
        tolerance=0.03,
        slips=(slips.hours_and_minutes(answer), slips.flow_over_volume(answer)),
        hints=(
            phrase("The pump comes back once the leak has taken all that the tank gives up."),
            phrase(
                "Share {water} out at {leak}.",
                water=(given_up, "small volume"),
                leak=(leak, "small flow"),
            ),
        ),
        reason=phrase(
            "The leak empties {water} in {answer}. A pump that comes back again and again while "
            "no stock drink is telling you that the line loses water.",
            water=(given_up, "small volume"),
            answer=(answer, "time"),
        ),
    )

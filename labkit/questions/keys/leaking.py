"""The size of a leak, from how long the pump stays off."""

from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import quantity, si

MINUTE, GALLON, LITER = 60.0, 3.785411784e-3, 1e-3


def size_of_leak(
    name: str, *, given_up: str = "0.6 gal", wait: str = "4 min", refill: str = "20 s"
) -> NumberQuestion:
    """Ask for the flow of a leak.

    Parameters
    ----------
    name : str
        Name of the question.
    given_up : str
        Water that tank and line give up from cut-out to cut-in.
    wait : str
        How long the pump stays off.
    refill : str
        How long it runs each time, told to lead astray.
    """
    water, off, on = (
        si(quantity(typed, like))
        for typed, like in ((given_up, "gal"), (wait, "min"), (refill, "s"))
    )
    answer = water / off
    return NumberQuestion(
        name=name,
        label="Leak",
        ask=phrase(
            "No stock drinks, yet the pump comes on every few minutes. It stays off for {off}, "
            "then runs for {on}. From cut-out to cut-in, tank and line give up {water}. **How much "
            "gets away, as a flow?**",
            off=(off, "time"),
            on=(on, "time"),
            water=(water, "small volume"),
        ),
        answer=answer,
        kind="flow",
        tolerance=0.03,
        slips=(
            Slip(
                name="per run instead of per wait",
                values=(water / on,),
                hint=phrase(
                    "That shares the water over the time in which the pump refills. When does the "
                    "leak empty the tank?"
                ),
            ),
            Slip(
                name="per hour",
                values=(answer * 60.0,),
                hint=phrase("That is what gets away in an hour. How much is it in a minute?"),
            ),
            Slip(
                name="time over water",
                values=tuple(
                    off / MINUTE / (water / size) * size / MINUTE for size in (GALLON, LITER)
                ),
                hint=phrase(
                    "You divided the wrong way. A flow is water over time, gallons over minutes."
                ),
            ),
        ),
        hints=(
            phrase("While the pump is off, the leak takes what tank and line give up."),
            phrase("{water} get away in {off}.", water=(water, "small volume"), off=(off, "time")),
        ),
        reason=phrase(
            "{water} in {off}. A day of that is {day}.",
            water=(water, "small volume"),
            off=(off, "time"),
            day=(answer * 86_400.0, "volume"),
        ),
    )

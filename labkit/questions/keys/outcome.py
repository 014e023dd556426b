"""What a line does with the switch it has."""

from typing import Final

from labkit.questions.bank import Picked, choice

OUTCOMES: Final = ("sound stop", "no stop", "stuck off")
"""What the line can be found to do, as `labkit.trace` names it."""


@choice
def what_happens(*, verdict: str) -> Picked:
    """Pick what the simulation found."""
    return Picked(verdict)

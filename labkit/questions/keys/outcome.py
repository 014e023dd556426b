"""The question what a line will do with the switch it has."""

from typing import Final

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.phrase import Phrase, phrase

OUTCOMES: Final = ("sound stop", "no stop", "stuck off")
"""What the line can be found to do, as `labkit.trace` names it."""

_WORDS: Final = {
    "sound stop": phrase(
        "It works: it fills the trough, stops when the float shuts, and comes back when stock "
        "drink."
    ),
    "no stop": phrase("It never stops: the float shuts, and the pump pushes on."),
    "stuck off": phrase("It stops once and never comes back, though the trough runs low."),
    "false stop": phrase("It stops while the trough is still filling."),
}
_WHY: Final = {
    "sound stop": phrase(
        "At rest the gauge falls below cut-in; filling, it stays below cut-out; shut, it can climb "
        "past cut-out. All three hold."
    ),
    "no stop": phrase("Shut, the pump cannot climb as far as cut-out, so the switch never trips."),
    "false stop": phrase(
        "Filling, the gauge wants to stand above cut-out, so the switch trips with the float wide "
        "open."
    ),
    "stuck off": phrase(
        "The standing water alone holds the gauge above cut-in, so the switch never resets."
    ),
}
_HINTS: Final = {
    "sound stop": phrase(
        "Three things must hold. At rest the gauge lies below cut-in; filling, below cut-out; "
        "shut, it can climb past cut-out. One of them fails here."
    ),
    "no stop": phrase("Compare the highest the gauge can go with the cut-out."),
    "stuck off": phrase("Compare the gauge at rest with the cut-in."),
    "false stop": phrase("Compare the gauge while it fills with the cut-out."),
}


def what_happens(name: str, *, verdict: str) -> ChoiceQuestion:
    """Ask what the line does; `verdict` is what the simulation found."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "Cattle come and go, and the sun stays strong. **What will this line do with its "
            "switch as it is set?**"
        ),
        options=tuple(_option(outcome, verdict) for outcome in _WORDS),
    )


def _option(outcome: str, verdict: str) -> Option:
    is_right = outcome == verdict
    said: Phrase = _WHY[outcome] if is_right else _HINTS[outcome]
    slip = "" if is_right else f"{outcome} for {verdict}"
    return Option(words=_WORDS[outcome], said=said, is_right=is_right, slip=slip)

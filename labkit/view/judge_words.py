"""What the one judge found, in words: a headline, and one sentence of cause."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from labkit.engine.strain import COUNTED
from labkit.language import say
from labkit.text import Words

if TYPE_CHECKING:
    from labkit.advice.judge import Judgement, Reason

JUDGE: Final = Words("judge")


def headline(verdict: str) -> str:
    """Return the headline of a verdict, such as ``"Good stop"``."""
    return JUDGE[f"headline {verdict}"]


def judged_words(judged: Judgement, units: str) -> str:
    """Return the headline, and the cause of the gravest reason."""
    if not judged.reasons:
        return f"{headline(judged.verdict)}."
    return f"{headline(judged.verdict)}. {cause(judged, judged.reasons[0], units)}"


def cause(judged: Judgement, reason: Reason, units: str) -> str:
    """Return the sentence that tells one reason."""
    key = reason.verdict
    if key == "cycling":
        key = "too often" if (judged.starts or 0) > judged.most_starts else "unasked"
    words = JUDGE.get(f"cause {reason.cause}") or JUDGE[f"run {key}"]
    sun = (
        ""
        if reason.sun is None
        else JUDGE["in sun"].format(sun=say(reason.sun, "irradiance", units))
    )
    said = words.format(
        where=reason.where, sun=sun, starts=starts_words(judged.starts or 0),
        most=f"{judged.most_starts:g}",
    )  # fmt: skip
    return said[:1].upper() + said[1:]


def starts_words(starts: int) -> str:
    """Write the starts within an hour that trials came to; they count no further than so many."""
    return f"{starts}" if starts < COUNTED else f"{COUNTED:,}+"

"""What the one judge found, in words: a headline, and one sentence of cause."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from labkit.view.language import say

if TYPE_CHECKING:
    from labkit.advice.judge import Judgement, Reason

HEADLINES: Final = {
    "sound stop": "Good stop",
    "sucked empty": "Sucked empty",
    "false stop": "Stops too soon",
    "no stop": "Won't stop",
    "stuck off": "Won't restart",
    "cycling": "Short-cycles",
    "safety stop": "Locked out",
    "over pressure": "Too much pressure",
    "still filling": "Still filling",
    "at rest": "Never starts",
}
"""Every verdict of the judge -> its headline."""

_CAUSES: Final = {
    "static": "With the pump off the pressure never falls to cut-in, because water stands up to "
    "{where}.",
    "running": "The pressure reaches cut-out while {where} is still filling{sun}.",
    "dead head": "With every float valve shut the pressure never reaches cut-out{sun}; strong sun "
    "alone proves nothing.",
    "torque limit": "The controller locks out before the pressure reaches cut-out{sun}.",
    "pipe rating": "The stop pushes the pipe to {where} over 72% of its rating{sun}.",
    "float holds": "The stop forces the float valve at {where} open{sun}.",
    "relief valve": "The stop opens the relief valve{sun}.",
}
_RUNS: Final = {
    "sucked empty": "As {where} fills and drains{sun}, the line is under vacuum somewhere and runs "
    "empty: a real one draws in air there, and dirty water at any leak.",
    "false stop": "The pump stops while {where} is still filling{sun}.",
    "no stop": "The pump keeps running after {where} is full{sun}.",
    "stuck off": "Stock drink {where} down, and the pump does not restart{sun}.",
    "too often": "The pump starts up to {starts} times an hour as {where} tops up{sun}; the motor "
    "stands about {most}.",
    "unasked": "With every float valve shut the pump restarts by itself again and again{sun}: "
    "something leaks.",
    "safety stop": "The controller locks out as {where} fills{sun}.",
    "still filling": "{where} is not full after ten hours{sun}.",
    "at rest": "There is not enough sun for the pump to start.",
}
_IN_SUN: Final = " in sun of {sun}"


def headline(verdict: str) -> str:
    """Return the headline of a verdict, such as ``"Good stop"``."""
    return HEADLINES[verdict]


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
    words = _CAUSES.get(reason.cause) or _RUNS[key]
    sun = "" if reason.sun is None else _IN_SUN.format(sun=say(reason.sun, "irradiance", units))
    said = words.format(
        where=reason.where, sun=sun, starts=judged.starts, most=f"{judged.most_starts:g}"
    )
    return said[:1].upper() + said[1:]

"""What is written down after a task: a sentence for each way in which its readings can fall out.

Each function takes the things read by their names, as they were read, and gives a sentence in which
their names stand in braces. Nobody writes that a gauge "went between 71 and 71 psi".
"""

from collections.abc import Callable, Mapping
from typing import Final, TypeAlias

from labkit.drills.scene import PSI

Reads: TypeAlias = Mapping[str, float | str]
"""Things read, by their names: SI values and words."""
Saying: TypeAlias = Callable[[Reads], str]
"""From things read to a sentence with their names in braces."""

NOTHING: Final = 3.1e-7
"""A flow that fills no bucket [m3/s]; less than 0.005 gpm."""
_NO_WATER: Final = 1.9e-5
"""Water [m3] that wets a bucket's bottom; less than 0.005 gal."""
_LEVEL: Final = 1e-3
"""Water this close under a rim is at the rim [m]."""
_SAME: Final = 0.5 * PSI


def always(said: str) -> Saying:
    """Say the same whatever is read."""
    return lambda _: said


def _number(read: Reads, name: str) -> float:
    value = read[name]
    return 0.0 if isinstance(value, str) else value


def _differ(read: Reads, name: str, other: str) -> bool:
    return abs(_number(read, name) - _number(read, other)) > _SAME


def watched(read: Reads) -> str:
    """Say how the gauge went in ten minutes, and how often the pump started."""
    moved = _differ(read, "low", "high")
    gauge = "went between {low} and {high}" if moved else "stood at {high}"
    starts = round(_number(read, "starts"))
    pump = {0: "did not start in that time", 1: "started once", 2: "started twice"}.get(
        starts, "started {starts} times"
    )
    return f"For ten minutes the gauge {gauge}; the pump {pump}."


def turned(read: Reads) -> str:
    """Say how the contact answered the screw."""
    if read["before"] == read["contact"]:
        return "The switch's contact was {before}; with the range nut loosened it still is."
    return (
        "The switch's contact was {before}; with the range nut loosened it is {contact}. "
        "Tightened again, it stays so while the gauge is above cut-in."
    )


def held(where: str) -> Saying:
    """Say how a pressure held in ten minutes, shut off from the line or open to it."""

    def said(read: Reads) -> str:
        if _number(read, "gauge") < _SAME and not _differ(read, "gauge", "later"):
            return f"{where}, the gauge stood at {{gauge}}: no pressure to watch."
        if not _differ(read, "gauge", "later"):
            return f"{where}, the gauge stood at {{gauge}} and held for ten minutes."
        return f"{where}, the gauge stood at {{gauge}}, and ten minutes later at {{later}}."

    return said


def lifted(read: Reads) -> str:
    """Say how high the gauge went with every float lifted."""
    rises = _differ(read, "before", "high")
    went = "rose from {before} to {high} at most" if rises else "went no higher than {high}"
    return f"With every float lifted the gauge {went}; after five minutes the pump {{pump}}."


def worked(read: Reads) -> str:
    """Say whether the pump came with a float down, and went with all floats up."""
    if not _differ(read, "low", "high"):
        return (
            "Float down: the pump {on}. Floats up: it {off}. The gauge stood at {high} throughout."
        )
    return (
        "Float down: the pump {on}, lowest gauge {low}. Floats up: it {off}, highest gauge {high}."
    )


def passed(before: str, after: str = ".") -> Saying:
    """Say what a float passes, or that it passes nothing."""

    def said(read: Reads) -> str:
        return f"{before} {'{flow}' if _number(read, 'flow') > NOTHING else 'nothing'}{after}"

    return said


def dripped(read: Reads) -> str:
    """Say what gets by a lifted float."""
    much = "{flow} still" if _number(read, "flow") > NOTHING else "nothing"
    return f"With the float lifted, {much} gets by."


def looked(read: Reads) -> str:
    """Say how high the water stands in a trough."""
    place = "at the rim" if _number(read, "gap") < _LEVEL else "{gap} below the rim"
    return f"The water is {place}; the float is {{float}}."


def emptied(read: Reads) -> str:
    """Say what was found in a drained tank."""
    much = "{water}" if _number(read, "water") > _NO_WATER else "no water"
    return f"Empty of water, the tank's air reads {{air}}; {much} came out of tank and manifold."


def cycled(read: Reads) -> str:
    """Say how a full cycle went."""
    fell = " and fell to {later}" if _differ(read, "rest", "later") else ""
    return (
        "Float down: the pump {on}, gauge {gauge}, {flow} at the float. Floats up: it {off}, "
        "highest gauge {high}. In ten minutes the pump {held}; the gauge stood at {rest}"
        f"{fell}. Float down again: the pump {{again}}."
    )

"""Flags: what a run strained, and what its physics cannot be trusted with."""

from typing import NamedTuple


class Flag(NamedTuple):
    """One thing to mind; the view puts it into words and units.

    `kind` is one of:

    * ``"suction"``: the line was sucked empty somewhere; `where` is the wellhead, no numbers.
    * ``"velocity"``: water in the run to `where` reached `value`, over `limit` [m/s].
    * ``"pressure"``: pipe of the run to `where` saw `value`, over its derated rating `limit` [Pa].
    * ``"drop pipe"``: the same for the drop pipe in the well.
    * ``"swing"``: the run leaves out how far a bare line's water swings at a stop; no numbers.
    * ``"starts"``: the motor started `value` times within an hour, over `limit`.
    """

    kind: str
    where: str = "wellhead"
    value: float = 0.0
    limit: float = 0.0

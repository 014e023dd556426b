"""How things look in a scene: one table of names for the painter in the page and the one on paper.

A line differs from its neighbors in its dashes too, a state in its hatch, a verdict in its shape,
so that no color carries meaning alone.
"""

from typing import Any, Final, NamedTuple

from labkit.figures import style
from labkit.figures.thin import MIXED
from labkit.text.shared import WORDS
from labkit.trace import DriveState

TROUGHS: Final = ("trough 1", "trough 2", "trough 3", "trough 4")

_SHORT, _LONG, _MIX = (1.6, 1.9), (6.0, 2.4), (7.0, 2.0, 1.6, 2.0)

LINES: Final[dict[str, dict[str, Any]]] = {
    "pressure": {"color": style.BLUE, "dash": (), "width": 2.2},
    "pump": {"color": style.BLUE, "dash": (), "width": 1.8},
    "into troughs": {"color": style.GREEN, "dash": _LONG, "width": 1.8},
    "leak": {"color": style.VERMILION, "dash": _SHORT, "width": 1.8},
    "cut-out": {"color": style.INK, "dash": (9.0, 3.0), "width": 1.2},
    "cut-in": {"color": style.INK, "dash": (3.0, 3.0), "width": 1.2},
    "trough 1": {"color": style.GREEN, "dash": (), "width": 1.8},
    "trough 2": {"color": style.PLUM, "dash": _LONG, "width": 1.8},
    "trough 3": {"color": style.AMBER, "dash": _SHORT, "width": 1.8},
    "trough 4": {"color": style.INK, "dash": _MIX, "width": 1.8},
}
"""Lines: color, dashes and width in points of the drawing."""

FILLS: Final = {
    "ink": style.INK,
    "quiet": style.QUIET,
    "faint": style.FAINT,
    "grid": style.GRID,
    "paper": style.PAPER,
    "soil": style.SOIL,
    "far soil": style.FAR_SOIL,
    "ground": style.GROUND,
    "band": style.BAND,
    "water": style.WATER,
    "pipe": style.BLUE,
    "leak": style.VERMILION,
    "sun": style.YELLOW,
    "sun rim": style.ORANGE,
}
"""Fills and strokes by what they stand for."""


def _state(fill: str, hatch: str, word: str, ink: str = style.INK) -> dict[str, str]:
    return {"fill": fill, "hatch": hatch, "word": word, "ink": ink}


_FILLS: Final = {
    DriveState.RESTING: ("#EEF1F4", "", style.INK),
    DriveState.STARTING: ("#CDE7F8", "/", style.INK),
    DriveState.RUNNING: (style.BLUE, "", style.PAPER),
    DriveState.STOPPING: ("#CDE7F8", "\\", style.INK),
    DriveState.HELD: ("#F7E0B0", ".", style.INK),
    DriveState.LOCKED: (style.VERMILION, "x", style.PAPER),
}

STATES: Final = {
    "drive": {
        **{
            int(state): _state(fill, hatch, state.words, ink)
            for state, (fill, hatch, ink) in _FILLS.items()
        },
        MIXED: _state("#B8D9EE", "|", WORDS["mixed"]),
    },
    "contact": {
        0: _state(style.PAPER, "", WORDS["open"]),
        1: _state(style.INK, "", WORDS["closed"], style.PAPER),
        MIXED: _state("#B8C0C8", "|", WORDS["mixed"]),
    },
}
"""Fill, hatch, word and the word's color of each state in the strips."""

VERDICTS: Final = {
    "sound stop": ("#007A5A", 0),
    "false stop": (style.VERMILION, 3),
    "no stop": (style.VERMILION, 8),
    "stuck off": (style.VERMILION, 8),
    "cycling": (style.VERMILION, 3),
    "safety stop": (style.VERMILION, 8),
    "sucked empty": (style.AMBER, 3),
    "still filling": (style.BLUE, 4),
    "at rest": (style.QUIET, 4),
}
"""Color of a run's verdict, and the corners of its shape: a circle for 0."""


class Cell(NamedTuple):
    """How a setting of a verdict looks on the map: fill, hatch, letter."""

    colour: str
    hatch: str
    letter: str


CELLS: Final[dict[str, Cell]] = {
    "sound stop": Cell("#CBE8DD", "", "G"),
    "sucked empty": Cell("#E3EBD0", "o", "V"),
    "false stop": Cell(style.ORANGE, "///", "T"),
    "no stop": Cell(style.SKY, "\\\\\\", "N"),
    "stuck off": Cell(style.PURPLE, "xxx", "R"),
    "cycling": Cell(style.YELLOW, "oo", "C"),
    "safety stop": Cell("#E8884F", "+++", "L"),
    "over pressure": Cell("#D9A7A0", "++", "P"),
    "still filling": Cell("#C3CAD2", "---", "F"),
    "at rest": Cell(style.GRID, "|||", "X"),
    "no such setting": Cell(style.PAPER, "..", ""),
    "not run": Cell(style.PAPER, "**", "?"),
}
"""The same verdicts on the map of settings: no two share a hatch, nor a letter."""

CAUTION: Final = (style.AMBER, 3)

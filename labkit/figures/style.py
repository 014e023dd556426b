"""Colours, line styles and sizes, the same in every picture.

Hues are those of Okabe and Ito, *Color Universal Design* (2008), chosen there to stay apart for
colour-blind eyes. A line also has a dash pattern and a direct label, so no hue carries meaning
alone. Sky, yellow and orange are too pale for lines on white paper and serve as fills only.
"""

from typing import Any, Final

BLUE: Final = "#0072B2"
SKY: Final = "#56B4E9"
GREEN: Final = "#009E73"
ORANGE: Final = "#E69F00"
YELLOW: Final = "#F0E442"
VERMILION: Final = "#D55E00"
PURPLE: Final = "#CC79A7"
PLUM: Final = "#8F3F71"
AMBER: Final = "#8A6100"
"""Purple and orange of the set, darkened so that small letters in them can be read."""

INK: Final = "#1F2933"
QUIET: Final = "#52606D"
FAINT: Final = "#9AA5B1"
GRID: Final = "#E4E7EB"
PAPER: Final = "#FFFFFF"
SOIL: Final = "#F1EBE1"
FAR_SOIL: Final = "#F8F5EF"
GROUND: Final = "#8A7660"
BAND: Final = "#FBEBC8"
ROOM: Final = "#D5EDE2"
"""Between the switch's two points; where a point may stand."""
WATER: Final = "#A9D6F2"

WIDTH: Final = 8.0
HEIGHT: Final = 5.6
DPI: Final = 144
"""The picture's size [in, in, dots per inch]: 1152 by 806 dots."""

TITLE: Final = 8.5
TEXT: Final = 7.5
SMALL: Final = 6.6
"""Sizes of letters [points]; a point is two dots."""

FONT: Final = "DejaVu Sans"
"""The typeface that comes with matplotlib, so that the picture is the same on every machine."""

Dash = tuple[float, tuple[float, ...]] | str

TROUGH_COLOURS: Final = (GREEN, PLUM, AMBER, INK)
"""Blue is kept for the pump and its pressure, vermilion for what leaks."""

TROUGH_DASHES: Final[tuple[Dash, ...]] = (
    "solid",
    (0, (5, 1.8)),
    (0, (1.2, 1.4)),
    (0, (6, 1.6, 1.2, 1.6)),
)


def trough_look(number: int) -> dict[str, Any]:
    """Return colour and dashes for a site's trough by its place in the list."""
    return {
        "color": TROUGH_COLOURS[number % len(TROUGH_COLOURS)],
        "linestyle": TROUGH_DASHES[(number + number // len(TROUGH_COLOURS)) % len(TROUGH_DASHES)],
    }

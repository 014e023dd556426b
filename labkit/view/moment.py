"""The moment: which one tells most, and how the line stands at it, in words."""

from typing import TYPE_CHECKING, Final

from matplotlib.figure import Figure
from matplotlib.patches import FancyBboxPatch

from labkit.trace.measures import false_stop_times
from labkit.view import style
from labkit.view.axes import inches
from labkit.view.labels import note

if TYPE_CHECKING:
    from matplotlib.artist import Artist

    from labkit.trace import Trace

LEFT, TOP, RIGHT, BOTTOM = 706, 540, 1136, 772
MOST_LINES: Final = 8
MOST_EVENTS: Final = 3
_LINE: Final = 25.0


def telling_moment(trace: "Trace") -> float:
    """Give the moment [s] that tells most: when what the drive goes by last spoke, or the end.

    Of false stops it is the first, while the trough is still far from full.
    """
    if trace.verdict == "false stop":
        return float(false_stop_times(trace)[0])
    listens = trace.site.drive.listens_to
    kind = "switch trips" if listens == "pressure switch" else "drive told to stop"
    words = trace.times(kind)
    return float(words[-1] if words else trace.time[-1])


class MomentCard:
    """A card of words beneath the line, the first in bold."""

    def __init__(self, figure: Figure) -> None:
        x, y = inches(LEFT, BOTTOM)
        figure.add_artist(
            FancyBboxPatch(
                (x, y),
                (RIGHT - LEFT) / style.DPI,
                (BOTTOM - TOP) / style.DPI,
                boxstyle="round,pad=0,rounding_size=0.05",
                facecolor="#FAFBFC",
                edgecolor=style.GRID,
                linewidth=0.9,
                transform=figure.dpi_scale_trans,
            )
        )
        self.texts = [note(figure, va="center_baseline") for _ in range(MOST_LINES)]
        for number, text in enumerate(self.texts):
            text.set_position(inches(LEFT + 14, TOP + 22 + _LINE * number))
        self.texts[0].set(fontweight="bold", fontsize=style.TITLE)
        self.moving: list[Artist] = list(self.texts)

    def show(self, lines: list[str], happened: list[str]) -> None:
        """Write the lines and, where room is left, what happened last before them.

        Parameters
        ----------
        lines : list of str
            How the line stands.
        happened : list of str
            What happened up to the moment, the latest first.
        """
        space = MOST_LINES - len(lines)
        words = lines + happened[:space]
        for number, text in enumerate(self.texts):
            text.set_text(words[number] if number < len(words) else "")
            if number:
                text.set_color(style.INK if number < len(lines) else style.QUIET)

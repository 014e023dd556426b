"""The picture of the operating window: what is drawn where, and that it reads without colour."""

from __future__ import annotations

import io
import sys
from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from PIL import Image

from labkit import demo_site, operating_window
from labkit.figures import style
from labkit.view.window_picture import MOST_TROUGHS, WindowImage, window_figure
from tests.customary import PSI
from tests.engine.lines import line

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from labkit.advice.window import Window


@pytest.fixture(scope="module")
def narrow() -> Window:
    return operating_window(demo_site("three_troughs"))


def bars(figure: Figure) -> list[Rectangle]:
    """The bars of the rows, from the top; the shaded room is none."""
    found = [p for p in figure.axes[0].patches if isinstance(p, Rectangle) and p.get_zorder() == 2]
    return sorted(found, key=lambda bar: bar.get_y())


def texts(figure: Figure) -> str:
    found: Any = figure.findobj(Text)
    return " ".join(text.get_text() for text in found)


@pytest.mark.parametrize(("system", "unit"), [("US", PSI), ("metric", 1000.0)])
def test_bars_reach_from_the_weakest_to_the_strongest_sun(
    narrow: Window, system: str, unit: float
) -> None:
    rows = bars(window_figure(narrow, system))

    drawn = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in rows]
    wanted = [(t.least / unit, t.most / unit) for t in narrow.troughs]
    wanted.append((narrow.dead_head[0] / unit, narrow.dead_head[1] / unit))
    assert len(drawn) == len(wanted)
    for row, ends in zip(drawn, wanted, strict=True):
        assert row == pytest.approx(ends)


def test_the_room_is_shaded_and_the_points_stand_in_it(narrow: Window) -> None:
    figure = window_figure(narrow, "US")
    chosen = narrow.recommended
    assert chosen is not None

    thick = [each for each in figure.axes[0].lines if each.get_linewidth() == 1.4]
    lines = [float(np.asarray(each.get_xdata())[0]) for each in thick]
    assert lines == pytest.approx([chosen.cut_in / PSI, chosen.cut_out / PSI])
    shade = next(p for p in figure.axes[0].patches if p.get_zorder() == 0)
    assert isinstance(shade, Rectangle)
    assert shade.get_x() == pytest.approx(narrow.room.floor / PSI)
    assert shade.get_x() + shade.get_width() == pytest.approx(narrow.room.ceiling / PSI)
    assert "cut-out 43 psi" in texts(figure)


def test_the_ends_of_the_bars_are_named(narrow: Window) -> None:
    """The first bar and that of the shut line; each name stands at its end, over the bar."""
    figure = window_figure(narrow, "US")
    rows = bars(figure)
    named = {
        note.get_text(): note.xy  # type: ignore[attr-defined]
        for note in figure.axes[0].texts
        if "sun" in note.get_text()
    }

    first, shut = narrow.troughs[0].least / PSI, rows[-1].get_x()
    assert named[f"weakest sun, {first:.0f} psi"][0] == pytest.approx(rows[0].get_x())
    assert named["weakest sun"][0] == pytest.approx(shut)
    assert named["strongest sun"][0] == pytest.approx(shut + rows[-1].get_width())
    assert f"{narrow.dead_head[1] / PSI:.0f} psi" in texts(figure)
    assert "(250 W/m²) to the strongest (1,000 W/m²)" in texts(figure)


def test_the_room_has_a_colour_of_its_own(narrow: Window) -> None:
    """The bench's band lies between the two points; here the shade is where one of them may lie."""
    shade = next(p for p in window_figure(narrow).axes[0].patches if p.get_zorder() == 0)

    assert to_hex(shade.get_facecolor()).upper() == style.ROOM
    assert style.ROOM not in (style.BAND, style.ORANGE)


def test_rows_differ_without_colour(narrow: Window) -> None:
    hatches = {bar.get_hatch() for bar in bars(window_figure(narrow))}

    assert len(hatches) == 2
    assert None not in hatches


def test_an_empty_window_shows_where_its_bounds_cross() -> None:
    window = operating_window(line(array__rated_power="500 W"))
    assert window.recommended is None

    figure = window_figure(window)

    assert "No window" in texts(figure)
    shade = next(p for p in figure.axes[0].patches if p.get_zorder() == 0)
    assert shade.get_hatch() is not None


def test_nothing_is_written_over_a_row_s_name(narrow: Window) -> None:
    figure = window_figure(narrow)
    figure.canvas.draw()
    names = [label.get_window_extent() for label in figure.axes[0].get_yticklabels()]
    notes = [note.get_window_extent() for note in figure.axes[0].texts]

    assert not any(name.overlaps(note) for name in names for note in notes)


def test_it_is_a_picture_of_the_house_s_width_and_loads_no_pyplot(narrow: Window) -> None:
    picture = Image.open(io.BytesIO(WindowImage(narrow, "metric").png))

    assert picture.size[0] == 1152
    assert "matplotlib.pyplot" not in sys.modules
    assert "cut-in" in WindowImage(narrow).alt


def test_a_line_of_many_troughs_keeps_to_the_page() -> None:
    many = demo_site("one_trough")
    trough = many.troughs[0]
    troughs = tuple(attrs.evolve(trough, name=f"trough {i}") for i in range(MOST_TROUGHS + 2))
    window = operating_window(attrs.evolve(many, troughs=troughs))

    assert len(window_figure(window).axes[0].get_yticklabels()) <= MOST_TROUGHS + 4


@pytest.mark.parametrize("system", ["US", "metric"])
def test_what_is_wrong_with_a_setting_is_not_cut_off(system: str) -> None:
    window = operating_window(demo_site("first_line"), sun_range=("300 W/m^2", "1000 W/m^2"))
    figure = window_figure(window, system, own=True)
    renderer: Any = FigureCanvasAgg(figure).get_renderer()  # type: ignore[no-untyped-call]
    title, key = (text.get_window_extent(renderer) for text in figure.texts[:2])

    assert "\n" in figure.texts[0].get_text(), "a long sentence, or nothing is tried here"
    assert max(title.x1, key.x1) <= figure.bbox.width
    assert title.y1 <= figure.bbox.height
    assert key.y1 <= title.y0, "one over the other"

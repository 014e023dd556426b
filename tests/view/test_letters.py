"""Words kept as small images look as if they had been drawn each time."""

from typing import Any

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from labkit.view.letters import Letters

LOOKS: list[dict[str, Any]] = [
    {"color": "#D55E00", "fontsize": 14, "weight": "bold"},
    {"color": "#0072B2", "fontsize": 9, "rotation": 90, "ha": "right"},
    {"bbox": {"facecolor": "#FFFFFF", "edgecolor": "none", "alpha": 0.6, "pad": 0.8}},
]


def drawn(look: dict[str, Any], *, stamped: bool, x: float = 0.5, y: float = 0.5) -> Any:
    figure = Figure(figsize=(4, 3), dpi=100)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    text = figure.text(x, y, "cut-out 45.0 psi", **look)
    renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
    if stamped:
        Letters(100).draw(text, renderer)
    else:
        text.draw(renderer)
    return np.asarray(canvas.buffer_rgba()).astype(float)[..., :3]  # type: ignore[no-untyped-call]


def inked(picture: Any) -> tuple[int, int, int, int]:
    """Edges of what is dark: top, bottom, left, right [dots]."""
    rows, columns = np.nonzero(picture.min(axis=2) < 128)
    return rows.min(), rows.max(), columns.min(), columns.max()


def assert_close(edges: tuple[int, ...], wanted: tuple[int, ...]) -> None:
    """Matplotlib widens each letter to whole dots, which adds up along a text."""
    assert np.allclose(edges[:2], wanted[:2], atol=1)
    assert np.allclose(edges[2:], wanted[2:], atol=4)


@pytest.mark.parametrize("align", ["top", "bottom", "center", "baseline", "center_baseline"])
@pytest.mark.parametrize("look", LOOKS)
def test_a_stamped_text_stands_where_a_drawn_one_would(look: dict[str, Any], align: str) -> None:
    look = look | {"va": align}
    plain, stamped = drawn(look, stamped=False), drawn(look, stamped=True)

    assert_close(inked(stamped), inked(plain))
    assert (255.0 - stamped).sum() == pytest.approx((255.0 - plain).sum(), rel=0.15)


@pytest.mark.parametrize("align", ["left", "center", "right"])
def test_a_text_keeps_to_its_side(align: str) -> None:
    look = {"ha": align, "fontsize": 12}

    assert_close(inked(drawn(look, stamped=True)), inked(drawn(look, stamped=False)))


def test_a_text_moves_with_its_anchor() -> None:
    here, there = drawn(LOOKS[0], stamped=True), drawn(LOOKS[0], stamped=True, x=0.25, y=0.75)

    rows, columns = np.nonzero(here.sum(axis=2) < 700)
    moved_rows, moved_columns = np.nonzero(there.sum(axis=2) < 700)
    assert moved_columns.min() - columns.min() == -100
    assert moved_rows.min() - rows.min() == -75


def test_a_text_over_the_edge_is_still_drawn() -> None:
    assert np.any(drawn(LOOKS[0], stamped=True, x=0.0, y=0.0) < 250)

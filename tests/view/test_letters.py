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
        letters = Letters(400, 300, 100)
        letters.draw(text, renderer)  # makes the stamp, off the canvas
    else:
        text.draw(renderer)
    return np.asarray(canvas.buffer_rgba()).astype(float)[..., :3]  # type: ignore[no-untyped-call]


@pytest.mark.parametrize("look", LOOKS)
def test_a_stamped_text_looks_like_a_drawn_one(look: dict[str, Any]) -> None:
    plain, stamped = drawn(look, stamped=False), drawn(look, stamped=True)

    ink = np.abs(plain - 255.0).sum()
    assert ink > 0
    assert np.abs(stamped - plain).sum() < 0.15 * ink  # soft edges are mixed in whole numbers


def test_a_text_moves_with_its_anchor() -> None:
    here, there = drawn(LOOKS[0], stamped=True), drawn(LOOKS[0], stamped=True, x=0.25, y=0.75)

    rows, columns = np.nonzero(here.sum(axis=2) < 700)
    moved_rows, moved_columns = np.nonzero(there.sum(axis=2) < 700)
    assert moved_columns.min() - columns.min() == -100
    assert moved_rows.min() - rows.min() == -75


def test_a_text_over_the_edge_is_still_drawn() -> None:
    assert np.any(drawn(LOOKS[0], stamped=True, x=0.0, y=0.0) < 250)

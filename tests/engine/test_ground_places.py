"""Where corners of the ground come to lie in a plant, and in which leg their water sinks, by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from labkit.engine.layout import stretches
from labkit.engine.plant import level_heads, make_plant
from tests.customary import FOOT
from tests.engine.lines import line

RIDGE: dict[str, Any] = {
    "trough__lane__pipe__profile": [["100 ft", "20 ft"]],
    "trough__lane__pipe__vents": ["100 ft"],
    "trough__lane__pipe__rise": "5 ft",
}
"""400 ft of pipe over a crest of 20 ft with a vent, a quarter of the way out, to a trough 5 ft up."""

WEIR = 0.3


def test_a_corner_lies_as_far_out_and_as_high_as_it_is_typed() -> None:
    """To the decimeter; what the pieces are long and climb adds up to the run."""
    pieces = stretches(line(**RIDGE))
    _, layout = make_plant(line(**RIDGE))

    assert [piece.end_kind for piece in pieces] == ["ground", "far side", "trough"]
    assert sum(piece.length for piece in pieces) == pytest.approx(400 * FOOT)
    assert [piece.rise / FOOT for piece in pieces] == pytest.approx([20.0, 0.0, -15.0])
    assert pieces[1].length == WEIR
    corner = pieces[0].end
    assert layout.distance["manifold"] == 0.0
    assert layout.distance[corner] == pytest.approx(100 * FOOT, abs=0.06)
    assert layout.distance["lane"] == pytest.approx(400 * FOOT)
    assert layout.elevations[corner] == pytest.approx(20 * FOOT)


@pytest.mark.parametrize("feet", [2.0, 200.0, 398.0])
def test_a_corner_near_an_end_cuts_the_run_where_it_is(feet: float) -> None:
    site = line(
        trough__lane__pipe__profile=[[f"{feet} ft", "0 ft"]], trough__lane__pipe__rise="0 ft"
    )

    first, last = stretches(site)

    assert first.length == pytest.approx(feet * FOOT, abs=0.06)
    assert first.length + last.length == pytest.approx(400 * FOOT)


@pytest.mark.parametrize("feet", [0.0, 0.3, 399.7, 400.0])
def test_a_vent_within_half_a_foot_of_an_end_sits_at_that_end(feet: float) -> None:
    site = line(trough__lane__pipe__vents=[f"{feet} ft"])

    (piece,) = stretches(site)
    _, layout = make_plant(site)

    assert piece.length == pytest.approx(400 * FOOT)
    assert layout.vents == {"manifold" if feet < 1.0 else "lane"}


def test_water_sinks_on_either_side_of_a_crest_in_its_own_leg() -> None:
    plant, layout = make_plant(line(**RIDGE))
    corner, far_side, _ = layout.names[1:]

    assert layout.legs[corner] == "manifold"
    assert layout.legs[far_side] == "lane"
    assert "lane" not in layout.legs
    empty = level_heads(plant, -1e9)
    assert np.isneginf(level_heads(plant, -np.inf)[0])
    assert empty[1] == pytest.approx(0.0), "down to the well"
    assert empty[2] == pytest.approx(5 * FOOT), "down to the trough"
    full = level_heads(plant, 50.0)
    assert full == pytest.approx(np.full(4, 50.0))

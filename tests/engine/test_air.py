"""Air at an open valve: water that swings back from an open pipe end lets air in behind it.

Source of the pressures: hydrostatics. Source of the volumes: what a pipe holds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from labkit import simulate
from labkit.engine.network import held_water
from labkit.engine.pieces import in_pieces
from labkit.engine.standing import go_on, standing
from labkit.engine.trough import let_in
from labkit.sun import Sun
from tests.customary import FOOT, GALLON, PSI
from tests.engine.lines import line, plant_of

if TYPE_CHECKING:
    from labkit import Site

WATER = 9.80665 * 999.1
"""Weight of a cubic metre of water at 15 degC [N/m3]."""


def cloud(minutes: float) -> Sun:
    """Ten minutes of sun, then none."""
    time = np.array([0.0, 600.0, 601.0, 601.0 + 60.0 * minutes])
    return Sun(
        time=time,
        irradiance=np.array([700.0, 700.0, 0.0, 0.0]),
        air_temperature=np.full(4, 15.0),
        source="a cloud",
    )


def open_end(feet: float, rise: float) -> Site:
    """A bare line to a pipe end that stays open, some feet away and up."""
    return line(
        trough__lane__volume="3000 gal",
        trough__lane__pipe__length=f"{feet} ft",
        trough__lane__pipe__rise=f"{rise} ft",
        trough__lane__float_valve__position="always open",
    )


@pytest.mark.parametrize(
    ("feet", "rise"), [(300, 0), (400, 20), (1500, 20), (1500, -10), (4200, 20), (4200, 60)]
)
def test_a_line_that_has_drained_stands_as_high_as_its_open_end(feet: float, rise: float) -> None:
    """Water overshoots as the pump stops; held from behind, it would stand half a psi low."""
    site = open_end(feet, rise)
    assert in_pieces(plant_of(site)).waves > 0.0, "a line whose water swings"

    trace = simulate(site, "2 hour", sun=cloud(110.0))

    assert trace.pressure[-1] == pytest.approx(WATER * rise * FOOT, abs=0.02 * PSI)
    assert trace.measures().balance_error < 1e-9


def test_the_open_end_itself_is_never_under_the_air() -> None:
    trace = simulate(open_end(1500, 20), "1 hour", sun=cloud(50.0))

    assert trace.head["lane"].min() >= 20.0 * FOOT - 1e-9


TWO: dict[str, Any] = {
    "pipe": {"from": "manifold", "length": "900 ft", "size": "1 1/4 in PE SIDR 15"},
    "volume": "3000 gal",
    "depth": "24 in",
    "float_valve": {"flow": "8 gpm at 20 psi", "position": "always open"},
}


def test_an_empty_leg_feeds_no_siphon() -> None:
    """A low open end draws on a high one: it gets what was pumped, and what stood in the pipe."""
    low = {**TWO, "name": "creek", "pipe": {**TWO["pipe"], "rise": "-40 ft"}}
    site = open_end(900, 40).changed({"troughs": [*open_end(900, 40).troughs, low]})
    trace = simulate(site, "2 hour", sun=cloud(110.0))

    holds = 2 * 900 * FOOT * np.pi / 4.0 * (2.1 * 0.0254) ** 2  # two pipes, each at its widest
    after = np.searchsorted(trace.time, 660.0)
    gained = (trace.level["creek"][-1] - trace.level["creek"][after]) / (24.0 * 0.0254)
    assert trace.totals.delivered < trace.totals.pumped + holds
    assert gained * 3000.0 * GALLON < holds
    assert trace.measures().balance_error < 1e-9


def test_a_line_goes_on_with_the_air_that_it_has() -> None:
    """Taken up where it stands, a drained line stays as it is: no water comes back by itself."""
    site = open_end(1500, 20)
    begun = standing(site, sun=cloud(110.0), start="12:00")
    _, drained = go_on(begun, "1 hour")

    trace, _ = go_on(drained, "10 min", is_drive_off=True)

    assert trace.pressure.min() == pytest.approx(drained.pressure, abs=0.01 * PSI)
    assert trace.pressure.max() == pytest.approx(drained.pressure, abs=0.01 * PSI)


@pytest.mark.parametrize(
    ("feet", "rise", "leak"),
    [(300, 45, 5), (300, 60, 1), (700, 60, 5), (1500, 60, 5), (2500, 45, 5)],
)
def test_a_float_that_opens_over_sunk_water_lets_the_air_in(
    feet: float, rise: float, leak: float
) -> None:
    """Up a slope and level to the trough: a leak draws the water down till it breaks off at the top
    under a shut float, as far as air holds it up. As stock drink, the top stands at the air's
    pressure: above its own ground again."""
    site = line(
        trough__lane__pipe__length=f"{feet} ft",
        trough__lane__pipe__rise=f"{rise} ft",
        trough__lane__pipe__profile=[[f"{0.8 * feet} ft", f"{rise} ft"]],
        trough__lane__herd={"head": 40, "kind": "horse", "visits": ["13:00"]},
        leaks=[{"at": "manifold", "size": f"{leak} gpm at 20 psi"}],
    )
    top = site.elevation("lane")

    trace = simulate(site, "2 hour", sun="0 W/m^2", start="12:00")

    opens = np.searchsorted(trace.time, min(trace.times("float opens")))
    assert 8.5 < top - trace.head["lane"][opens - 2] < 10.3
    assert trace.head["lane"][opens + 2 :].min() >= top - 1e-6
    assert trace.measures().balance_error < 1e-9


@pytest.mark.parametrize(("feet", "rise"), [(400, 250), (1500, 60), (600, 500)])
def test_water_under_an_open_valve_is_missed_once(feet: float, rise: float) -> None:
    """By hand: where the surface stands so far under the valve, the pipe above it is empty; where
    air had not come in, it would have broken off ten metres down and be missing only below."""
    plant = in_pieces(plant_of(open_end(feet, rise)))
    trough = plant.troughs[0]
    node = plant.nodes[trough.node]
    start = plant.nodes[node.parent].z
    bore = np.pi / 4.0 * node.D**2 * node.L / (node.z - start)  # of pipe, for each metre of height

    def holds(head: float) -> float:
        return float(held_water(plant, trough.node, head)[0] - let_in(trough, node, head)[0])

    full = holds(node.z)
    for share in (0.1, 0.3, 0.5, 0.7, 0.9):
        sunk = share * (node.z - start)
        assert full - holds(node.z - sunk) == pytest.approx(bore * sunk, rel=0.01)

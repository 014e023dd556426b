"""What the engine is given of a site, and what it does at the edges, each held to a sum by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from labkit import simulate, steady
from labkit.catalogue import derated_rating
from labkit.engine.demand import visits
from labkit.engine.network import make_flows
from labkit.engine.plant import make_plant, plant_of
from labkit.engine.strain import design_flags
from labkit.engine.trough import fill_trough
from labkit.errors import SiteError
from labkit.physics.pump import Centrifugal, centrifugal
from labkit.physics.valve import forced_opening
from labkit.units import si
from tests.customary import GPM, PSI
from tests.engine.lines import DISPLACEMENT, line

FT = 0.3048


@pytest.mark.parametrize("feet", [(), (100,), (350, 200, 30)])
def test_fittings_count_once_however_often_leaks_cut_the_run(feet: tuple[int, ...]) -> None:
    leaks = tuple(
        {"at": "lane", "distance": f"{away} ft", "size": "0.01 gpm at 30 psi"} for away in feet
    )
    plant, _ = make_plant(line(trough__lane__pipe__fittings=12.0, leaks=leaks))

    assert plant.nodes.size == 2 + len(feet)
    assert plant.nodes.K.sum() == pytest.approx(12.0)
    assert plant.nodes.K[1:] == pytest.approx(12.0 * plant.nodes.L[1:] / (400.0 * FT))


def test_a_run_is_held_to_its_rating_at_its_lower_end_whichever_that_is() -> None:
    """Uphill the pressure is highest where a run starts, downhill where it ends."""
    for rise, (at_start, at_end) in {"60 ft": (1.05, 0.8), "-60 ft": (0.8, 1.05)}.items():
        site = line(trough__lane__pipe__rise=rise)
        plant, layout = make_plant(site)
        rating = si(derated_rating(site.troughs[0].pipe.size, site.place.water_temperature))
        shares = [at_start if name == "manifold" else at_end for name in layout.names]
        z = np.asarray(plant.nodes.z[plant.own])
        head = np.array([shares]) * rating / plant.weight + z
        still = np.zeros(plant.nodes.size)

        (flag,) = design_flags(site, plant, layout, head, still, ())

        assert (flag.kind, flag.where) == ("pressure", "lane")
        assert flag.value == pytest.approx(1.05 * rating)
        assert design_flags(site, plant, layout, 0.9 * (head - z) + z, still, ()) == ()


@pytest.mark.parametrize("leaks", [(), ({"at": "lane", "size": "2 gpm at 30 psi"},)])
def test_runs_share_a_plant_and_leave_it_as_it_was_made(leaks: tuple[Any, ...]) -> None:
    site = line(leaks=leaks)
    for sun in ("900 W/m^2", "300 W/m^2"):
        simulate(site, "20 min", sun=sun)
        steady(site, sun=sun)

    shared, _ = plant_of(site)

    assert plant_of(site)[0] is shared
    for name, wanted in make_plant(site)[0]._asdict().items():
        np.testing.assert_array_equal(getattr(shared, name), wanted, err_msg=name)
    alike = line(leaks=leaks, trough__lane__pipe__fittings=3.0)
    assert plant_of(alike)[0].nodes.K.sum() == pytest.approx(3.0)


HERD: dict[str, Any] = {
    "kind": "dry cow",
    "head": 40,
    "visits": ["06:00", "23:00"],
    "visit_time": "3 h",
}


@pytest.mark.parametrize(
    ("clock", "wanted"),
    [
        (5.0, [(1.0, 4.0)]),
        (7.0, [(0.0, 2.0)]),  # they came an hour before the run began
        (1.0, [(0.0, 1.0)]),  # they came before midnight
        (9.0, []),
        (23.0, [(0.0, 3.0)]),
    ],
)
def test_a_herd_that_came_before_the_run_drinks_on(
    clock: float, wanted: list[tuple[float, float]]
) -> None:
    (trough,) = line(trough__lane__herd=HERD).troughs

    found = visits(trough, clock=clock * 3600.0, duration=4.0 * 3600.0)

    assert [(a / 3600.0, b / 3600.0) for a, b in found] == wanted


def test_a_trough_may_begin_at_its_rim_and_no_higher() -> None:
    trace = simulate(line(), "1 s", sun="0 W/m^2", levels={"lane": "24 in"})

    assert trace.level["lane"][0] == pytest.approx(24 * 0.0254)
    with pytest.raises(SiteError, match="depth"):
        simulate(line(), "1 s", sun="0 W/m^2", levels={"lane": "24.1 in"})


PUMP = Centrifugal(
    shut_off_head=60.0, bend=60.0 / (1e-3) ** 2, exponent=2.0, rated_power=300.0, rated_flow=5e-4,
    idle_share=0.5,
)  # fmt: skip
"""At full speed and without any head it passes a litre a second."""


@pytest.mark.parametrize("drawdown", [0.0, 500.0, 999.0])
def test_a_pump_that_water_would_run_through_passes_its_run_out(drawdown: float) -> None:
    """The line pulls by a metre, and the well falls by less than that."""
    duty = centrifugal(-1.0, drawdown, 1e4, 1.0, PUMP)

    assert duty.flow == pytest.approx(1e-3, rel=1e-9)
    assert duty.slope == 0.0


@pytest.mark.parametrize("drawdown", [1001.0, 5000.0])
def test_a_well_that_falls_by_more_than_the_line_pulls_is_pumped(drawdown: float) -> None:
    """``60 - 60 (q / 1e-3)**2 = drawdown q - 1`` has one positive root."""
    a, b, c = 60.0 / 1e-3**2, drawdown, -61.0
    q = (-b + np.sqrt(b * b - 4.0 * a * c)) / (2.0 * a)

    duty = centrifugal(-1.0, drawdown, 1e4, 1.0, PUMP)

    assert duty.flow == pytest.approx(q, rel=1e-8)
    assert duty.slope < 0.0


@pytest.mark.parametrize("drawdown", [0.0, 5.0])
def test_a_displacement_pump_feels_the_well_fall(drawdown: float) -> None:
    """Its torque limit is 1.5 times the torque at 150 ft of head. Torque goes with the head and with
    friction; at 70 % efficiency and 5 % slip friction is worth 150 ft x (0.95 / 0.7 - 1) = 53.6 ft, so
    the limit is 1.5 x 203.6 - 53.6 = 251.8 ft. The line asks for 70 ft of lift, 160 ft of rise and
    11.5 ft for a float valve that passes 4 gpm at 5 psi: 241.5 ft, and 20 ft more where the well
    falls by 5 ft for each of 4 gpm."""
    site = line(
        pump=DISPLACEMENT | {"efficiency": 0.7},
        trough__lane__pipe__rise="160 ft",
        well={
            "static_level": "70 ft",
            "intake_depth": "160 ft",
            "drawdown": f"{drawdown} ft/gpm",
        },
    )

    found = steady(site, sun="1000 W/m^2")

    assert found.stopped_by == ("torque limit" if drawdown else "")


@pytest.mark.parametrize(("over", "share"), [(0.99, 0.0), (1.025, 0.25), (1.05, 0.5), (1.2, 1.0)])
def test_a_float_held_down_too_hard_opens_by_its_share(over: float, share: float) -> None:
    """Forced open from its holding head on, wholly at a tenth more."""
    site = line(trough__lane__float_valve={"flow": "8 gpm at 20 psi", "holding_pressure": "60 psi"})
    plant, _ = make_plant(site)
    trough, flow = plant.troughs[0], make_flows(plant).troughs[0]
    h = over * float(trough.hold_h)

    fill_trough(trough, h, 0.0, float(trough.V_shut), 0.0, 0.0, flow)

    assert forced_opening(h, float(trough.hold_h))[0] == pytest.approx(share, abs=1e-9)
    assert flow.opening == pytest.approx(share, abs=1e-9)
    head = 20.0 * PSI / plant.weight
    assert flow.inflow == pytest.approx(8.0 * GPM * share * (h / head) ** 0.5, rel=1e-5, abs=1e-12)

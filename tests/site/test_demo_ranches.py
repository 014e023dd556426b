"""The demo ranches must make sense as hydraulics: hand sums in closed form, none of them ours.

Shut-off head less the resting water level gives the highest pressure that a closed line can reach.
A quadratic curve through the pump's points, Colebrook friction from the fluids library and the
float valve's square root give the pressure while one trough fills.
"""

import re
from math import pi, sqrt
from pathlib import Path

import pytest
from fluids.friction import friction_factor
from scipy.optimize import brentq

import labkit
from labkit.parts import CentrifugalPump, Pipe
from labkit.parts.tree import elevations
from labkit.site import Site
from labkit.sitefile import DEMO_SITES, demo_site, load_site
from labkit.units import si
from tests.customary import PSI

RHO, NU, G = 999.5, 1.24e-6, 9.80665  # water at 55 degF (12.8 degC), IAPWS-95 to three digits
ROOMS = Path(labkit.__file__).parent
RANCHES = sorted(path.stem for path in DEMO_SITES.glob("*.toml"))
CLOSING = [ranch for ranch in RANCHES if demo_site(ranch).pump.kind == "centrifugal"]
WITH_TANK = [ranch for ranch in RANCHES if demo_site(ranch).pressure_tank is not None]
CLIMBING = [ranch for ranch in RANCHES if ranch not in CLOSING]
PAIRS = [(ranch, trough.name) for ranch in RANCHES for trough in demo_site(ranch).troughs]


@pytest.fixture
def site(ranch: str) -> Site:
    return demo_site(ranch)


def lift(site: Site, flow: float) -> float:
    return si(site.well.static_level) + si(site.well.drawdown) * flow


def pump_head(site: Site, flow: float) -> float:
    """Give the head at the manifold at full speed [m]; by its slip where it has no curve."""
    pump = site.pump
    if isinstance(pump, CentrifugalPump):
        fall = (si(pump.shut_off_head) - si(pump.rated_head)) / si(pump.rated_flow) ** 2
        return si(pump.shut_off_head) - fall * flow**2 - lift(site, flow)
    swept = si(pump.rated_flow) / (1 - pump.slip)
    return si(pump.rated_head) * (swept - flow) / (pump.slip * swept) - lift(site, flow)


def friction(pipe: Pipe, flow: float) -> float:
    bore = si(pipe.bore)
    speed = flow / (pi / 4 * bore**2)
    if speed == 0.0:
        return 0.0
    f = friction_factor(Re=speed * bore / NU, eD=1.5e-6 / bore)
    return float((f * si(pipe.length) / bore + pipe.fittings) * speed**2 / (2 * G))


def path(site: Site, trough: str) -> list[Pipe]:
    before = {run.end: run for run in site.runs()}
    pipes, node = [], trough
    while node != "manifold":
        pipes.append(before[node].pipe)
        node = before[node].start
    return pipes


def filling(site: Site, trough: str) -> tuple[float, float]:
    """Give manifold head [m] and flow [m3/s] at full speed with one float valve open."""
    valve = site.trough(trough).float_valve.flow
    k = si(valve.flow) / sqrt(si(valve.pressure))

    def short(flow: float) -> float:
        line = sum(friction(pipe, flow) for pipe in path(site, trough))
        return pump_head(site, flow) - site.elevation(trough) - line - (flow / k) ** 2 / (RHO * G)

    flow = brentq(short, 1e-9, 2e-3)
    return pump_head(site, flow), flow


@pytest.mark.parametrize("ranch", CLOSING)
def test_a_closed_line_climbs_well_past_cut_out(site: Site) -> None:
    """A quarter more than cut-out, so that a hazy sun still stops the pump."""
    assert RHO * G * pump_head(site, 0.0) > 1.25 * si(site.pressure_switch.cut_out)


@pytest.mark.parametrize("ranch", RANCHES)
def test_the_line_can_fall_to_cut_in(site: Site) -> None:
    """The highest trough's column stands on the switch: 10 kPa (1.5 psi) to spare."""
    highest = max(site.elevation(trough.name) for trough in site.troughs)

    assert RHO * G * highest + 10e3 < si(site.pressure_switch.cut_in)


@pytest.mark.parametrize(("ranch", "trough"), PAIRS, ids=["-".join(pair) for pair in PAIRS])
def test_no_trough_stops_the_pump_while_it_fills(site: Site, trough: str) -> None:
    """At full sun, one float open: 25 kPa (3.6 psi) below cut-out, and under the 5 ft/s limit."""
    head, flow = filling(site, trough)

    assert RHO * G * head + 25e3 < si(site.pressure_switch.cut_out)
    assert all(flow / (pi / 4 * si(pipe.bore) ** 2) < 1.5 for pipe in path(site, trough))


@pytest.mark.parametrize(("ranch", "trough"), PAIRS, ids=["-".join(pair) for pair in PAIRS])
def test_the_array_turns_the_pump_at_full_speed_in_full_sun(site: Site, trough: str) -> None:
    """Shaft power of the water lifted, held against the array with a hot day's 15 % taken off."""
    _, flow = filling(site, trough)
    pump = site.pump
    rated = RHO * G * si(pump.rated_flow) * si(pump.rated_head) / pump.efficiency
    needed = rated
    if isinstance(pump, CentrifugalPump):
        share = pump.shut_off_power_share
        needed = rated * (share + (1 - share) * flow / si(pump.rated_flow))

    assert needed < 0.85 * site.drive.efficiency * site.array.derate * si(site.array.rated_power)


@pytest.mark.parametrize("ranch", WITH_TANK)
def test_the_precharge_is_two_psi_under_cut_in(site: Site) -> None:
    """Source: Water Systems Council sheet "Pressure Tanks", January 2007."""
    assert site.pressure_tank is not None

    under = si(site.pressure_switch.cut_in) - si(site.pressure_tank.precharge)

    assert under == pytest.approx(2 * PSI, rel=1e-6)


@pytest.mark.parametrize("ranch", RANCHES)
def test_every_pipe_bears_the_highest_pressure_it_can_see(site: Site) -> None:
    """At most 72 % of the rating where surge is not computed: Missouri (NRCS) Livestock Watering
    Systems Handbook, chapter 5, October 1997. A relief valve holds it to its full capacity."""
    if site.relief_valve is not None:
        highest = si(site.relief_valve.capacity.pressure)
    else:
        highest = RHO * G * pump_head(site, 0.0)

    heights = elevations(site.runs())
    for run in site.runs():
        lowest = min(heights[run.start], heights[run.end])
        assert highest - RHO * G * lowest < 0.72 * si(run.pipe.row.rating), run.end


@pytest.mark.parametrize("ranch", CLIMBING)
def test_a_pump_that_knows_no_shut_off_has_a_relief_valve(site: Site) -> None:
    relief = site.relief_valve

    assert relief is not None
    assert si(relief.opens_at) > 1.3 * si(site.pressure_switch.cut_out)
    assert si(relief.capacity.flow) > si(site.pump.rated_flow)


@pytest.mark.parametrize("ranch", RANCHES)
def test_a_file_is_named_and_commented(ranch: str) -> None:
    text = (DEMO_SITES / f"{ranch}.toml").read_text(encoding="utf-8")

    assert text.startswith("# An invented ranch")
    lines = text.splitlines()
    for above, line in zip(["", *lines], lines, strict=False):
        assert not line or "# " in line or above.startswith("# "), (
            f"{line}: no note says what it is"
        )
    assert load_site(DEMO_SITES / f"{ranch}.toml") == demo_site(ranch)


@pytest.mark.parametrize("name", ["first_line", "Two Buckets", "two buckets"])
def test_a_ranch_is_found_by_its_file_and_by_its_title(name: str) -> None:
    assert demo_site(name).title == "Two Buckets"


@pytest.mark.parametrize("ranch", RANCHES)
def test_a_ranch_is_nowhere_and_its_troughs_are_no_words_of_the_program(site: Site) -> None:
    """Whole degrees name no place; a trough called as a part or a picture would confuse a sentence."""
    for angle in (site.place.latitude, site.place.longitude):
        assert float(angle.magnitude).is_integer()
    said = "\n".join(path.read_text(encoding="utf-8") for path in ROOMS.rglob("*words.py"))
    for trough in site.troughs:
        assert not re.search(rf"\b{trough.name}\b", said), trough.name

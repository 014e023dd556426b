"""What each slider does to a site."""

import pytest

from labkit.errors import SiteError
from labkit.site import Site
from labkit.sun import Sun, constant
from labkit.units import UNIT_SYSTEMS, FlowAt, si
from labkit.view.controls import CONTROLS, apply_all, control_named, far_trough

PSI, GPM, FOOT, GALLON = 6894.757, 6.30902e-5, 0.3048, 3.785411784e-3

SUN = constant("700 W/m^2")


@pytest.mark.parametrize("name", CONTROLS)
def test_a_control_reads_back_what_it_set(ranch: Site, name: str) -> None:
    control = CONTROLS[name]
    span = control.spans["US"]
    factor = UNIT_SYSTEMS["US"][control.kind].factor
    value = factor * (span.low + 0.4 * (span.high - span.low))
    if name == "cut-in":
        value = 20.0 * PSI  # below the ranch's cut-out

    site, sun = control.apply(ranch, SUN, value)

    assert control.read(site, sun) == pytest.approx(value)
    assert (site, sun) != (ranch, SUN)


def test_a_control_changes_no_site_in_place(ranch: Site) -> None:
    CONTROLS["cut-out"].apply(ranch, SUN, 40.0 * PSI)

    assert si(ranch.pressure_switch.cut_out) == pytest.approx(30.0 * PSI)


def test_the_differential_keeps_the_cut_in(ranch: Site) -> None:
    site, _ = CONTROLS["switch differential"].apply(ranch, SUN, 8.0 * PSI)

    assert si(site.pressure_switch.cut_in) == pytest.approx(15.0 * PSI)
    assert si(site.pressure_switch.cut_out) == pytest.approx(23.0 * PSI)


def test_head_is_the_height_of_the_far_trough_and_spares_the_others(ranch: Site) -> None:
    assert far_trough(ranch).name == "hill"
    assert CONTROLS["head"].read(ranch, SUN) == pytest.approx(30.0 * FOOT)

    site, _ = CONTROLS["head"].apply(ranch, SUN, 50.0 * FOOT)

    assert site.elevation("hill") == pytest.approx(50.0 * FOOT)
    assert site.elevation("draw") == pytest.approx(-15.0 * FOOT)


def test_the_leak_stands_halfway_along_the_far_trough_s_pipe(ranch: Site) -> None:
    site, _ = CONTROLS["leak size"].apply(ranch, SUN, 0.5 * GPM)

    (leak,) = site.leaks
    assert leak.at == "hill"
    assert si(leak.distance) == pytest.approx(250.0 * FOOT)
    assert isinstance(leak.size, FlowAt)
    assert si(leak.size.flow) == pytest.approx(0.5 * GPM)
    assert si(leak.size.pressure) == pytest.approx(30.0 * PSI)


def test_no_volume_takes_the_tank_away(ranch: Site) -> None:
    site, _ = CONTROLS["tank volume"].apply(ranch, SUN, 5.0 * GALLON)

    assert site.pressure_tank is not None
    assert si(site.pressure_tank.precharge) == pytest.approx(13.0 * PSI, rel=1e-4)
    assert CONTROLS["tank volume"].apply(site, SUN, 0.0)[0].pressure_tank is None


def test_sun_is_replaced_by_a_constant_one(ranch: Site) -> None:
    _, sun = CONTROLS["irradiance"].apply(ranch, SUN, 420.0)

    assert isinstance(sun, Sun)
    assert set(sun.irradiance) == {420.0}


def test_both_set_points_may_rise_past_the_old_ones(ranch: Site) -> None:
    """Cut-in first would stand above the old cut-out."""
    values = [(CONTROLS["cut-in"], 40.0 * PSI), (CONTROLS["cut-out"], 55.0 * PSI)]

    site, _ = apply_all((ranch, SUN), values)

    assert si(site.pressure_switch.cut_in) == pytest.approx(40.0 * PSI)


def test_settings_that_fit_in_no_order_say_why(ranch: Site) -> None:
    values = [(CONTROLS["cut-in"], 40.0 * PSI), (CONTROLS["cut-out"], 35.0 * PSI)]

    with pytest.raises(SiteError, match="cut_in"):
        apply_all((ranch, SUN), values)


def test_an_unknown_control_is_answered_with_those_that_are() -> None:
    with pytest.raises(SiteError, match="irradiance"):
        control_named("sunshine")


@pytest.mark.parametrize("system", ["US", "metric"])
@pytest.mark.parametrize("name", CONTROLS)
def test_a_range_is_whole_steps_long(name: str, system: str) -> None:
    span = CONTROLS[name].spans[system]

    steps = (span.high - span.low) / span.step

    assert steps == pytest.approx(round(steps))
    assert 20 <= steps <= 150

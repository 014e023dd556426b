"""What each slider does to a site."""

import pytest

from labkit.catalogue import sizes_like
from labkit.errors import SiteError
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.sun import Sun, constant
from labkit.units import UNIT_SYSTEMS, FlowAt, si
from labkit.view.bench import bench
from labkit.view.controls import CHOICES, CONTROLS, apply_all, control_named
from labkit.view.page import SettingSlider
from tests.customary import FOOT, GALLON, GPM, PSI

SUN = constant("700 W/m^2")


@pytest.mark.parametrize("name", CONTROLS)
def test_a_control_reads_back_what_it_set(ranch: Site, name: str) -> None:
    control = CONTROLS[name]
    span = control.spans["US"]
    factor = UNIT_SYSTEMS["US"][control.kind].factor
    value = factor * (span.low + 0.4 * (span.high - span.low))
    if name == "cut-in":
        value = 20.0 * PSI  # below the ranch's cut-out
    if name == "precharge":
        ranch, _ = CONTROLS["tank volume"].apply(ranch, SUN, 5.0 * GALLON)

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
    assert ranch.farthest().name == "elm"
    assert CONTROLS["head"].read(ranch, SUN) == pytest.approx(30.0 * FOOT)

    site, _ = CONTROLS["head"].apply(ranch, SUN, 50.0 * FOOT)

    assert site.elevation("elm") == pytest.approx(50.0 * FOOT)
    assert site.elevation("draw") == pytest.approx(-15.0 * FOOT)


def test_the_leak_stands_halfway_along_the_far_trough_s_pipe(ranch: Site) -> None:
    site, _ = CONTROLS["leak size"].apply(ranch, SUN, 0.5 * GPM)

    (leak,) = site.leaks
    assert leak.at == "elm"
    assert si(leak.distance) == pytest.approx(250.0 * FOOT)
    assert isinstance(leak.size, FlowAt)
    assert si(leak.size.flow) == pytest.approx(0.5 * GPM)
    assert si(leak.size.pressure) == pytest.approx(30.0 * PSI)


def test_no_volume_takes_the_tank_away(ranch: Site) -> None:
    site, _ = CONTROLS["tank volume"].apply(ranch, SUN, 5.0 * GALLON)

    assert site.pressure_tank is not None
    assert si(site.pressure_tank.precharge) == pytest.approx(13.0 * PSI, rel=1e-4)
    assert CONTROLS["tank volume"].apply(site, SUN, 0.0)[0].pressure_tank is None


def test_a_charge_turns_nothing_where_there_is_no_tank(ranch: Site) -> None:
    control = CONTROLS["precharge"]

    site, _ = control.apply(ranch, SUN, 30.0 * PSI)

    assert site == ranch
    assert control.read(ranch, SUN) == pytest.approx(13.0 * PSI, rel=1e-4)  # what one would get


def test_a_tank_comes_with_its_charge(ranch: Site) -> None:
    tank, charge = CONTROLS["tank volume"], CONTROLS["precharge"]

    site, _ = apply_all((ranch, SUN), [(tank, 8.0 * GALLON), (charge, 20.0 * PSI)])

    assert site.pressure_tank is not None
    assert si(site.pressure_tank.precharge) == pytest.approx(20.0 * PSI)


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


@pytest.mark.parametrize("name", CHOICES)
def test_a_choice_reads_back_each_of_its_options(ranch: Site, name: str) -> None:
    choice = CHOICES[name]
    herds = {f"trough.{one}.herd": {"head": 9, "kind": "horse"} for one in ("elm", "draw")}
    site = ranch.changed(herds)

    options = choice.options(site)

    assert len(options) >= 2
    assert choice.read(site, SUN) in options
    for option in options:
        assert choice.read(*choice.apply(site, SUN, option)) == option
        assert choice.option_words(option)


def test_haze_dims_the_sun_in_whatever_order_the_two_are_set() -> None:
    """Half of 800 W/m2 gets through, and the slider of the sun still says 800."""
    sun, haze = CONTROLS["irradiance"], CONTROLS["haze"]
    for first, second in (((sun, 800.0), (haze, 0.5)), ((haze, 0.5), (sun, 800.0))):
        site, light = apply_all((demo_site("first_line"), SUN), [first, second])

        assert set(light.irradiance) == {400.0}
        assert sun.read(site, light) == pytest.approx(800.0)
        assert haze.read(site, light) == 0.5


def test_a_deeper_well_takes_the_pump_along(ranch: Site) -> None:
    site, _ = CONTROLS["lift"].apply(ranch, SUN, 90.0 * FOOT)

    assert si(site.well.static_level) == pytest.approx(90.0 * FOOT)
    assert si(site.well.intake_depth) == pytest.approx(140.0 * FOOT)  # 50 ft under water as before


def test_the_other_kind_of_pump_is_made_for_the_same_point(ranch: Site) -> None:
    site, _ = CHOICES["pump kind"].apply(ranch, SUN, "positive displacement")

    assert (site.pump.rated_flow, site.pump.rated_head) == (
        ranch.pump.rated_flow,
        ranch.pump.rated_head,
    )


def test_pipe_sizes_are_those_of_the_line_s_own_series_from_small_to_large() -> None:
    """ASTM D2239 has no other insert sizes within 3/4 to 2 in."""
    assert sizes_like("1 1/4 in PE SIDR 15") == tuple(
        f"{size} in PE SIDR 15" for size in ("3/4", "1", "1 1/4", "1 1/2", "2")
    )


def test_stock_come_to_some_troughs_and_stay_away_from_the_others() -> None:
    site = demo_site("three_troughs")
    choice = CHOICES["where stock drink"]
    assert choice.options(site)[:2] == ("creek + corral + lookout", "creek + corral")

    changed, _ = choice.apply(site, SUN, "lookout")

    heads = {one.name: one.herd.head for one in changed.troughs if one.herd is not None}
    assert heads == {"creek": 0, "corral": 0, "lookout": 40}


def test_a_trough_has_its_own_height_and_pipe() -> None:
    site = demo_site("three_troughs")

    turned = [(control_named("height of creek"), 10.0 * FOOT)]
    turned += [(control_named("pipe to creek"), 900.0 * FOOT)]
    turned += [(control_named("float at creek"), 5.0 * GPM)]
    site, _ = apply_all((site, SUN), turned)

    assert site.elevation("creek") == pytest.approx(10.0 * FOOT)
    assert site.elevation("lookout") == pytest.approx(33.0 * FOOT)  # 5 + 12 + 16
    assert control_named("pipe to creek").read(site, SUN) == pytest.approx(900.0 * FOOT)
    assert si(site.troughs[0].float_valve.flow.pressure) == pytest.approx(20.0 * PSI)
    assert control_named("float at creek").read(site, SUN) == pytest.approx(5.0 * GPM)
    with pytest.raises(SiteError, match="creek, corral, lookout"):
        control_named("height of moon").read(site, SUN)


def test_a_bench_offers_a_choice_beside_its_sliders() -> None:
    made = bench(demo_site("first_line"), ["irradiance", "pipe size"])
    listed = made.sliders["pipe size"]

    listed.value = "3/4 in PE SIDR 9"

    assert made.site.troughs[0].pipe.row.size == "3/4 in PE SIDR 9"
    assert "Pipe size 3/4 in PE SIDR 9" in made.alt
    made.on_reset()
    assert listed.value == "1 1/4 in PE SIDR 9"
    assert made.site.troughs[0].pipe.row.size == "1 1/4 in PE SIDR 9"
    made.lock()
    assert listed.disabled


def test_the_range_screw_moves_both_points_and_the_nut_cut_out_alone() -> None:
    """Common practice: 3.5 and 4.5 psi a turn of the screw, 2.5 psi a turn of the nut."""
    site = demo_site("first_line")  # 30 and 50 psi, as from the box
    screw, nut = CONTROLS["range screw"], CONTROLS["differential nut"]
    turn = 6.283185307

    turned, _ = screw.apply(site, SUN, 2.0 * turn)
    assert si(turned.pressure_switch.cut_in) == pytest.approx(23.0 * PSI)
    assert si(turned.pressure_switch.cut_out) == pytest.approx(41.0 * PSI)

    for order in ((screw, nut), (nut, screw)):
        both, _ = apply_all(
            (site, SUN), [(one, 2.0 * turn if one is screw else turn) for one in order]
        )
        assert si(both.pressure_switch.cut_in) == pytest.approx(23.0 * PSI)
        assert si(both.pressure_switch.cut_out) == pytest.approx(43.5 * PSI)


def test_one_fault_at_a_time_lies_between_switch_and_drive() -> None:
    fault = CHOICES["wire fault"]
    site, _ = fault.apply(demo_site("first_line"), SUN, "stuck open")
    assert site.pressure_switch.contact == "stuck open"

    site, _ = fault.apply(site, SUN, "cut")

    assert site.pressure_switch.contact == "works"
    assert site.pressure_switch.wire is not None
    assert site.pressure_switch.wire.condition == "cut"


def test_the_other_drive_stops_on_the_other_contact() -> None:
    drive = CHOICES["drive kind"]
    mains, _ = drive.apply(demo_site("first_line"), SUN, "mains")

    assert mains.drive.stop_when == "open"
    assert drive.apply(demo_site("first_line"), SUN, "solar")[0] == demo_site("first_line")


def test_the_drinking_rate_is_that_of_the_herd_together() -> None:
    """Twelve head, one visit of 5 min: 6 gal each make 72 gal in 5 min, 14.4 gpm."""
    site = demo_site("first_line")
    control = CONTROLS["drinking rate"]
    assert control.read(site, SUN) == pytest.approx(14.4 * GPM)

    changed, _ = control.apply(site, SUN, 3.0 * GPM)

    herd = changed.troughs[0].herd
    assert herd is not None
    assert herd.daily_need is not None
    assert (herd.head, herd.visits) == (12, ("12:25",))
    assert float(herd.daily_need.to("gal/day").magnitude) == pytest.approx(1.25)


def test_pipes_of_one_size_are_offered_from_soft_to_stiff() -> None:
    choice = CHOICES["pipe material"]

    offered = choice.options(demo_site("first_line"))

    assert offered[0] == "1 1/4 in PE SIDR 9"
    assert offered[-1] == "1 1/4 in PVC Sch 40"


def handed_back(slider: SettingSlider) -> float:
    """Round what a slider shows as a browser does: to its steps from its lower end, to 0.01."""
    steps = round((slider.value - slider.min) / slider.step)
    return float(round(slider.min + steps * slider.step, 2))


@pytest.mark.parametrize("system", ["US", "metric"])
@pytest.mark.parametrize("name", CONTROLS)
def test_a_slider_left_alone_leaves_the_site_alone(name: str, system: str) -> None:
    leak = {"at": "elm", "distance": "750 ft", "size": "0.2 gpm at 30 psi"}
    site = demo_site("first_line").changed({"pressure_tank.volume": "2 gal", "leaks": [leak]})
    control = CONTROLS[name]
    row = SettingSlider(control, start=control.read(site, SUN), system="US", changed=lambda: None)

    row.use(system)
    row.move(handed_back(row))

    assert apply_all((site, SUN), [(control, row.si)]) == (site, SUN)


def test_a_slider_off_its_steps_goes_to_the_next_one_as_it_is_moved() -> None:
    site = demo_site("first_line").changed({"pressure_tank.volume": "2 gal"})
    control = CONTROLS["tank volume"]
    row = SettingSlider(control, start=control.read(site, SUN), system="US", changed=lambda: None)
    row.use("metric")

    row.value += row.step

    assert row.value == 10.0
    assert row.si == pytest.approx(10e-3)
    row.value -= row.step
    assert row.value == 5.0

"""A check valve at balance, where rounding alone decides which way it would move."""

import pytest

from labkit import demo_site, simulate


@pytest.mark.parametrize("sun", ["300 W/m^2", "900 W/m^2"])
def test_a_line_that_dead_heads_below_cut_out_does_not_switch_without_end(sun: str) -> None:
    """The pump stands at its dead head for most of the hour; the rows stay few."""
    site = demo_site("first_line").changed(
        {
            "well.static_level": "80 ft",
            "pump.shut_off_head": "160 ft",
            "switch.cut_in": "25 psi",
            "switch.cut_out": "45 psi",
        }
    )

    trace = simulate(site, "1 hour", sun=sun, levels={"elm": "14 in"})

    assert trace.verdict == "no stop"
    assert trace.time.size < 2000


@pytest.mark.parametrize("watts", [1e-250, 1e-200, 1e-100])
def test_hardly_any_sun_on_a_trough_below_the_well_is_as_good_as_none(watts: float) -> None:
    """Water would run by itself there; a pump that hardly turns must not let it through."""
    site = demo_site("first_line").changed(
        {
            "well.static_level": "0 ft",
            "drive.start_power": "0 W",
            "trough.elm.pipe.length": "1 ft",
            "trough.elm.pipe.rise": "-0.1 ft",
            "trough.elm.herd": None,
            "pressure_tank": None,
        }
    )

    dim, dark = (
        simulate(site, "10 min", sun=f"{sun} W/m^2", levels={"elm": "1 in"}).totals
        for sun in (watts, 0.0)
    )

    assert dark.pumped == 0.0
    assert dim.pumped < 1e-12
    assert dim.delivered == pytest.approx(dark.delivered, abs=1e-12)

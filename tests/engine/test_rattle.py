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

    trace = simulate(site, "1 hour", sun=sun, levels={"hill": "14 in"})

    assert trace.verdict == "no stop"
    assert trace.time.size < 2000

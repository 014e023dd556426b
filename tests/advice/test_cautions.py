"""What no setting of the switch can mend: said where a run bears it out."""

from __future__ import annotations

import pytest

from labkit import demo_site, operating_window, simulate
from tests.customary import PSI
from tests.engine.lines import line

NARROW = 2.0 * PSI


def test_what_no_setting_can_mend_is_said() -> None:
    weak = operating_window(line(array__rated_power="150 W", trough__lane__pipe__rise="30 ft"))
    assert [c.name for c in weak.cautions] == ["weak sun"]
    from_sun = weak.cautions[0].sun
    assert from_sun is not None
    reached = {
        sun: simulate(
            line(array__rated_power="150 W", trough__lane__pipe__rise="30 ft"),
            "30 min", sun=f"{sun} W/m^2", levels={"lane": "1 in"},
        ).totals.delivered > 1e-3
        for sun in (0.95 * from_sun, 1.05 * from_sun)
    }  # fmt: skip
    assert list(reached.values()) == [False, True]
    never = operating_window(line(trough__lane__pipe__rise="180 ft"))
    assert [c.name for c in never.cautions] == ["no reach"]
    assert not never.is_open
    dry = line(well={"static_level": "70 ft", "intake_depth": "80 ft", "drawdown": "3 ft/gpm"})
    assert [c.name for c in operating_window(dry).cautions] == ["low water"]


@pytest.mark.parametrize(
    "change",
    [
        {"check_valve__leak": "2 mm hole"},
        {"leaks": [{"at": "lane", "size": "0.1 gpm at 30 psi"}]},
        {"trough__lane__float_valve__seat_leak": "0.1 gpm at 30 psi"},
    ],
)
def test_a_line_that_loses_water_is_cautioned_as_it_cycles(change: dict[str, object]) -> None:
    site = line(**change)

    assert [c.name for c in operating_window(site).cautions] == ["leaks"]
    assert simulate(site, "1 hour", sun="1000 W/m^2").verdict == "cycling"


def test_a_pump_that_lifts_no_water_to_the_switch_leaves_no_room() -> None:
    """By hand: in 100 W/m2 the array gives 40 W or less to a pump that idles at full speed on
    0.55 x 8 gpm x 170 ft / 0.45 = 314 W: (40 / 314)^(2/3) of 230 ft are 58 ft, and the water stands
    70 ft down."""
    site = line(array__rated_power="450 W", drive__start_power="10 W")

    window = operating_window(site, sun_range=("100 W/m^2", "1000 W/m^2"))

    assert window.dead_head[0] == 0.0
    assert window.room.ceiling == 0.0
    assert not window.is_open
    (lane,) = window.troughs
    assert lane.reached_from is not None
    assert lane.reached_from > 100.0
    assert lane.least >= 0.0


def test_a_line_that_hangs_far_below_breaks_off_at_the_vapour_limit() -> None:
    """At 3,000 ft the air weighs 13.17 psi (ISO 2533), water boils at 0.21 psi (55 degF)."""
    site = line(trough__lane__pipe__rise="-120 ft")

    (lane,) = operating_window(site).troughs

    assert lane.static == pytest.approx((0.21 - 13.17) * PSI, abs=0.02 * PSI)


@pytest.mark.parametrize("stop_when", ["closed", "open"])
@pytest.mark.parametrize("action", ["closes on rise", "opens on rise"])
@pytest.mark.parametrize(
    "broken",
    [{}, {"contact": "stuck open"}, {"contact": "stuck closed"}, {"nipple": "plugged"},
     {"wire": {"gauge": "18 AWG", "length": "30 ft", "condition": "cut"}},
     {"wire": {"gauge": "18 AWG", "length": "30 ft", "condition": "shorted"}}],
    ids=["whole", "stuck open", "stuck closed", "plugged", "cut", "shorted"],
)  # fmt: skip
def test_a_switch_that_cannot_speak_is_cautioned_as_it_runs(
    stop_when: str, action: str, broken: dict[str, object]
) -> None:
    """A pump that never starts pumps nothing; one that is never told to stop stands at dead head."""
    changes = {f"switch.{key}": value for key, value in broken.items()}
    site = demo_site("one_trough").changed(
        {"drive.stop_when": stop_when, "switch.action": action, **changes}
    )
    run = simulate(site, "40 min", sun="900 W/m^2", start="02:00")  # at night nobody drinks

    said = {c.name for c in operating_window(site).cautions} & {"never starts", "never stops"}

    if not run.times("pump starts"):
        assert said == {"never starts"}
    elif not run.times("drive told to stop"):
        assert said == {"never stops"}
    else:
        assert said == set()

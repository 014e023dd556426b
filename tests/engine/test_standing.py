"""A line that goes on from where it stands: in pieces as in one, and with things turned."""

import pytest

from labkit.engine.run import simulate
from labkit.engine.standing import go_on, standing
from labkit.errors import RunError
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.trace import DriveState
from tests.customary import PSI

SUN = "700 W/m^2"


@pytest.fixture(scope="module")
def site() -> Site:
    return demo_site("one_trough_uphill")


def test_a_day_in_pieces_is_the_day_in_one(site: Site) -> None:
    """The pieces end in the middle of filling, of cycling and of rest."""
    whole = simulate(site, "3 hour", sun=SUN, start="06:30")

    now, events, passed = standing(site, sun=SUN, start="06:30"), [], 0.0
    for minutes in (40.0, 33.0, 1.5, 105.5):
        trace, now = go_on(now, f"{minutes} min")
        events += [(passed + event.time, event.kind) for event in trace.events]
        passed += 60.0 * minutes

    assert [kind for _, kind in events] == [event.kind for event in whole.events]
    for (time, kind), event in zip(events, whole.events, strict=True):
        assert time == pytest.approx(event.time, abs=2.0), kind
    assert now.clock == pytest.approx(9.5 * 3600.0)


def test_a_shut_valve_keeps_a_leak_in_the_line_from_the_gauge(site: Site) -> None:
    leak = [{"at": "notch", "distance": "500 ft", "size": "0.3 gpm at 30 psi"}]
    _, now = go_on(standing(site.changed({"leaks": leak}), sun=SUN, start="08:00"), "10 min")

    shut, _ = go_on(now, "10 min", is_valve_shut=True, is_drive_off=True)
    opened, _ = go_on(now, "10 min", is_drive_off=True)

    assert shut.pressure[-1] == pytest.approx(shut.pressure[0], abs=0.2 * PSI)
    assert opened.pressure[-1] < opened.pressure[0] - 5.0 * PSI
    assert shut.head["notch"][-1] < shut.head["notch"][0] - 5.0, "the line beyond goes on leaking"


def test_a_drive_without_power_stands_still_and_comes_back(site: Site) -> None:
    trace, now = go_on(standing(site, sun=SUN, start="08:00"), "5 min", is_drive_off=True)
    assert set(trace.drive_state.tolist()) == {DriveState.RESTING}

    opened = site.changed({"trough.notch.float_valve.position": "always open"})
    trace, now = go_on(now, "10 min", site=opened)

    assert trace.drive_state[-1] == DriveState.RUNNING
    assert now.site == opened


def test_the_switch_stays_as_it_was(site: Site) -> None:
    """Between the two points a pressure alone does not say whether the contact has tripped."""
    _, now = go_on(standing(site, sun=SUN, start="08:00"), "10 min")
    drip = site.changed({"trough.notch.float_valve.seat_leak": "0.2 gpm at 30 psi"})
    _, now = go_on(now, "1 min", site=drip)
    assert 27.0 * PSI < now.pressure < 45.0 * PSI

    trace, after = go_on(now, "10 min", site=site)

    assert trace.tripped.all()
    assert after.is_tripped
    assert trace.times("pump starts") == []


def test_no_water_is_lost_where_runs_meet(site: Site) -> None:
    leaky = site.changed({"check_valve.leak": "0.3 gpm at 30 psi"})
    _, now = go_on(standing(leaky, sun=SUN, start="06:30"), "61 min")
    trace, _ = go_on(now, "30 min", site=leaky.changed({"trough.notch.freeboard": "1 in"}))

    measures = trace.measures()
    assert measures.balance_error <= 1e-6 * measures.pumped + 1e-6


def test_other_nodes_are_refused(site: Site) -> None:
    now = standing(site, sun=SUN, start="08:00")
    leak = [{"at": "notch", "distance": "500 ft", "size": "0.3 gpm at 30 psi"}]

    with pytest.raises(RunError, match="cannot go on with pipes or leaks in other places"):
        go_on(now, "1 min", site=site.changed({"leaks": leak}))


def test_a_manifold_without_drop_pipe_is_drained_behind_its_valve() -> None:
    """Once the tank is empty only fittings are left to give; the pressure falls to nothing."""
    bare = demo_site("one_trough")
    _, now = go_on(standing(bare, sun=SUN, start="10:00"), "10 min")
    drain = bare.changed({"leaks": [{"at": "manifold", "size": "8 gpm at 20 psi"}]})

    trace, _ = go_on(now, "10 min", site=drain, is_valve_shut=True, is_drive_off=True)

    assert abs(trace.pressure[-1]) < 0.1 * PSI
    assert trace.tank_water[-1] == pytest.approx(0.0, abs=1e-6)


def test_a_trough_may_stand_low_at_first(site: Site) -> None:
    now = standing(site, sun=SUN, start="08:00", levels={"notch": "10 in"})
    trace, _ = go_on(now, "1 min")

    assert trace.level["notch"][0] == pytest.approx(10 * 0.0254)

"""What the window makes of limits and judgements, which are made up here; and its figures of a line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from labkit import Site, steady
from labkit.advice import remedies as remedies_module
from labkit.advice import window as window_module
from labkit.advice.bounds import Bound
from labkit.advice.curves import dead_head_pressure
from labkit.advice.judge import Judgement, Reason
from labkit.advice.line import Line, SunRange
from labkit.advice.setting import Room, Setting
from labkit.advice.window import Window, bare_window, choose
from labkit.engine.stopping import Stop
from labkit.units import si
from tests.advice.trying import SENSOR
from tests.customary import PSI
from tests.engine.lines import line

if TYPE_CHECKING:
    from collections.abc import Callable

SUN = SunRange(low=250.0, high=1000.0, least=250.0, most=1000.0)
ROOM = Room(cut_in_above=10.0 * PSI, floor=20.0 * PSI, ceiling=60.0 * PSI)


def judgement(site: Site, *, works: bool = True, starts: int | None = 10) -> Judgement:
    bad = Reason(verdict="cycling", cause="run", where="lane")
    return Judgement(
        site=site, sun=SUN, reasons=() if works else (bad,), starts=starts, most_starts=15.0
    )


def setting(
    cut_in: float = 20.0,
    cut_out: float = 40.0,
    off: tuple[float, float] = (4.0, 3.0),
    margin: float = 5.0,
) -> Setting:
    return Setting(
        cut_in=cut_in * PSI, cut_out=cut_out * PSI, precharge=(cut_in - 2.0) * PSI, turns=0.0,
        differential_turns=0.0, margin=margin * PSI, off_by=(off[0] * PSI, off[1] * PSI),
    )  # fmt: skip


def window(site: Site, bounds: tuple[Bound, ...] = ()) -> Window:
    return Window(
        site=site, sun=SUN, deciding=bounds, troughs=(), all_open=0.0, dead_head=(0.0, 0.0),
    )  # fmt: skip


def limit(limits: str, side: str, psi: float) -> Bound:
    return Bound(
        name="a limit",
        limits=limits,
        side=side,
        pressure=psi * PSI,
        sure=psi * PSI,
        failure="no stop",
    )


SOME = (
    limit("cut-in", "above", 12.0), limit("cut-in", "above", 17.0), limit("cut-out", "above", 31.0),
    limit("cut-out", "above", 28.0), limit("cut-out", "below", 60.0), limit("cut-out", "below", 55.0),
)  # fmt: skip


def test_the_tightest_limit_is_the_highest_from_under_and_the_lowest_from_over() -> None:
    found = window(line(), SOME)

    assert found.tightest("cut-in", "above") == SOME[1]
    assert found.tightest("cut-out", "above") == SOME[2]
    assert found.tightest("cut-out", "below") == SOME[5]
    assert found.tightest("cut-in", "below") is None


# --- the setting that is chosen


class Judge:
    """A made-up judge, and what it was asked."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, works: Callable[[Site], bool]) -> None:
        self.asked: list[tuple[str, int]] = []
        self.works = works
        monkeypatch.setattr(window_module, "judge", self)

    def __call__(self, site: Site, *_: object, **__: object) -> Judgement:
        self.asked.append((site.drive.listens_to, cut_out_of(site)))
        return judgement(site, works=self.works(site))


def cut_out_of(site: Site) -> int:
    return round(si(site.pressure_switch.cut_out) / PSI)


def chosen_of(
    monkeypatch: pytest.MonkeyPatch, site: Site, works: Callable[[Site], bool]
) -> tuple[tuple[Setting | None, Judgement | None, Site | None], Judge]:
    monkeypatch.setattr(
        window_module, "settings", lambda *_: [setting(20, 40), setting(25, 45), setting(30, 50)]
    )
    asked = Judge(monkeypatch, works)
    return choose(site, SUN, ROOM), asked


def test_the_first_setting_that_works_is_chosen_and_no_other_is_tried(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (chosen, judged, refused), judge = chosen_of(
        monkeypatch, line(), lambda site: cut_out_of(site) >= 45
    )

    assert chosen == setting(25, 45)
    assert judged is not None
    assert judged.works
    assert cut_out_of(judged.site) == 45
    assert refused is None
    assert judge.asked == [("pressure switch", 40), ("pressure switch", 45)]


def test_beside_sensors_the_switch_must_do_it_alone_and_in_their_company(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """At 40 psi not with the sensors, at 45 not by itself."""
    both = line(level_sensors=[SENSOR], drive__listens_to="either")

    def works(site: Site) -> bool:
        alone = site.drive.listens_to == "pressure switch"
        return cut_out_of(site) >= (50 if alone else 45)

    (chosen, judged, _), judge = chosen_of(monkeypatch, both, works)

    assert chosen == setting(30, 50)
    assert judged is not None
    assert judged.site.drive.listens_to == "either"
    assert judge.asked == [
        ("either", 40), ("either", 45), ("pressure switch", 45), ("either", 50),
        ("pressure switch", 50),
    ]  # fmt: skip


def test_where_none_works_the_first_that_was_refused_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (chosen, judged, refused), judge = chosen_of(monkeypatch, line(), lambda _: False)

    assert (chosen, judged) == (None, None)
    assert refused is not None
    assert cut_out_of(refused) == 40
    assert len(judge.asked) == 3


def with_choice(
    monkeypatch: pytest.MonkeyPatch, chosen: Setting | None, *, works: bool = True, **site: Any
) -> Window:
    """A window that chose a setting; the judge then always says the same."""
    found = window(line(**site), SOME)
    judged = judgement(found.site) if chosen else None
    refused = None if chosen else found.site
    monkeypatch.setattr(window_module, "choose", lambda *_: (chosen, judged, refused))
    Judge(monkeypatch, lambda _: works)
    return found


def test_without_a_setting_that_works_it_tells_what_speaks_against_the_best(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    closed = with_choice(monkeypatch, None, works=False)

    assert not closed.is_open
    assert closed.judged is not None
    assert closed.judged.verdict == "cycling"
    assert closed.off_by == (0.0, 0.0)


@pytest.mark.parametrize(
    ("off", "apart", "between", "found"),
    [
        ((4.0, 3.0), (0, 99), (0, 99), (4.0, 3.0)),  # the runs bear all that the limits leave
        ((4.0, 3.0), (16, 99), (0, 99), (2.0, 1.0)),  # 20 apart: 13 at first, 15, then 17
        ((1.0, 0.0), (20, 99), (0, 99), (0.0, 0.0)),
        ((5.0, 5.0), (0, 26), (0, 99), (3.0, 3.0)),  # too far from each other
        ((5.0, 5.0), (0, 99), (0, 42), (2.0, 2.0)),  # both up
        ((5.0, 5.0), (0, 99), (39, 99), (1.0, 1.0)),  # both down
        ((5.0, 5.0), (20, 20), (0, 99), (0.0, 0.0)),
    ],
)
def test_points_may_be_off_as_far_as_runs_bear_at_every_corner(
    monkeypatch: pytest.MonkeyPatch,
    off: tuple[float, float],
    apart: tuple[int, int],
    between: tuple[int, int],
    found: tuple[float, float],
) -> None:
    """By hand, from 20 and 40 psi: what works has its points so far apart, its cut-out so high."""
    one = with_choice(monkeypatch, setting(off=off))

    def works(site: Site) -> bool:
        differential = cut_out_of(site) - round(si(site.pressure_switch.cut_in) / PSI)
        return apart[0] <= differential <= apart[1] and between[0] <= cut_out_of(site) <= between[1]

    Judge(monkeypatch, works)

    assert tuple(each / PSI for each in one.off_by) == pytest.approx(found)


def test_points_that_are_off_are_judged_by_the_switch_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Sensors beside it would hide that the switch no longer does it."""
    far_off = setting(off=(5.0, 5.0))
    one = with_choice(monkeypatch, far_off, level_sensors=[SENSOR], drive__listens_to="either")
    asked = Judge(monkeypatch, lambda _: True)

    assert one.off_by == pytest.approx((5.0 * PSI, 5.0 * PSI))
    assert sorted(asked.asked) == 2 * [("pressure switch", 35)] + 2 * [("pressure switch", 45)]


@pytest.mark.parametrize(("chosen", "cut_out"), [(setting(25, 45), 45.0), (None, 40.0)])
def test_how_far_the_stop_climbs_is_told_of_what_is_recommended_or_else_of_what_is_set(
    monkeypatch: pytest.MonkeyPatch, chosen: Setting | None, cut_out: float
) -> None:
    found = with_choice(monkeypatch, chosen)
    asked: list[float] = []

    def stop(_: Line, __: SunRange, at: float) -> Stop:
        asked.append(at)
        return Stop(peak={"manifold": at + 6.0 * PSI, "lane": at + 9.0 * PSI}, is_locked=False)

    monkeypatch.setattr(Line, "hardest_stop", stop)

    assert found.overshoot == pytest.approx(6.0 * PSI)
    assert asked == [pytest.approx(cut_out * PSI)]


@pytest.mark.parametrize(
    ("chosen", "listens", "looks"),
    [
        (setting(), "pressure switch", False),
        (setting(margin=1.9), "pressure switch", True),
        (None, "pressure switch", True),
        (None, "either", True),
        (None, "level sensor", False),
    ],
)
def test_remedies_are_for_a_window_that_is_empty_or_narrow_and_for_a_switch(
    monkeypatch: pytest.MonkeyPatch, chosen: Setting | None, listens: str, looks: bool
) -> None:
    found = with_choice(monkeypatch, chosen, level_sensors=[SENSOR], drive__listens_to=listens)
    monkeypatch.setattr(remedies_module, "remedies", lambda _: ("a remedy",))

    assert (found.remedies != ()) is looks


@pytest.mark.parametrize(
    ("tank", "listens", "asks"),
    [
        (None, "pressure switch", True),
        (None, "either", True),
        (None, "level sensor", False),
        ({"volume": "5 gal", "precharge": "18 psi"}, "pressure switch", False),
    ],
)
def test_what_it_costs_to_have_no_tank_is_asked_where_a_switch_has_none(
    monkeypatch: pytest.MonkeyPatch, tank: object, listens: str, asks: bool
) -> None:
    found = with_choice(
        monkeypatch, setting(), pressure_tank=tank, level_sensors=[SENSOR], drive__listens_to=listens
    )  # fmt: skip
    monkeypatch.setattr(remedies_module, "no_tank", lambda _: "a cost")

    assert (found.no_tank is not None) is asks


# --- the figures of a line


def test_a_window_s_figures_are_those_of_the_settled_line() -> None:
    """Each by itself, from the settled states in the weakest sun and in the strongest."""
    site = line(array__rated_power="500 W")
    found = bare_window(site, 250.0, 1000.0)
    free = site.changed({"switch.cut_out": "100 psi"})

    def open_in(sun: float) -> float:
        return steady(free, sun=f"{sun} W/m^2", open_troughs=["lane"]).pressure["manifold"]

    (lane,) = found.troughs
    assert found.dead_head == pytest.approx(
        (dead_head_pressure(site, "250 W/m^2"), dead_head_pressure(site, "1000 W/m^2"))
    )
    assert found.dead_head[0] < 0.5 * found.dead_head[1]
    assert found.all_open == pytest.approx(open_in(1000.0))
    assert lane.least == pytest.approx(open_in(250.0))
    assert open_in(250.0) < 0.5 * open_in(1000.0) < open_in(1000.0) < lane.most


def test_a_trough_up_the_hill_is_reached_from_the_weakest_sun_that_lifts_water_to_it() -> None:
    site = line(array__rated_power="300 W", trough__lane__pipe__rise="30 ft")

    (lane,) = bare_window(site, 100.0, 1000.0).troughs

    assert lane.reached_from is not None
    assert 101.0 < lane.reached_from < 900.0
    inflow = [
        steady(site, sun=f"{lane.reached_from + more} W/m^2", open_troughs=["lane"]).inflow["lane"]
        for more in (-0.01, 1e-9)
    ]
    assert inflow[0] <= 0.0 < inflow[1]
    at_first = steady(site, sun=f"{lane.reached_from} W/m^2", open_troughs=["lane"])
    assert lane.least == pytest.approx(at_first.pressure["manifold"], rel=1e-6)


def test_the_judge_is_asked_for_all_of_the_line_as_it_stands(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    found = with_choice(monkeypatch, setting())
    asked: list[tuple[Site, float, float, float | None]] = []

    def judge(site: Site, low: float, high: float, *, gives_up_past: float | None) -> Judgement:
        asked.append((site, low, high, gives_up_past))
        return judgement(site)

    monkeypatch.setattr(window_module, "judge", judge)

    assert found.own.site == found.site
    assert asked == [(found.site, SUN.low, SUN.high, None)]

"""How single changes are looked for, with made-up windows and judgements: what is tried, in what order."""

from __future__ import annotations

from math import inf
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

import pytest

from labkit import Site, demo_site
from labkit.advice import remedies as looked
from labkit.advice.bounds import Bound
from labkit.advice.judge import Judgement, Reason
from labkit.advice.line import Line, SunRange
from labkit.advice.remedies import NoTank, Remedy, has_room, least_change, no_tank, remedies, wide
from labkit.advice.setting import Room, Setting
from labkit.advice.window import Window, bare_window
from labkit.units import si
from tests.customary import GALLON, GPM, INCH, PSI
from tests.engine.lines import line

if TYPE_CHECKING:
    from collections.abc import Callable

    Wide = Callable[[Window, dict[str, Any]], Window | None]

SUN = SunRange(low=250.0, high=1000.0, least=250.0, most=1000.0)


def made_up(site: Site, **what: Any) -> Window:
    about = {"site": site, "sun": SUN, "recommended": None, "judged": None, "own": None}
    switch = site.pressure_switch
    return cast("Window", SimpleNamespace(**{"differential": switch.differential} | about | what))


def bounded(name: str, where: str = "lane") -> Callable[[str, str], Bound]:
    """What decides for a point: the same for each."""
    return lambda limits, side: Bound(
        name=name, limits=limits, side=side, pressure=1.0, sure=1.0, failure="no stop", where=where
    )


class Tries:
    """The changes that were asked for a wide window, in order; those that `do` have one."""

    def __init__(
        self,
        monkeypatch: pytest.MonkeyPatch,
        do: Callable[[dict[str, Any]], bool] = lambda _: False,
    ) -> None:
        self.tried: list[dict[str, Any]] = []
        self.lows: list[float | None] = []
        self.do = do
        self.window = made_up(line(), judged=None)
        monkeypatch.setattr(looked, "wide", self)

    def __call__(
        self, _: Window, changes: dict[str, Any], *, low: float | None = None
    ) -> Window | None:
        self.tried.append(changes)
        self.lows.append(low)
        return self.window if self.do(changes) else None

    def values(self) -> list[object]:
        return [value for changes in self.tried for value in changes.values() if value is not None]


def judgement(
    *, works: bool = True, starts: int | None = 1, reasons: tuple[Reason, ...] = ()
) -> Judgement:
    bad = Reason(verdict="cycling", cause="run", where="lane")
    return Judgement(
        site=line(), sun=SUN, reasons=reasons or (() if works else (bad,)), starts=starts,
        most_starts=15.0,
    )  # fmt: skip


# --- the tank


@pytest.mark.parametrize(("works", "starts", "quiet"), [(True, 5, True), (True, 6, False), (False, 2, False)])  # fmt: skip
def test_no_tank_is_wanted_where_a_line_works_with_a_third_of_the_starts(
    monkeypatch: pytest.MonkeyPatch, works: bool, starts: int, quiet: bool
) -> None:
    """Of the 15 an hour that the motor stands."""
    monkeypatch.setattr(looked, "judge", lambda *_, **__: judgement(works=False))
    window = made_up(line(), judged=judgement(works=works, starts=starts))

    assert no_tank(window) == NoTank(starts=starts, is_quiet=quiet)


def test_the_tank_is_the_smallest_that_works_and_is_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    """With two gallons it starts seldom but does not work, with five it works and starts often."""
    comes = {"2 gal": (False, 3), "5 gal": (True, 9), "10 gal": (True, 5), "20 gal": (True, 2)}
    asked: list[tuple[str, str, float]] = []

    def judge(site: Site, *_: float, gives_up_past: float) -> Judgement:
        tank = site.pressure_tank
        assert tank is not None
        gallons = f"{si(tank.volume) / GALLON:.0f} gal"
        asked.append((gallons, f"{si(tank.precharge) / PSI:.1f}", gives_up_past))
        works, starts = comes[gallons]
        return judgement(works=works, starts=starts)

    monkeypatch.setattr(looked, "judge", judge)

    found = no_tank(made_up(line(), judged=judgement(works=False, starts=20)))

    assert found is not None
    assert found.volume == pytest.approx(10.0 * GALLON)
    assert (found.starts, found.is_quiet, found.starts_with) == (20, False, 5)
    assert asked == [(gallons, "18.0", 5.0) for gallons in ("2 gal", "5 gal", "10 gal")]


@pytest.mark.parametrize(
    ("limit", "often", "starts", "mends"),
    [
        ("dead head", False, 1, False),  # no tank mends that
        ("pipe rating", False, 14, True),
        ("dead head", True, 1, True),
        ("dead head", True, 6, False),  # it would still start too often to be called quiet
    ],
)
def test_a_bigger_tank_is_for_a_peak_in_the_way_or_too_many_starts(
    monkeypatch: pytest.MonkeyPatch, limit: str, often: bool, starts: int, mends: bool
) -> None:
    tries = Tries(monkeypatch, lambda _: True)
    tries.window = made_up(line(), judged=judgement(starts=starts))
    refused = judgement(works=False) if often else None

    found = looked._tank(made_up(line(), tightest=bounded(limit), judged=refused))

    assert (found is not None) is mends


@pytest.mark.parametrize(("gallons", "next_size"), [(0, 2), (1, 2), (8, 10), (10, 20)])
def test_the_bigger_tank_is_the_next_that_is_sold_charged_for_the_cut_in(
    monkeypatch: pytest.MonkeyPatch, gallons: int, next_size: int
) -> None:
    """Two psi under the cut-in of 20."""
    tries = Tries(monkeypatch, lambda _: True)
    tries.window = made_up(line(), judged=judgement())
    tank = {"volume": f"{gallons} gal", "precharge": "18 psi"} if gallons else None

    found = looked._tank(made_up(line(pressure_tank=tank), tightest=bounded("pipe rating")))

    assert found is not None
    assert found.before == pytest.approx(gallons * GALLON)
    assert found.after == pytest.approx(next_size * GALLON)
    assert tries.tried == [
        {"pressure_tank": {"volume": f"{next_size} gal", "precharge": "18.0 psi"}}
    ]


# --- floats


def test_only_runs_of_a_refused_setting_that_cycle_ask_for_a_crisper_float() -> None:
    cycling = Reason(verdict="cycling", cause="run", where="lane")
    others = (
        Reason(verdict="false stop", cause="run", where="far"),
        Reason(verdict="cycling", cause="static", where="near"),
    )
    refused = judgement(reasons=(cycling, *others))

    assert looked._start_too_often(made_up(line(), judged=refused)) == {"lane"}
    assert looked._start_too_often(made_up(line(), judged=refused, recommended=1)) == set()
    assert looked._start_too_often(made_up(line())) == set()


def test_a_float_is_made_no_crisper_than_it_must_be_and_only_where_it_is_slower(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tries = Tries(monkeypatch)
    ranch = demo_site("three_troughs").changed(
        {"trough.creek.float_valve.band": "3 in", "trough.corral.float_valve.band": "0.7 in",
         "trough.lookout.float_valve.band": "4 in"}
    )  # fmt: skip
    refused = judgement(
        reasons=tuple(Reason(verdict="cycling", cause="run", where=w) for w in ("creek", "corral"))
    )

    assert looked._crisper(made_up(ranch, judged=refused)) is None

    creek, corral = (f"trough.{name}.float_valve.band" for name in ("creek", "corral"))
    assert tries.tried == [
        {creek: "1.0 in"}, {creek: "0.5 in", corral: "0.5 in"}, {creek: "0.2 in", corral: "0.2 in"},
    ]  # fmt: skip
    tries.do = lambda changes: corral in changes
    found = looked._crisper(made_up(ranch, judged=refused))
    assert found is not None
    assert (found.before, found.after) == pytest.approx((3.0 * INCH, 0.5 * INCH))


def test_a_bigger_valve_keeps_its_rated_pressure_and_is_at_most_four_times_as_big(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The valve at the trough that sets the floor: 8 gpm at 20 psi."""
    tries = Tries(monkeypatch, lambda _: True)

    def opens(_: Window, changes: dict[str, Any]) -> bool:
        return bool(gallons(changes) >= 31.9)

    def gallons(changes: dict[str, Any]) -> float:
        flow, at = changes["trough.lane.float_valve.flow"].split(" at ")
        assert at == "20 psi"
        return float(flow.split()[0])

    monkeypatch.setattr(looked, "has_room", opens)

    found = looked._valve(made_up(line(), tightest=bounded("running")))

    assert found is not None
    assert found.where == "lane"
    assert found.before == pytest.approx(8.0 * GPM)
    assert found.after == pytest.approx(32.0 * GPM)
    assert gallons(tries.tried[0]) == 32.0
    monkeypatch.setattr(looked, "has_room", lambda _, changes: gallons(changes) > 32.0)
    assert looked._valve(made_up(line(), tightest=bounded("running"))) is None


# --- the switch and leaks


@pytest.mark.parametrize(
    ("cut_in_above", "ceiling", "points"),
    [
        (20.0, 60.5, (22.5, 58.5)),  # 36.5 psi are left between, so 36
        (2.0, 46.0, (7.0, 44.0)),  # the cut-in no lower than the spring has it
        (30.0, 42.0, (32.0, 40.0)),
        (30.0, 41.9, None),  # less than the switch can
        (10.0, 55.0, None),  # it has as little
    ],
)
def test_points_are_brought_together_as_far_as_the_limits_ask_and_no_farther(
    monkeypatch: pytest.MonkeyPatch, cut_in_above: float, ceiling: float,
    points: tuple[float, float] | None,
) -> None:  # fmt: skip
    """Two psi off every limit, whole psi apart; they are 40 psi apart now."""
    tries = Tries(monkeypatch)
    site = line(switch__cut_in="10 psi", switch__cut_out="50 psi")
    room = Room(cut_in_above=cut_in_above * PSI, floor=15.0 * PSI, ceiling=ceiling * PSI)

    looked._differential(made_up(site, room=room))

    switch = [(f"{low:.1f} psi", f"{high:.1f} psi") for low, high in ([points] if points else [])]
    assert [tuple(changes.values()) for changes in tries.tried] == switch


def test_all_that_leaks_is_repaired_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(monkeypatch)
    drips = line(
        check_valve__leak="2 mm hole",
        leaks=[{"at": "lane", "size": "0.1 gpm at 30 psi"}],
        trough__lane__float_valve__seat_leak="0.1 gpm at 30 psi",
    )

    looked._tight(made_up(drips))
    looked._tight(made_up(line()))

    assert len(tries.tried) == 1, "a tight line has nothing to repair"
    plant = Line.of(drips.changed(tries.tried[0])).plant
    assert plant.check_k + plant.leaks.k.sum() + plant.troughs.seat_k.sum() == 0.0


# --- pipe


def test_pipe_is_made_stronger_by_as_little_as_will_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the same nominal size, whatever it is made of."""
    tries = Tries(monkeypatch)
    site = demo_site("three_troughs")  # 1 1/4 in PE SIDR 11.5 to the lookout, rated 100.8 psi

    looked._stronger(made_up(site, tightest=bounded("pipe rating", "lookout")))

    sizes = [changes["trough.lookout.pipe.size"] for changes in tries.tried]
    ratings = [
        si(site.changed(changes).trough("lookout").pipe.row.rating) for changes in tries.tried
    ]
    assert sizes[0] in {"1 1/4 in PE SIDR 9", "1 1/4 in PE DR 11 IPS"}
    assert ratings == sorted(ratings)
    assert min(ratings) > 100.9 * PSI
    assert {size.split(" in ")[0] for size in sizes} == {"1 1/4"}
    assert looked._stronger(made_up(site, tightest=bounded("float holds", "lookout"))) is None


def test_bigger_pipe_is_tried_size_by_size_the_shortest_run_first_and_all_of_them_last(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """To the lookout: 600 ft of 1 1/4 in, 900 ft of 1 1/2 and 1,200 ft of 1 1/4 in SIDR 11.5, of
    which there is up to 2 in."""
    tries = Tries(monkeypatch)

    looked._bigger(made_up(demo_site("three_troughs"), tightest=bounded("running", "lookout")))

    last, trunk, upper = "trough.lookout.pipe.size", "pipe.lower tee.size", "pipe.upper tee.size"
    laid = [
        {key: size.split(" in ")[0] for key, size in changes.items() if size is not None}
        for changes in tries.tried
    ]
    assert laid[:5] == [
        {last: "1 1/2"}, {trunk: "2"}, {upper: "1 1/2"}, {last: "2"}, {upper: "2"},
    ]  # fmt: skip
    assert laid[5:] == [
        {last: "1 1/2", trunk: "2", upper: "1 1/2"}, {last: "2", trunk: "2", upper: "2"},
    ]  # fmt: skip
    assert all("SIDR 11.5" in str(size) for size in tries.values())


# --- sun and array


@pytest.mark.parametrize(("opens", "after"), [(412.3, 420.0), (999.0, 1000.0), (250.5, 260.0)])
def test_the_weakest_sun_is_given_up_to_the_next_ten(
    monkeypatch: pytest.MonkeyPatch, opens: float, after: float
) -> None:
    tries = Tries(monkeypatch, lambda _: True)
    monkeypatch.setattr(looked, "has_room", lambda _, __, *, low: low >= opens)

    found = looked._weak_sun(made_up(line()))

    assert found is not None
    assert (found.before, found.after) == (250.0, after)
    assert tries.lows == [after]


def test_neither_sun_nor_panels_help_on_the_mains_nor_where_the_strongest_sun_has_no_room(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    Tries(monkeypatch, lambda _: True)
    monkeypatch.setattr(looked, "has_room", lambda *_, **__: True)
    mains = made_up(demo_site("one_trough").changed({"drive.kind": "mains"}))

    assert looked._weak_sun(mains) is None
    assert looked._array(mains) is None
    monkeypatch.setattr(looked, "has_room", lambda *_, **__: False)
    assert looked._weak_sun(made_up(line())) is None
    assert looked._array(made_up(line())) is None


def test_more_panels_are_told_to_ten_watts(monkeypatch: pytest.MonkeyPatch) -> None:
    def watts(changes: dict[str, Any]) -> float:
        return float(changes["array.rated_power"].removesuffix(" W"))

    monkeypatch.setattr(looked, "has_room", lambda _, changes: watts(changes) >= 1231.0)
    Tries(monkeypatch, lambda changes: watts(changes) >= 1231.0)

    found = looked._array(made_up(line(array__rated_power="700 W")))

    assert found is not None
    assert (found.before, found.after) == pytest.approx((700.0, 1240.0))
    assert found.changes == {"array.rated_power": "1240 W"}


@pytest.mark.parametrize(
    ("works", "tried"),
    [({"wire", "radio"}, ["wire"]), ({"radio"}, ["wire", "radio"]), (set(), ["wire", "radio"])],
)
def test_another_signal_is_a_remedy_only_if_it_works(
    monkeypatch: pytest.MonkeyPatch, works: set[str], tried: list[str]
) -> None:
    asked: list[str] = []

    def judge(method: str, *_: object, **__: object) -> Judgement:
        asked.append(method)
        return judgement(works=method in works)

    monkeypatch.setattr(looked, "with_stop_method", lambda _, method, **__: method)
    monkeypatch.setattr(looked, "judge", judge)

    found = looked._signal(made_up(line()))

    assert found == (Remedy(kind="another stop signal") if works else None)
    assert asked == tried


def test_every_kind_of_remedy_is_looked_for_and_the_easiest_comes_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    looks = {
        "_weak_sun": "weak sun left out", "_tight": "leaks repaired",
        "_differential": "smaller differential", "_crisper": "crisper float valve",
        "_valve": "bigger float valve", "_tank": "tank", "_array": "more array",
        "_stronger": "stronger pipe", "_bigger": "bigger pipe", "_signal": "another stop signal",
    }  # fmt: skip
    for look, kind in looks.items():
        monkeypatch.setattr(looked, look, lambda _, kind=kind: Remedy(kind=kind))

    assert [each.kind for each in remedies(made_up(line()))] == list(looks.values())
    monkeypatch.setattr(looked, "_tank", lambda _: None)
    assert [each.kind for each in remedies(made_up(line()))] == [
        kind for kind in looks.values() if kind != "tank"
    ]


# --- a tank and one change more


def test_beside_a_change_stands_the_smallest_tank_that_works_and_is_quiet(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Bigger pipe is found with the largest tank; with five gallons it works, with ten it is quiet."""
    comes = {"2 gal": None, "5 gal": 9, "10 gal": 5, "20 gal": 2}
    asked: list[tuple[object, object, float | None]] = []

    def wide_with(_: Window, changes: dict[str, Any], *, low: float | None = None) -> Window | None:
        volume = changes["pressure_tank"]["volume"]
        asked.append((volume, changes.get("pipe"), low))
        starts = comes[volume]
        return None if starts is None else made_up(line(), judged=judgement(starts=starts))

    def with_largest(site: Site, *sun: float) -> Window:
        assert site.pressure_tank is not None
        assert si(site.pressure_tank.volume) == pytest.approx(120.0 * GALLON)
        assert sun == (250.0, 1000.0)
        return made_up(site)

    monkeypatch.setattr(looked, "bare_window", with_largest)
    monkeypatch.setattr(looked, "wide", wide_with)
    for look in ("_tight", "_differential", "_crisper", "_valve", "_array", "_stronger"):
        monkeypatch.setattr(looked, look, lambda _: None)
    pipe = Remedy(kind="bigger pipe", changes={"pipe": "2 in"}, window=made_up(line()))
    weak = SunRange(low=320.0, high=1000.0, least=320.0, most=1000.0)
    sun = Remedy(kind="weak sun left out", after=320.0, window=made_up(line(), sun=weak))
    monkeypatch.setattr(looked, "_bigger", lambda _: pipe)
    monkeypatch.setattr(looked, "_weak_sun", lambda _: sun)

    found = looked.beside_a_tank(made_up(line()))

    assert [(each.kind, round(each.tank / GALLON)) for each in found] == [
        ("weak sun left out", 10),
        ("bigger pipe", 10),
    ]
    assert found[1].changes["pipe"] == "2 in"
    assert found[1].changes["pressure_tank"]["volume"] == "10 gal"
    volumes = ("2 gal", "5 gal", "10 gal")
    assert asked == [(v, None, 320.0) for v in volumes] + [(v, "2 in", 250.0) for v in volumes]


def test_a_tank_is_joined_to_a_change_only_where_no_single_one_is_enough() -> None:
    """A float that takes five inches to close cycles the pump without a tank, and 500 W bring the
    shut line to 16 psi in the weakest sun, short of what the open float puts on the gauge."""
    lazy = {"trough__lane__float_valve__band": "5 in", "array__rated_power": "500 W"}
    small = line(**lazy, trough__lane__float_valve__flow="4 gpm at 20 psi")
    window = bare_window(small, 250.0, 1000.0)

    assert {remedy.kind for remedy in window.remedies} <= {"another stop signal"}
    assert window.beside_a_tank
    for remedy in window.beside_a_tank:
        assert remedy.window is not None
        assert remedy.window.recommended is not None
        fitted = remedy.window.site.pressure_tank
        assert fitted is not None
        assert si(fitted.volume) == pytest.approx(remedy.tank)
    assert not bare_window(line(), 250.0, 1000.0).beside_a_tank, "nothing is wanted there"
    tank = {"volume": "20 gal", "precharge": "18 psi"}
    assert not bare_window(small.changed({"pressure_tank": tank}), 250.0, 1000.0).beside_a_tank


# --- the least change


@pytest.mark.parametrize(
    ("bands", "found"),
    [
        ([(37.2, inf)], 37.5),
        ([(10.3, inf)], 10.5),
        ([(12.8, 13.2), (40.0, inf)], 13.0),  # the first that opens, though it closes again
        ([(99.8, inf)], 100.0),
        ([(100.1, inf)], None),
    ],
)
def test_the_least_change_is_the_first_whole_step_that_opens(
    monkeypatch: pytest.MonkeyPatch, bands: list[tuple[float, float]], found: float | None
) -> None:
    """From ten up to a hundred, in halves."""

    def opens(_: Window, changes: dict[str, Any]) -> bool:
        return any(low <= changes["value"] <= high for low, high in bands)

    monkeypatch.setattr(looked, "has_room", opens)
    tries = Tries(monkeypatch, lambda changes: opens(tries.window, changes))

    least = least_change(made_up(line()), lambda value: {"value": value}, 10.0, 100.0, step=0.5)

    assert (least and least[0]) == found


def test_what_the_limits_allow_and_no_run_bears_out_is_no_remedy(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(looked, "has_room", lambda *_: True)
    tries = Tries(monkeypatch)

    assert (
        least_change(made_up(line()), lambda value: {"value": value}, 10.0, 100.0, step=0.5) is None
    )
    assert tries.tried


# --- room, and a setting in it


def test_there_is_room_with_two_psi_either_way_and_more_of_it_in_stronger_sun_alone() -> None:
    """The shut line comes to 16 psi in the weakest sun, where the water weighs nothing on the flat;
    in the strongest to 69."""
    weak = bare_window(line(array__rated_power="500 W"), 250.0, 1000.0)

    assert not has_room(weak, {})
    assert has_room(weak, {}, low=900.0)
    assert has_room(weak, {"array.rated_power": "4000 W"})
    assert not has_room(weak, {"array.rated_power": "1 W"}), "no site of ours"


def test_a_narrow_best_is_no_room() -> None:
    """The points 9 psi apart have a cut-out from 14 psi up, two psi under the shut line's 16."""
    site = line(
        array__rated_power="500 W", trough__lane__float_valve__flow="40 gpm at 20 psi",
        switch__cut_in="6 psi", switch__cut_out="15 psi",
    )  # fmt: skip
    narrow = bare_window(site, 250.0, 1000.0)

    assert narrow.best is not None
    assert narrow.best.is_narrow
    assert not has_room(narrow, {})


@pytest.mark.parametrize(("margin", "opens"), [(1.9, False), (2.0, True)])
def test_a_window_is_wide_if_the_setting_that_works_is(
    monkeypatch: pytest.MonkeyPatch, margin: float, opens: bool
) -> None:
    """It may be the switch's own, which is worth a try however narrow."""
    site = line()
    chosen = Setting(
        cut_in=20.0 * PSI, cut_out=40.0 * PSI, precharge=18.0 * PSI, turns=0.0,
        differential_turns=0.0, margin=margin * PSI,
    )  # fmt: skip
    room = Room(cut_in_above=0.0, floor=0.0, ceiling=60.0 * PSI)
    monkeypatch.setattr(looked, "_room_with", lambda *_: (site, SUN, room))
    monkeypatch.setattr(looked, "choose", lambda *_: (chosen, judgement(), None))

    assert (wide(made_up(site), {}) is not None) is opens
    monkeypatch.setattr(looked, "choose", lambda *_: (None, None, site))
    assert wide(made_up(site), {}) is None

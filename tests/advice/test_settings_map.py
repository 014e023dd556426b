"""Maps of settings: the same numbers whoever runs the trials, and edges where closed forms put them."""

import csv
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from distributed import Client, LocalCluster

import labkit as lab
from labkit.advice.axes import AXES, set_to
from labkit.advice.judge import VERDICTS
from labkit.advice.settings_map import NO_SETTING, SettingsMap
from labkit.advice.trial import trial
from labkit.errors import SiteError
from labkit.site import Site
from labkit.units import si
from tests.customary import FOOT, GALLON, INCH, PSI

FALSE, SOUND, NO, STUCK, CYCLING = (
    VERDICTS.index(verdict)
    for verdict in ("false stop", "sound stop", "no stop", "stuck off", "cycling")
)
WEIGHT = 999.4 * 9.80665
"""Of water at 55 degF [N/m3] (density from memory, to a tenth of a kilogram)."""


@pytest.fixture(scope="module")
def site() -> Site:
    return lab.demo_site("one_trough")


@pytest.fixture(scope="module")
def small(site: Site) -> SettingsMap:
    return lab.settings_map(site, cells=(8, 5), workers=1)


@pytest.fixture(scope="module")
def client() -> Iterator[Client]:
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0")
        as cluster,
        Client(cluster) as client,
    ):  # fmt: skip
        yield client


def test_threads_give_the_same_numbers(site: Site, small: SettingsMap) -> None:
    threads = lab.settings_map(site, cells=(8, 5), workers=3)

    assert np.array_equal(threads.codes, small.codes)
    assert len(np.unique(small.codes)) >= 3  # or any two maps would be the same


def test_a_cluster_gives_the_same_numbers(site: Site, small: SettingsMap, client: Client) -> None:
    shares: list[float] = []

    cluster = lab.settings_map(site, cells=(8, 5), client=client, progress=shares.append)

    assert np.array_equal(cluster.codes, small.codes)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def test_processes_give_the_same_numbers(site: Site, small: SettingsMap) -> None:
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        other = lab.settings_map(site, cells=(8, 5), client=pool)

    assert np.array_equal(other.codes, small.codes)


def test_cells_are_what_a_run_written_out_by_hand_comes_to(site: Site, small: SettingsMap) -> None:
    """The same story told another way: 12 gallons and two tanks short, ten hours, stock at six."""
    trough, tank = site.troughs[0], site.pressure_tank
    assert tank is not None
    an_inch = si(trough.volume) / si(trough.depth) * INCH
    lacking = 12.0 * GALLON + 2.0 * si(tank.volume)
    band = si(trough.float_valve.band) / INCH
    level = (si(trough.depth) - si(trough.freeboard)) / INCH - band - lacking / an_inch
    drunk = (band * an_inch + lacking) / GALLON

    for row, column in [(0, 0), (0, 5), (2, 1), (3, 3), (4, 0), (4, 7), (2, 7)]:
        cut_out, sun = small.across.values[column], small.up.values[row]
        line = site.changed({
            "switch.cut_out": f"{cut_out / PSI} psi",
            f"trough.{trough.name}.herd": {
                "head": 1, "kind": "horse", "daily_need": f"{drunk} gal/day",
                "visits": ["18:00"], "visit_time": "2 min",
            },
        })  # fmt: skip
        run = lab.simulate(line, "10 hour", sun=f"{sun} W/m^2", levels={trough.name: f"{level} in"})
        assert run.verdict == small.verdict(row, column), (row, column)


def test_a_higher_cut_out_goes_from_false_stop_over_sound_to_no_stop(small: SettingsMap) -> None:
    order = {FALSE: 0, SOUND: 1, NO: 2}
    ranks = np.vectorize(order.__getitem__)(small.codes)

    assert np.all(np.diff(ranks, axis=1) >= 0)
    assert np.all(np.diff((ranks == 2).astype(int), axis=0) <= 0)  # more sun pushes no less high


def test_no_stop_begins_at_the_dead_head_pressure(site: Site) -> None:
    """At full speed a shut centrifugal pump stands at its shut-off head, less the lift."""
    pump: Any = site.pump
    p = WEIGHT * (si(pump.shut_off_head) - si(site.well.static_level))
    ends = (f"{p / PSI - 2.0} psi", f"{p / PSI + 2.0} psi")
    strong = site.changed({"array.rated_power": "3000 W"})

    line = lab.settings_map(
        strong, up="float leak", across_range=ends, up_range=("0 gpm", "0.001 gpm"), cells=(9, 2)
    )

    beyond = np.array(line.across.values) > p
    far = np.abs(np.array(line.across.values) - p) > 0.3 * PSI  # the line lies within the density
    assert np.array_equal((line.codes[0] == NO)[far], beyond[far])
    assert far.sum() >= 6


def test_stuck_off_begins_at_the_weight_of_the_column(site: Site) -> None:
    """With the pump off the switch bears the water up to the trough, and cut-in must lie above."""
    column = lab.settings_map(
        site.changed({"switch.cut_out": "45 psi"}), "cut-in", "rise", sun="1000 W/m^2",
        across_range=("5 psi", "25 psi"), up_range=("10 ft", "50 ft"), cells=(11, 5),
    )  # fmt: skip

    for row, rise in enumerate(column.up.values):
        weighs = WEIGHT * rise
        for place, cut_in in enumerate(column.across.values):
            if abs(cut_in - weighs) > 0.5 * PSI:
                is_stuck = column.codes[row, place] == STUCK
                assert is_stuck == (cut_in < weighs), (rise / FOOT, cut_in / PSI)


def test_a_dripping_float_makes_a_narrow_differential_cycle(site: Site) -> None:
    bare = site.changed({"pressure_tank": None, "switch.cut_out": "50 psi"})
    bare = bare.changed({"switch.cut_in": "30 psi"})

    found = lab.settings_map(
        bare, "float leak", "differential", sun="1000 W/m^2",
        across_range=("0 gpm", "0.2 gpm"), up_range=("14 psi", "20 psi"), cells=(4, 3),
    )  # fmt: skip

    assert np.all(found.codes[:, 0] == SOUND)
    assert np.all(found.codes[:, -1] == CYCLING)


def test_a_setting_that_cannot_be_has_no_verdict(site: Site) -> None:
    found = lab.settings_map(
        site, "cut-in", "cut-out",
        across_range=("10 psi", "40 psi"), up_range=("15 psi", "45 psi"), cells=(4, 4),
    )  # fmt: skip

    cut_in, cut_out = np.meshgrid(found.across.values, found.up.values)
    assert np.array_equal(found.codes == NO_SETTING, cut_in >= cut_out)
    assert found.verdict(0, 3) == "no such setting"


def test_with_several_troughs_a_cell_is_as_bad_as_the_worst() -> None:
    ranch = lab.demo_site("three_troughs")
    grid: dict[str, Any] = {"cells": (4, 2), "up_range": ("500 W/m^2", "1000 W/m^2")}

    together = lab.settings_map(ranch, **grid)
    each = [lab.settings_map(ranch, trough=part.name, **grid) for part in ranch.troughs]

    assert together.troughs == tuple(part.name for part in ranch.troughs)
    for row, column in np.ndindex(2, 4):
        alone = {found.verdict(row, column) for found in each}
        is_sound = alone == {"sound stop"}
        assert (together.verdict(row, column) == "sound stop") == is_sound
        assert together.verdict(row, column) in alone


@pytest.mark.parametrize("name", [name for name in AXES if name != "sun"])
def test_every_axis_moves_its_own_number(site: Site, name: str) -> None:
    trough = site.troughs[0]
    read: Any = {
        "cut-out": lambda s: si(s.pressure_switch.cut_out),
        "cut-in": lambda s: si(s.pressure_switch.cut_in),
        "differential": lambda s: si(s.pressure_switch.cut_out) - si(s.pressure_switch.cut_in),
        "rise": lambda s: s.elevation(trough.name),
        "pipe length": lambda s: si(s.troughs[0].pipe.length),
        "float leak": lambda s: si(s.troughs[0].float_valve.seat_leak.flow),
        "line leak": lambda s: si(s.leaks[-1].size.flow),
        "tank": lambda s: si(s.pressure_tank.volume),
        "array": lambda s: si(s.array.rated_power),
    }[name]  # fmt: skip
    low, high = AXES[name].usual(site, trough)

    for value in (0.7 * low + 0.3 * high, high):
        moved = set_to(site, {name: value}, trough=trough.name)
        assert read(moved) == pytest.approx(value, rel=1e-12)


def test_a_tank_may_be_charged_anew_for_each_cut_in(site: Site) -> None:
    moved = set_to(site, {"cut-in": 20.0 * PSI}, trough=site.troughs[0].name, recharge=True)

    assert moved.pressure_tank is not None
    assert si(moved.pressure_tank.precharge) == pytest.approx(18.0 * PSI)


def test_the_trial_fills_a_trough_twice(site: Site) -> None:
    one = trial(site, site.troughs[0].name)
    run = one.run("700 W/m^2")

    kinds = [event.kind for event in run.events]
    assert kinds.count("float shuts") == 2
    assert kinds.index("float opens") > kinds.index("drive told to stop")
    assert run.totals.delivered > 2.0 * 12.0 * GALLON
    assert run.totals.drunk == pytest.approx(run.totals.asked, rel=1e-9)
    shut = si(site.troughs[0].depth) - si(site.troughs[0].freeboard)
    assert run.level[one.trough][-1] == pytest.approx(shut, abs=0.01 * 0.5 * INCH)


def test_with_a_level_sensor_the_trial_goes_by_its_marks() -> None:
    tank = lab.demo_site("storage_tank")
    run = trial(tank, "cistern").run("700 W/m^2")

    said = [event.kind for event in run.events if event.kind.startswith("sensor")]
    assert said == ["sensor says full", "sensor says room", "sensor says full"]
    assert run.verdict == "sound stop"
    lacking = run.level["cistern"][0] - 52.0 * INCH
    assert lacking == pytest.approx(-12.0 * GALLON / (1500.0 * GALLON / (72.0 * INCH)))


def test_a_map_as_a_table(small: SettingsMap, tmp_path: Path) -> None:
    small.to_csv(tmp_path / "map.csv")

    with (tmp_path / "map.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 40
    assert float(rows[9]["cut-out [Pa]"]) == small.across.values[1]
    assert float(rows[9]["sun [W/m^2]"]) == small.up.values[1]
    assert rows[9]["verdict"] == small.verdict(1, 1)


def test_what_a_row_comes_to(small: SettingsMap) -> None:
    assert sum(small.counts().values()) == 40
    row = int(np.argmax((small.codes == SOUND).sum(axis=1)))
    ends = small.sound(row)
    assert ends is not None
    inside = (np.array(small.across.values) >= ends[0]) & (np.array(small.across.values) <= ends[1])
    assert np.array_equal(inside, small.codes[row] == SOUND)


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"across": "cutout"}, "map: axis is 'cutout'; write one of sun, cut-out, cut-in"),
    ({"across": "sun"}, "map: axis is 'sun'; write two different ones"),
    ({"across_range": ("50 psi", "20 psi")}, "map: range of cut-out is 50 psi to 20 psi; write the smaller end first"),
    ({"across_range": ("50 ft", "60 ft")}, "map: range of cut-out is '50 ft'; ft measures a length; write a pressure"),
    ({"up_range": ("200", "400")}, "map: range of sun is '200'; it has no unit; write an irradiance"),
    ({"cells": (1, 5)}, "map: cells is 1; write 2 to 1000 for each axis"),
    ({"trough": "far"}, "map: trough is 'far'; the troughs are lane"),
    ({"workers": 0}, "map: workers is 0; write 1 or more"),
    ({"up": "cut-in", "sun": "bright"}, "map: sun is 'bright'; it has no number; write an irradiance"),
]  # fmt: skip


@pytest.mark.parametrize(("wish", "says"), WRONG, ids=[says for _, says in WRONG])
def test_a_wish_that_cannot_be_is_told_so(site: Site, wish: dict[str, Any], says: str) -> None:
    with pytest.raises(SiteError) as error:
        lab.settings_map(site, **wish)

    assert str(error.value).startswith(says)


def test_an_axis_of_one_trough_asks_which() -> None:
    with pytest.raises(SiteError, match="belongs to one trough; give trough as one of"):
        lab.settings_map(lab.demo_site("three_troughs"), up="rise")


def test_breaking_off_leaves_nothing_running(site: Site) -> None:
    def enough(share: float) -> None:
        if share > 0.0:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        lab.settings_map(site, cells=(40, 40), workers=2, progress=enough)

    left = [thread.name for thread in threading.enumerate() if thread.name.startswith("labkit")]
    assert left == []


def test_breaking_off_calls_the_cluster_off(site: Site, client: Client) -> None:
    def enough(share: float) -> None:
        if share > 0.0:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):  # of a map that would take two workers half a minute
        lab.settings_map(site, cells=(100, 100), client=client, progress=enough)

    until = time.monotonic() + 20.0
    while any(client.processing().values()) and time.monotonic() < until:
        time.sleep(0.1)
    assert not any(client.processing().values())


@pytest.mark.bench
def test_two_workers_against_one(site: Site) -> None:
    """A ratio to read; on two idle cores it comes to well over one."""
    took: dict[int, float] = {}
    codes = []
    for workers in (1, 2, 1, 2):
        began = time.perf_counter()
        codes.append(lab.settings_map(site, cells=(12, 12), workers=workers).codes)
        spent = time.perf_counter() - began
        took[workers] = min(spent, took.get(workers, np.inf))
    each = took[1] / 144.0
    print(f"\none worker {took[1] / took[2]:.2f} times as long as two; {1e3 * each:.1f} ms a trial")  # noqa: T201
    assert all(np.array_equal(other, codes[0]) for other in codes)
    assert took[2] < 1.5 * took[1]

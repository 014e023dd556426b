"""Hours of use: nothing grows while sliders are dragged, a long run is bounded and can be stopped, a killed worker costs nothing."""

import gc
import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from distributed import Client, LocalCluster
from ipywidgets.widgets.widget import _instances as widgets
from matplotlib.figure import Figure

import labkit as lab
from labkit.errors import RunError
from labkit.view.bench import bench
from labkit.view.page import SettingSlider
from tests.reference.test_time_integration import site_with

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="reads memory and handles from /proc"),
]

MOVES = 3_000
"""Ten a second for five minutes."""
MIB = 2**20
CYCLES = "1.182 gpm at 40 psi"
"""A float's leak that makes the pump start about a hundred times an hour."""


def held() -> tuple[float, int, int, int]:
    """Memory of this process [MiB], and its open handles, widgets and figures."""
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    figures = sum(isinstance(one, Figure) for one in gc.get_objects())
    handles = len(list(Path("/proc/self/fd").iterdir()))
    return pages * resource.getpagesize() / MIB, handles, len(widgets), figures


def test_nothing_grows_while_sliders_are_dragged_for_five_minutes() -> None:
    made = bench(lab.demo_site("first_line"), ["irradiance", "head", "leak size"])
    rows = [row for row in made.sliders.values() if isinstance(row, SettingSlider)]

    def drag(moves: int) -> None:
        for count in range(moves):
            row = rows[count // 40 % len(rows)]
            way = 1 if count % 40 < 20 else -1
            made.page.hear({"set": {row.control.name: row.value + way * row.step}})
            assert made.error is None

    drag(MOVES // 10)
    memory, *things = held()
    drag(MOVES)
    memory_after, *things_after = held()

    assert things_after == things
    assert memory_after - memory < 10.0, f"{memory:.0f} MiB before, {memory_after:.0f} after"


def test_a_year_of_short_cycles_is_broken_off_before_memory_is_full() -> None:
    code = (
        "import resource, labkit as lab\n"
        "from labkit.errors import RunError\n"
        "from tests.reference.test_time_integration import site_with\n"
        f"site = site_with({{'trough.north.float_valve.seat_leak': '{CYCLES}'}})\n"
        "try:\n    lab.simulate(site, '365 day', sun='700 W/m^2')\n"
        "except RunError as error:\n    print(error)\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )

    sentence, memory = done.stdout.splitlines()
    assert "more happened than can be kept (ask for a shorter run)" in sentence
    assert float(memory) < 1024.0


def test_a_month_of_cycles_is_kept() -> None:
    site = site_with({"trough.north.float_valve.seat_leak": CYCLES})
    try:
        starts = lab.simulate(site, "30 day", sun="700 W/m^2").times("pump starts")
    except RunError as error:  # pragma: no cover - the test's complaint
        pytest.fail(str(error))
    assert len(starts) > 60_000


def test_ctrl_c_ends_a_long_run_at_once(tmp_path: Path) -> None:
    site = site_with({"trough.north.float_valve.seat_leak": CYCLES})
    lab.save_site(site, tmp_path / "cycling.toml")
    words = ["run", str(tmp_path / "cycling.toml"), "--sun", "700 W/m^2", "--duration", "400 day"]
    code = "import sys; from labkit.cli import main; sys.exit(main(sys.argv[1:]))"
    with subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", code, *words, "--out", str(tmp_path)],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        text=True,
    ) as run:
        assert run.stderr is not None
        time.sleep(12.0)  # it has loaded by then, and computes
        began = time.monotonic()
        run.send_signal(signal.SIGINT)
        assert run.wait(30) == 130
        took = time.monotonic() - began
        said = run.stderr.read()
    assert said.strip().endswith("Stopped.")
    assert "Traceback" not in said
    assert took < 5.0
    assert [path.name for path in tmp_path.iterdir()] == ["cycling.toml"]


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL])
def test_a_map_cut_half_way_leaves_the_older_one(tmp_path: Path, how: signal.Signals) -> None:
    older = {name: tmp_path / name for name in ("map.png", "map.csv")}
    for path in older.values():
        path.write_text("older")
    words = ["map", "one_trough", "--cells", "400", "300", "--out", str(older["map.png"]),
             "--table", str(older["map.csv"])]  # fmt: skip
    code = "import sys; from labkit.cli import main; sys.exit(main(sys.argv[1:]))"
    with subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", code, *words],
        stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True,
    ) as run:  # fmt: skip
        assert run.stderr is not None
        time.sleep(12.0)  # it has loaded by then, and computes
        assert run.poll() is None
        run.send_signal(how)
        assert run.wait(30) == (130 if how == signal.SIGINT else -how)
        said = run.stderr.read()
    assert "Traceback" not in said
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == dict.fromkeys(
        older, "older"
    )


def test_a_killed_worker_changes_no_number() -> None:
    site, killed = lab.demo_site("one_trough"), list[int]()
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=":0") as cluster,
        Client(cluster) as client,
    ):
        pids = list(client.run(os.getpid).values())

        def kill(share: float) -> None:
            if 0.0 < share < 1.0 and not killed:
                killed.append(pids[0])
                os.kill(pids[0], signal.SIGKILL)

        mapped = lab.settings_map(site, cells=(24, 24), client=client, progress=kill)
    assert killed
    assert np.array_equal(mapped.codes, lab.settings_map(site, cells=(24, 24), workers=1).codes)

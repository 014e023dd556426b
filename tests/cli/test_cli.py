"""The commands as a person types them."""

import csv
import io
import os
import re
import sys
import time
from itertools import pairwise
from pathlib import Path
from subprocess import PIPE, run

import pytest
from typing_extensions import override

from labkit import cli, demo_site, steady
from labkit.cli import CLOSED, main
from labkit.cli.tools import Bar
from labkit.commands import command
from tests.customary import PSI

ROOT = Path(__file__).parents[2]
CLEAR = "2023-06-21"


def test_the_demo_ranches_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sites"]) == 0

    names = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert names == sorted(path.stem for path in (ROOT / "lessons" / "sites").glob("*.toml"))


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_one_who_reads_no_further_gets_no_traceback(unbuffered: str) -> None:
    """As in ``labkit sites | head -1``, and ``| true``: the pipe is shut before all is written."""
    code = "from labkit.cli import main; import sys; sys.exit(main(['sites']))"
    shut, written = os.pipe()
    os.close(shut)
    with open(written, "w") as nobody:  # noqa: PTH123 - a number of a pipe
        done = run(  # noqa: S603
            [sys.executable, "-c", code],
            stdout=nobody,
            stderr=PIPE,
            text=True,
            check=False,
            env=os.environ | {"PYTHONUNBUFFERED": unbuffered},
        )

    assert done.stderr == ""
    assert done.returncode == CLOSED


def test_a_run_is_summed_up_and_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    day = ROOT / "lessons" / "sun" / "boulder_broken_clouds_2018-10-14.csv"

    code = main(
        ["run", "one_trough", "--sun", str(day), "--out", str(tmp_path / "new"), "--start", "06:00",
         "--duration", "3 h"]
    )  # fmt: skip

    shown = capsys.readouterr()
    assert code == 0
    assert shown.err == ""  # no bar where nobody watches
    for word in ("starts", "stops", "pumped", "delivered", "drunk", "short", "leaked",
                 "peak pressure", "verdict", "balance error"):  # fmt: skip
        assert re.search(rf"^  {word} +\S", shown.out, re.MULTILINE), word
    assert re.search(r"from +6:00 am, for 3 h$", shown.out, re.MULTILINE)
    assert re.search(r"sun +measured, M2 tower near Boulder, 2018-10-14$", shown.out, re.MULTILINE)
    assert re.search(r"pumped +[\d,.]+ gal$", shown.out, re.MULTILINE)
    assert (tmp_path / "new" / "one_trough_run.png").read_bytes().startswith(b"\x89PNG")
    with (tmp_path / "new" / "one_trough_run.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    assert float(rows[0]["time [s]"]) == 0.0
    assert float(rows[-1]["time [s]"]) == pytest.approx(3 * 3600.0)


def test_the_water_shown_is_the_water_that_flowed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The sum of pump flow over the written table, in litres, is the figure on the screen."""
    main(["run", "one_trough", "--sun", CLEAR, "--units", "metric", "--out", str(tmp_path)])
    shown = re.search(r"pumped +([\d,.]+) L$", capsys.readouterr().out, re.MULTILINE)
    with (tmp_path / "one_trough_run.csv").open(newline="") as table:
        rows = [(float(r["time [s]"]), float(r["pump flow [m3/s]"])) for r in csv.DictReader(table)]

    litres = 1000.0 * sum(0.5 * (q1 + q2) * (t2 - t1) for (t1, q1), (t2, q2) in pairwise(rows))

    assert shown
    assert float(shown[1].replace(",", "")) == pytest.approx(litres, rel=0.01)


def test_a_constant_sun_begins_at_noon(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["run", "one_trough", "--sun", "0.62 kW/m^2", "--duration", "5 min"]

    assert main([*words, "--out", str(tmp_path), "--units", "metric"]) == 0

    out = capsys.readouterr().out
    assert re.search(r"from +12:00, for 5 min$", out, re.MULTILINE)
    assert re.search(r"sun +constant 0\.62 kW/m\^2$", out, re.MULTILINE)


def test_the_window_is_told_and_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The dead head in the weakest sun, worked out by `steady`, is the figure on the screen."""
    picture = tmp_path / "window.png"

    code = main(
        ["window", "one_trough", "--sun", "300 W/m^2", "900 W/m^2", "--picture", str(picture)]
    )

    out = capsys.readouterr().out
    assert code == 0
    shut = steady(demo_site("one_trough"), sun="300 W/m^2", open_troughs=()).pressure["manifold"]
    assert f"Cut-out below {int(shut / PSI)} psi" in out  # whole psi, on the safe side
    assert re.search(r"^Set cut-in at \d+ psi and cut-out at \d+ psi", out, re.MULTILINE)
    assert "range nut" in out
    assert out.endswith(f"wrote {picture}\n")
    assert picture.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["window", "Nowhere Flat"], "demo ranch is 'Nowhere Flat'; write one of"),
        (["window", "nowhere"], "demo ranch is 'nowhere'; write one of"),
        (
            ["window", "one_trough", "--sun", "5", "9 W/m^2"],
            "run: sun_range is '5'; it has no unit; write",
        ),
        (["window", "one_trough", "--sun", "900 W/m^2"], "Argument --sun: expected 2 arguments"),
        (["run", "nowhere", "--sun", CLEAR], "demo ranch is 'nowhere'; write one of"),
        (["run", "gone.toml", "--sun", CLEAR], "gone.toml: site file is not there"),
        (["run", "one_trough", "--sun", "gone.csv"], "gone.csv: it can't be read"),
        (["run", "one_trough", "--sun", "2023-02-30"], "sun: date is '2023-02-30'"),
        (["run", "one_trough", "--sun", "9 kW/m^2"], "sun: irradiance is 9 kW/m^2; on the ground"),
        (["run", "one_trough", "--sun", CLEAR, "--duration", "3"], "run: duration is '3'"),
        (["run", "one_trough", "--sun", CLEAR, "--start", "25:00"], "sun: clock is '25:00'"),
        (["run", "one_trough", "--sun", CLEAR, "--out", __file__], "no folder can be made there"),
        (["run", "one_trough", "--sun", CLEAR, "--out", "a\0b"], "no folder can be made there"),
        (["run", "one_trough"], "The following arguments are required: --sun"),
        (["run", "one_trough", "--sun", CLEAR, "--units", "furlong"], "Argument --units: invalid"),
        (["walk"], "Argument COMMAND: invalid choice: 'walk'"),
        ([], "The following arguments are required: COMMAND"),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        code = main(words)
    except SystemExit as end:  # argparse's own way out
        code = int(end.code or 0)

    shown = capsys.readouterr()
    assert code == 2
    assert shown.out == ""
    assert sentence in shown.err
    assert shown.err.count("\n") == 1


def test_results_that_cannot_be_written_are_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "one_trough_run.png").mkdir()

    code = main(
        ["run", "one_trough", "--sun", "620 W/m^2", "--duration", "1 min", "--out", str(tmp_path)]
    )

    assert code == 2
    assert "can't be written: is a directory" in capsys.readouterr().err


def test_a_window_picture_that_cannot_be_written_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["window", "one_trough", "--picture", str(tmp_path)]) == 2

    assert "can't be written: is a directory" in capsys.readouterr().err


def test_ctrl_c_stops_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(*_args: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli, "COMMANDS", (command("sites", interrupted),))

    assert main(["sites"]) == 130
    assert capsys.readouterr().err == "Stopped.\n"


def test_opening_a_lesson_is_one_of_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["open", "--help"])

    assert end.value.code == 0
    assert "--no-browser" in capsys.readouterr().out


class Terminal(io.StringIO):
    """An error stream that a person watches."""

    @override
    def isatty(self) -> bool:
        return True


def test_a_watched_run_shows_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    screen, clock = Terminal(), [0.0]
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr(time, "monotonic", lambda: clock[0])
    with Bar() as bar:
        clock[0] = 0.5
        bar(0.2)  # within the first second nothing moves
        clock[0] = 2.0
        bar(0.5)

    frames = screen.getvalue().split("\r")
    assert [frame.strip() for frame in frames if frame.strip()] == [
        f"[{'.' * 30}] getting ready",
        f"[{'#' * 15}{'.' * 15}]  50%",
    ]
    assert frames[-1] == ""  # the line is left clean


def test_the_commands_start_without_slow_libraries() -> None:
    code = (
        "import sys; from labkit.cli import main; main(['sites']); "
        "print([m for m in ('pvlib', 'pandas', 'matplotlib', 'ipywidgets', 'numba', 'jupyterlab')"
        " if m in sys.modules])"
    )

    done = run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603

    assert done.stdout.splitlines()[-1] == "[]"


def test_a_budget_is_told_and_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = [
        "budget",
        "one_trough",
        "--months",
        "11-1",
        "--cloudy-days",
        "1",
        "--out",
        str(tmp_path),
    ]

    assert main(words) == 0

    shown = capsys.readouterr()
    assert shown.err == ""
    months = re.findall(r"^(\w+) +\d+ °F", shown.out, re.MULTILINE)
    assert months == ["November", "December", "January"]
    assert "The handbook's way" in shown.out
    assert (tmp_path / "one_trough_budget.png").read_bytes().startswith(b"\x89PNG")


def test_a_pair_of_wires_is_checked(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["loop", "--gauge", "18", "--distance", "2500 ft"]) == 0

    out = capsys.readouterr().out
    assert re.search(r"controller end +closed +good +32 ohms +0\.2 V +closed$", out, re.MULTILINE)
    assert "the pair will work" in out


def test_a_short_is_found_from_both_ends(capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 1,000 ft of the pair out and back are 12.8 ohm, 1,500 ft are 19.2; 2 more each."""
    words = ["loop", "--gauge", "18 AWG", "--distance", "2500 ft", "--at-controller", "14.78"]

    assert main([*words, "--at-switch", "21.17"]) == 0
    assert "touch 1,000 ft from the controller, through 2.0 ohms" in capsys.readouterr().out
    assert main(words) == cli.WRONG
    assert "give --at-controller and --at-switch" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["budget", "one_trough", "--months", "5-13"], "--months 5-13: write numbers of months"),
        (["budget", "one_trough", "--cloudy-days", "0"], "cloudy_days is 0; it must lie between"),
        (["loop", "--gauge", "11", "--distance", "9 ft"], "gauge is '11 AWG'; write a wire gauge"),
    ],
)
def test_advice_that_cannot_be_had_is_refused_in_a_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == cli.WRONG

    shown = capsys.readouterr()
    assert sentence in shown.err
    assert shown.err.count("\n") == 1


def test_three_ways_to_say_stop_are_compared(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hill, bad = tmp_path / "hill.csv", tmp_path / "bad.csv"
    rows = [("0 ft", "0 ft"), ("900 ft", "400 ft"), ("1500 ft", "0 ft")]
    hill.write_text("trough,distance,height\n" + "".join(f"lane,{d},{h}\n" for d, h in rows))
    bad.write_text("where,how far\nhome,9 ft\n")

    assert main(["methods", "one_trough"]) == 0
    clear = capsys.readouterr().out
    assert main(["methods", "one_trough", "--ground", str(hill), "--gauge", "20"]) == 0
    hidden = capsys.readouterr().out

    assert re.search(r"^works here +yes +yes +yes$", clear, re.MULTILINE)
    assert re.search(r"^works here +yes +yes +no: .*dB left over to lane", hidden, re.MULTILINE)
    assert main(["methods", "one_trough", "--ground", str(bad)]) == cli.WRONG
    assert "no column 'trough'; its first line must name" in capsys.readouterr().err


def test_a_map_is_drawn_and_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["map", "one_trough", "--cells", "4", "3", "--units", "metric", "--out",
             str(tmp_path / "new" / "map.png"), "--table", str(tmp_path / "map.csv"),
             "--across-range", "20 psi", "60 psi"]  # fmt: skip

    code = main(words)

    shown = capsys.readouterr()
    assert code == 0
    assert shown.err == ""
    assert re.search(r"^  Of 12 cells \d+ come to “", shown.out, re.MULTILINE)
    assert re.search(r"^  With sun of 1,000 W/m²: a good stop .*kPa", shown.out, re.MULTILINE)
    assert (tmp_path / "new" / "map.png").read_bytes().startswith(b"\x89PNG")
    with (tmp_path / "map.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == 12
    assert rows[3]["verdict"] == "no stop"  # 60 psi is past the pump's reach


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--up", "moon"], "map: axis is 'moon'; write one of sun, cut-out"),
        (["--out", "map.gif"], "map.gif: write a name that ends in .png"),
        (["--cells", "4", "many"], "Argument --cells: invalid int value: 'many'"),
    ],
)
def test_a_map_that_cannot_be_is_told_in_one_sentence(
    words: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        code = main(["map", "one_trough", *words])
    except SystemExit as stop:
        code = int(stop.code or 0)

    shown = capsys.readouterr()
    assert code == 2
    assert shown.err.startswith(says)
    assert shown.out == ""


def test_a_trainer_sees_what_each_number_brings_to_the_rig(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["lines", "--numbers", "4,8"]) == 0

    one, other = capsys.readouterr().out.splitlines()
    assert one.split()[0] == "4"
    assert "two troughs" in one
    assert "cut-in" in other

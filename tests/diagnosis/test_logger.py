"""A logger's table: stops and starts found again, bad tables refused in one sentence."""

from pathlib import Path

import numpy as np
import pytest

from labkit.cli import main
from labkit.diagnosis.logger import read_log
from labkit.errors import LabkitError
from labkit.units import quantity, si
from tests.customary import PSI


def write(folder: Path, text: str, name: str = "log.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def sawtooth(
    *, fall: float, rise: float, cycles: int, noise: float = 0.0
) -> tuple[list[float], list[float]]:
    """Pressure [psi] that falls from 48 to 28 and climbs back, a row every 5 s."""
    rng = np.random.default_rng(3)
    period = fall + rise
    time = np.arange(0.0, period * cycles, 5.0)
    phase = time % period
    p = np.where(phase < rise, 28 + 20 * phase / rise, 48 - 20 * (phase - rise) / fall)
    return time.tolist(), (p + noise * rng.normal(size=p.size)).tolist()


@pytest.mark.parametrize("noise", [0.0, 0.4])
def test_stops_and_starts_are_found(tmp_path: Path, noise: float) -> None:
    time, p = sawtooth(fall=300.0, rise=60.0, cycles=6, noise=noise)
    rows = "\n".join(f"{t},{x}" for t, x in zip(time, p, strict=True))

    read = read_log(write(tmp_path, f"time (s),pressure (psi)\n{rows}\n")).readings()

    assert si(quantity(read["stop to start"], "s")) == pytest.approx(300.0, abs=12.0)
    assert si(quantity(read["gauge at the stop"], "psi")) / PSI == pytest.approx(48.0, abs=1.5)
    assert si(quantity(read["gauge at the start"], "psi")) / PSI == pytest.approx(28.0, abs=1.5)


@pytest.mark.parametrize(
    ("head", "times"),
    [
        ("time,pressure psi", ["23:59:00", "23:59:30", "00:00:00"]),
        ("time (min);pressure (psi)", ["0", "0.5", "1"]),
        ("date and time,pressure (psi)", ["2024-03-05 23:59:00", "2024-03-05 23:59:30", "2024-03-06 00:00:00"]),
        ("elapsed (s)\tpsi", ["0", "30", "60"]),
    ],
)  # fmt: skip
def test_times_as_loggers_write_them(tmp_path: Path, head: str, times: list[str]) -> None:
    mark = max(",;\t", key=head.count)
    text = "\n".join([head, *(f"{t}{mark}{p}" for t, p in zip(times, (30, 31, 32), strict=True))])

    log = read_log(write(tmp_path, text))

    assert log.time.tolist() == pytest.approx([0.0, 30.0, 60.0])
    assert log.pressure.tolist() == pytest.approx([30 * PSI, 31 * PSI, 32 * PSI], rel=1e-6)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "names no column of 'time'"),
        ("time,level\n0,3\n", "names no column of 'pressure"),
        ("time,pressure\n0,3\n", "name the unit"),
        ("time,pressure (psi)\n0,3\n5,x\n", "line 3 is '5,x'"),
        ("time,pressure (psi)\n0,3\n", "at least 3"),
        ("time,pressure (psi)\n0,3\n9,4\n5,4\n", "line 4: its time is before"),
        ("time,pressure (psi)\n0,3\n1,nan\n5,4\n", "no number at all"),
        ("time,pressure (psi)\n0,3\n1,4e9\n5,4\n", "over 700 psi"),
    ],
)
def test_a_bad_table_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(LabkitError) as said:
        read_log(write(tmp_path, text))

    assert words in str(said.value)
    assert "\n" not in str(said.value)


def test_what_is_no_text_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(b"\xff\xfe\x00\x01" * 20)

    with pytest.raises(LabkitError, match="cannot be read"):
        read_log(path)
    with pytest.raises(LabkitError, match="no such file"):
        read_log(tmp_path / "nothing.csv")


def test_a_steady_gauge_gives_no_reading(tmp_path: Path) -> None:
    rows = "\n".join(f"{t},{30 + 0.1 * (t % 7)}" for t in range(0, 600, 5))

    assert read_log(write(tmp_path, f"time,psi\n{rows}\n")).readings() == {}


def test_the_command_says_what_fits_and_draws_the_log_over_the_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    time, p = sawtooth(fall=240.0, rise=60.0, cycles=4)
    rows = "\n".join(f"{t},{0.6 * x + 1.0}" for t, x in zip(time, p, strict=True))
    path = write(tmp_path, f"time (s),pressure (psi)\n{rows}\n")
    picture = tmp_path / "log.png"

    code = main(["diagnose", "one_trough", "--log", str(path), "--picture", str(picture)])

    said = capsys.readouterr()
    assert code == 0, said.err
    for words in ("From the log: 4 stops", "What fits your readings", "Next test", "Don't dig"):
        assert words in said.out
    assert picture.read_bytes().startswith(b"\x89PNG")

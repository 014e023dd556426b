"""A logger's table: stops and starts found again, bad tables refused in one sentence."""

import time as clock
from pathlib import Path

import numpy as np
import pytest

from labkit.cli import main
from labkit.diagnosis import logger
from labkit.diagnosis.logger import Log, read_log
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


def through(*points: tuple[float, float]) -> Log:
    """A log that goes straight from point to point [s, psi], a row every second."""
    at, psi = np.array(points, dtype=float).T
    seconds = np.arange(at[0], at[-1] + 1.0)
    return Log(name="log", time=seconds, pressure=np.interp(seconds, at, psi) * PSI)


def test_two_fifths_of_the_range_are_a_stop_and_a_start_and_one_is_a_ripple() -> None:
    """The log's own ends are none; by hand: 20 psi of range, dips by 8 and by 4."""
    log = through((0, 40), (30, 28), (60, 48), (90, 40), (120, 47.5), (130, 43.5), (140, 48), (200, 28), (230, 40))  # fmt: skip

    assert log.turns() == ([60, 140], [30, 90, 200])


def test_points_as_close_as_a_switch_can_have_them_are_seen() -> None:
    """Source: the usual switch's points come to 8 psi of each other (as `rules.LEAST_DIFFERENTIAL`)."""
    log = through((0, 30), (60, 38), (120, 30), (180, 38), (240, 30))

    assert log.turns()[0] == [60, 180]


def test_readings_are_those_in_the_middle() -> None:
    """By hand: stops at 46, 48 and 52 psi, starts at 26, 28 and 34, waits of 100, 200 and 700 s."""
    log = through((0, 30), (50, 48), (150, 26), (200, 52), (400, 34), (450, 46), (1150, 28), (1200, 40))  # fmt: skip

    read = log.readings()

    assert si(quantity(read["gauge at the stop"], "psi")) / PSI == pytest.approx(48.0, abs=1e-3)
    assert si(quantity(read["gauge at the start"], "psi")) / PSI == pytest.approx(28.0, abs=1e-3)
    assert si(quantity(read["stop to start"], "s")) == pytest.approx(200.0)


def test_one_row_that_is_far_off_hides_no_stop() -> None:
    """A water hammer, or a spark in the wire: one row of 120, at 400 psi."""
    time, p = sawtooth(fall=300.0, rise=60.0, cycles=6)
    p[time.index(720.0) + 12] = 400.0  # the top of the third cycle

    read = Log(name="log", time=np.array(time), pressure=np.array(p) * PSI).readings()

    assert si(quantity(read["gauge at the stop"], "psi")) / PSI == pytest.approx(48.0, abs=1.5)
    assert si(quantity(read["stop to start"], "s")) == pytest.approx(300.0, abs=12.0)


@pytest.mark.parametrize(
    ("unit", "pascals"), [("psi", 6894.757), ("kPa", 1000.0), ("bar", 100_000.0)]
)
def test_a_pressure_is_in_the_unit_of_its_column(tmp_path: Path, unit: str, pascals: float) -> None:
    """Source: the units' definitions."""
    log = read_log(write(tmp_path, f"time (s),pressure ({unit})\n0,1.5\n1,2\n2,3\n"))

    assert log.pressure == pytest.approx(np.array([1.5, 2.0, 3.0]) * pascals, rel=1e-6)


@pytest.mark.parametrize(
    ("head", "cells", "seconds"),
    [
        ("time (h)", ["1", "1.5", "2"], [0.0, 1800.0, 3600.0]),
        ("elapsed (hours)", ["1", "1.5", "2"], [0.0, 1800.0, 3600.0]),
        ("elapsed (minutes)", ["0", "1", "1.5"], [0.0, 60.0, 90.0]),
        ("elapsed hrs", ["0", "0.5", "1"], [0.0, 1800.0, 3600.0]),
        ("elapsed (sec)", ["0", "2", "4"], [0.0, 2.0, 4.0]),
        ("time", ["0", "2", "4"], [0.0, 2.0, 4.0]),
        ("clock (hh:mm)", ["14:05", "14:06", "15:05"], [0.0, 60.0, 3600.0]),
        ("date,time", ["2024-03-05,23:59", "2024-03-06,00:00", "2024-03-06,12:00"],
         [0.0, 60.0, 43_260.0]),
        ("time,date", ["23:59,2024-03-05", "00:00,2024-03-06", "12:00,2024-03-06"],
         [0.0, 60.0, 43_260.0]),
        ("clock", ["14:05", "14:06", "15:05"], [0.0, 60.0, 3600.0]),
        ("clock", ["20:00", "04:00", "12:00"], [0.0, 28_800.0, 57_600.0]),  # past midnight
        ("clock", ["14:05", "14:05", "14:06"], [0.0, 0.0, 60.0]),  # rows within a minute
        ("clock", ["14:05", "14:06", "14:06"], [0.0, 60.0, 60.0]),
        ("clock", ["23:59:58.5", "0:00:00", "0:00:01.25"], [0.0, 1.5, 2.75]),
        ("elapsed", ["23:30:00", "24:30:00", "36:00:00"], [0.0, 3600.0, 45_000.0]),  # hours run
        ("clock", ["11:59 AM", "12:01 PM", "1:00:30 pm"], [0.0, 120.0, 3690.0]),
        ("clock", ["11:59 p.m.", "12:00 a.m.", "12:01a.m."], [0.0, 60.0, 120.0]),
        ("date/time", ["06/30/2024 11:59:00 PM", "7/1/2024 12:00:30 AM", "7/1/24 00:01"],
         [0.0, 90.0, 120.0]),
        ("date,time", ["2/28/24,23:59", "2/29/24,23:59", "3/1/24,00:01"],
         [0.0, 86_400.0, 86_520.0]),
        ("when: date", ["2024/03/05 23:59", "2024/03/06 00:00", "2024-03-06 00:01:30"],
         [0.0, 60.0, 150.0]),
    ],
)  # fmt: skip
def test_a_time_is_what_its_column_says(
    tmp_path: Path, head: str, cells: list[str], seconds: list[float]
) -> None:
    rows = "\n".join(f"{cell},{30 + i}" for i, cell in enumerate(cells))

    log = read_log(write(tmp_path, f"{head},psi\n{rows}\n"))

    assert log.time.tolist() == pytest.approx(seconds)


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
        ("time,pressure (psi)\n0,3\n0,3\n\n9,4\n , \n5,4\n", "line 7: its time is before"),
        ("clock,psi\n14:05,3\n14:75,4\n15:05,4\n", "line 3 is '14:75,4'"),
        ("clock,psi\n14:05,3\n13:15 PM,4\n15:05,4\n", "line 3 is '13:15 PM,4'"),
        ("clock,psi\n14:05,3\n0:15 PM,4\n15:05,4\n", "line 3 is '0:15 PM,4'"),
        ("date/time,psi\n13/1/2024 14:05,3\n", "line 2 is '13/1/2024 14:05,3'"),
        ("time,psi\n0,3\nnan,4\n5,4\n", "line 3 is 'nan,4'"),
        ("elapsed (ticks),psi\n0,3\n1,4\n5,4\n", "name the unit of time"),
        ("date,psi\n2024-03-05,3\n2024-03-05,4\n2024-03-05,4\n", "have the same time"),
        ("time,pressure (psi)\n0,3\n1,nan\n5,4\n", "no number at all"),
        ("time,pressure (psi)\n0,3\n1,4e9\n5,4\n", "over 700 psi"),
    ],
)
def test_a_bad_table_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(LabkitError) as said:
        read_log(write(tmp_path, text))

    assert words in str(said.value)
    assert "\n" not in str(said.value)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_column_s_name_may_hold_a_comma(tmp_path: Path, mark: str) -> None:
    """Then it stands in quotes, or the columns are parted by another mark; the battery is no pressure."""
    quote = '"' if mark == "," else ""
    names = ["#", "Date Time, GMT-06:00", "Pres, psi", "Batt, V", "Temp, F"]
    head = mark.join(f"{quote}{name}{quote}" for name in names)
    rows = [
        mark.join([str(i), f"06/15/24 02:0{i}:00 PM", str(30 + i), "3.6", "70"]) for i in range(3)
    ]

    log = read_log(write(tmp_path, "\n".join([head, *rows])))

    assert log.time.tolist() == [0.0, 60.0, 120.0]
    assert log.pressure == pytest.approx(np.array([30.0, 31.0, 32.0]) * PSI, rel=1e-6)


def test_a_table_that_is_too_long_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(logger, "MOST_ROWS", 4)
    rows = [f"{t},30\n" for t in range(5)]
    head = "time (s),psi\n"

    assert read_log(write(tmp_path, head + "".join(rows[:4]))).time.size == 4
    with pytest.raises(LabkitError, match="over 4 rows"):
        read_log(write(tmp_path, head + "".join(rows)))


@pytest.mark.skipif(
    not hasattr(clock, "tzset"), reason="the zone of this system is not ours to set"
)
@pytest.mark.parametrize(
    ("date", "next_day"), [("2024-03-10", "2024-03-11"), ("3/10/24", "3/11/24")]
)
def test_the_night_on_which_clocks_are_put_forward_is_like_any_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, date: str, next_day: str
) -> None:
    """A logger keeps one time all year; people's clocks leap from 2:00 to 3:00 on March 10, 2024."""
    rows = "".join(f"{date} 0{h}:{m:02d},30\n" for h in (1, 2, 3) for m in (0, 30))
    path = write(tmp_path, f"date and time,psi\n{rows}{next_day} 00:00,30\n")
    try:
        with monkeypatch.context() as zone:
            zone.setenv("TZ", "EST5EDT,M3.2.0,M11.1.0")
            clock.tzset()
            log = read_log(path)
    finally:
        clock.tzset()

    assert np.diff(log.time).tolist() == [1800.0] * 5 + [20.5 * 3600.0]


def test_what_is_no_text_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(b"\xff\xfe\x00\x01" * 20)

    with pytest.raises(LabkitError, match="cannot be read"):
        read_log(path)
    unclosed = 'time,psi\n0,"30\n' + "1,31\n" * 40_000
    with pytest.raises(LabkitError, match="cannot be read"):
        read_log(write(tmp_path, unclosed))
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

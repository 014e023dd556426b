"""What a run strained: each flag brought about on purpose, its number by hand, and just avoided."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from labkit import Site, demo_site, simulate
from labkit.language import flag_words
from labkit.trace import Flag, Trace
from tests.customary import FOOT, INCH, PSI
from tests.engine.lines import SHORT, line, plant_of


def flags(trace: Trace, kind: str) -> list[Flag]:
    return [flag for flag in trace.flags if flag.kind == kind]


@pytest.mark.parametrize("name", ["one_trough", "one_trough_uphill", "three_troughs", "deep_well", "storage_tank", "radio_tank"])  # fmt: skip
def test_the_demo_ranches_strain_nothing(name: str) -> None:
    """Half empty at the start, under a strong sun. Where several floats open at once the high end
    of a line may be under suction for a moment, which is another matter."""
    site = demo_site(name)
    levels = {trough.name: trough.depth / 2 for trough in site.troughs}

    flags = simulate(site, "1 hour", sun="900 W/m^2", levels=levels).flags

    assert [flag for flag in flags if flag.kind != "suction"] == []


def test_water_too_fast() -> None:
    """Source: flow over area; once the line runs evenly, what goes into the trough is the run's."""
    site = line(
        trough__lane__pipe__size="3/4 in PE SIDR 15", trough__lane__freeboard="10 in",
        trough__lane__float_valve={"flow": "20 gpm at 20 psi"}, **SHORT,
    )  # fmt: skip

    trace = simulate(site, "2 min", sun="1000 W/m^2", levels={"lane": "1 in"})

    (flag,) = flags(trace, "velocity")
    even = trace.inflow["lane"][-1] / (pi / 4 * (0.824 * INCH) ** 2)
    assert flag.where == "lane"
    assert flag.limit == 1.5
    assert flag.value == pytest.approx(even, rel=1e-4)
    assert flag.value > 1.5
    assert flag_words(flag, "US").startswith(
        f"The water to lane reached {flag.value / FOOT:.1f} ft/s; more than 4.9 ft/s is"
    )


def test_pressure_over_the_rating_at_the_lowest_end() -> None:
    """Source: hydrostatics: dead head at the manifold and 60 ft of hill below it; the rating of
    SIDR 19 pipe is 63 psi."""
    site = line(
        trough__lane__pipe__size="1 1/4 in PE SIDR 19", trough__lane__pipe__rise="-60 ft",
        pressure_switch={"cut_in": "20 psi", "cut_out": "150 psi"}, **SHORT,
    )  # fmt: skip

    trace = simulate(site, "20 min", sun="1000 W/m^2")

    (flag,) = flags(trace, "pressure")
    low = trace.pressure.max() + 60.0 * FOOT * plant_of(site).weight
    assert flag.where == "lane"
    assert flag.value == pytest.approx(low, rel=1e-6)
    assert flag.limit == pytest.approx(63.0 * PSI, rel=1e-9)
    assert "had to hold" in flag_words(flag, "metric")
    assert "kPa" in flag_words(flag, "metric")


@pytest.mark.parametrize(("warmth", "count"), [("73 degF", 0), ("104 degF", 1)])
def test_warm_water_lowers_the_rating(warmth: str, count: int) -> None:
    """Source: 78.8 psi in cold water, 0.74 of it in water of 104 degF, and 69 psi of dead head."""
    site = line(
        trough__lane__pipe__size="1 1/4 in PE SIDR 15", place__water_temperature=warmth,
        pressure_switch={"cut_in": "20 psi", "cut_out": "150 psi"},
    )  # fmt: skip

    trace = simulate(site, "20 min", sun="1000 W/m^2")

    assert 0.74 * 78.8 < trace.pressure.max() / PSI < 78.8
    found = flags(trace, "pressure")
    assert len(found) == count
    for flag in found:
        assert flag.limit == pytest.approx(0.74 * 78.8 * PSI, rel=1e-9)


def test_the_foot_of_the_drop_pipe() -> None:
    """Source: the manifold's pressure and the column from there down to the water in the well."""
    site = line(
        pump={"kind": "centrifugal", "shut_off_head": "230 ft", "rated_flow": "8 gpm",
              "rated_head": "170 ft", "drop_pipe": "1 1/4 in PE SIDR 19"},
    )  # fmt: skip

    trace = simulate(site, "20 min", sun="1000 W/m^2")

    (flag,) = flags(trace, "drop pipe")
    column = trace.pressure.max() + 70.0 * FOOT * plant_of(site).weight
    assert flag.value == pytest.approx(column, rel=0.02)  # the pump also lifts through friction
    assert flag.limit == pytest.approx(63.0 * PSI, rel=1e-9)


CYCLING = {"at": "manifold", "size": "0.8 gpm at 30 psi"}
LARGER = {
    "kind": "centrifugal", "shut_off_head": "230 ft", "rated_flow": "8 gpm", "rated_head": "170 ft",
}  # fmt: skip
"""8 gpm against 170 ft at 45 % takes 8 x 170 / 3960 / 0.45 = 0.76 hp."""
SMALLER = LARGER | {"rated_flow": "7 gpm"}
"""And 7 gpm takes 0.67 hp."""


@pytest.mark.parametrize(
    ("kind", "pump", "limit"),
    [("mains", LARGER, 7.5), ("mains", SMALLER, 15.0), ("solar", LARGER, 15.0)],
)
def test_hard_starts(kind: str, pump: dict[str, str], limit: float | None) -> None:
    """A leaking bare line starts its pump every minute; only a hard start counts."""
    site = line(drive={"kind": kind, "stop_when": "closed"}, leaks=[CYCLING], pump=pump)

    trace = simulate(site, "90 min", sun="1000 W/m^2")

    times = np.array(trace.times("pump starts"))
    most = max(int(np.sum((times >= t) & (times <= t + 3600.0))) for t in times)
    assert most > 15
    found = flags(trace, "starts")
    if limit is None:
        assert not found
        return
    assert found == [Flag("starts", "wellhead", float(most), limit)]
    assert f"started {most} times" in flag_words(found[0])


@pytest.mark.parametrize(("pump", "count"), [(LARGER, 1), (SMALLER, 0)])
def test_ten_starts_an_hour_are_too_many_for_a_larger_motor_only(
    pump: dict[str, str], count: int
) -> None:
    site = line(
        drive={"kind": "mains", "stop_when": "closed", "restart_delay": "6 min"}, leaks=[CYCLING],
        pump=pump,
    )  # fmt: skip

    trace = simulate(site, "2 hour", sun="1000 W/m^2")

    assert 14 <= len(trace.times("pump starts")) <= 20
    assert len(flags(trace, "starts")) == count


def test_a_line_sucked_empty() -> None:
    """A worn check valve and a trough far below pull the manifold under the vapour limit."""
    site: Site = line(
        check_valve={"leak": "3 mm hole"}, well={"static_level": "120 ft", "intake_depth": "200 ft"}
    )

    trace = simulate(site, "3 hour", sun="0 W/m^2", pressure="2 psi")

    assert flags(trace, "suction") == [Flag("suction")]
    assert "sucked empty" in flag_words(trace.flags[0])


def test_flags_are_said_in_either_system() -> None:
    flag = Flag("velocity", "creek", 2.0, 1.5)

    assert "2.0 m/s" in flag_words(flag, "metric")
    assert "6.6 ft/s" in flag_words(flag, "US")

"""Sizes of openings as people state them, and results in the units that people read."""

import numpy as np
import pytest
from hypothesis import given

from labkit.errors import UnitError
from labkit.units import (
    UNIT_SYSTEMS,
    FlowAt,
    Hole,
    displayed,
    flow_at,
    leak_size,
    si,
    typed,
    unit_label,
    written,
)
from tests.strategies import leak_sizes


@pytest.mark.parametrize(
    ("text", "flow", "pressure"),
    [
        ("6 gpm at 20 psi", "6 gpm", "20 psi"),
        ("6 gpm AT 140 kPa", "6 gpm", "140 kPa"),
        ("130 drops/min at 30 psi", "130 drops/min", "30 psi"),
        ("1 1/2 gpm  at  20 psi", "1 1/2 gpm", "20 psi"),
    ],
)
def test_a_flow_at_a_pressure(text: str, flow: str, pressure: str) -> None:
    read = flow_at(text)

    assert read == FlowAt(flow=flow, pressure=pressure)
    assert str(read) == f"{flow} at {pressure}"


def test_no_leak_needs_no_pressure() -> None:
    tight = leak_size("0 gpm")

    assert isinstance(tight, FlowAt)
    assert si(tight.flow) == 0.0
    assert str(tight) == "0 gpm"


def test_a_hole() -> None:
    assert leak_size("1/16 in hole") == Hole(diameter="1/16 in")
    assert str(leak_size("1 mm HOLE")) == "1 mm hole"


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("6 gpm", "the pressure it flows at as well"),
        ("6 gpm at 20 ft", "write a pressure"),
        ("6 psi at 20 psi", "write a flow"),
        ("at 20 psi", "write a flow"),
        ("6 gpm at 20 psi at 30 psi", "write a pressure"),
        ("x" * 10_000_000, "write a flow"),
    ],
    ids=["no pressure", "head", "swapped", "no flow", "twice", "long"],
)
def test_a_flow_that_is_not_said_right(text: str, rule: str) -> None:
    with pytest.raises(UnitError, match=rule):
        flow_at(text)
    with pytest.raises(UnitError, match=r"'0\.1 gpm at 30 psi' or '1 mm hole'"):
        leak_size(text)


@given(text=leak_sizes)
def test_a_leak_reads_back_as_equal(text: str) -> None:
    assert leak_size(str(leak_size(text))) == leak_size(text)


@pytest.mark.parametrize(
    ("si_value", "kind", "us", "metric"),
    [
        (206842.7188, "pressure", 30.0, 206.8427188),
        (3.785411784e-3 / 60, "flow", 1.0, 3.785411784),
        (0.3048, "length", 1.0, 0.3048),
        (0.0254, "small length", 1.0, 25.4),
        (3.785411784e-3, "volume", 1.0, 3.785411784),
        (273.15, "temperature", 32.0, 0.0),
        (300.0, "temperature", 80.33, 26.85),
        (0.3048, "velocity", 1.0, 0.3048),
    ],
)
def test_results_are_read_in_either_system(
    si_value: float, kind: str, us: float, metric: float
) -> None:
    """Source: NIST SP 811 (2008), appendix B; temperatures exact by definition."""
    assert displayed(si_value, kind, "US") == pytest.approx(us, rel=1e-8, abs=1e-9)
    assert displayed(si_value, kind, "metric") == pytest.approx(metric, rel=1e-8, abs=1e-9)


@pytest.mark.parametrize(
    ("system", "kind"), [(system, kind) for system, kinds in UNIT_SYSTEMS.items() for kind in kinds]
)
def test_a_displayed_value_goes_back_to_si(system: str, kind: str) -> None:
    back = typed(300.0, kind, system)

    assert si(back) == pytest.approx(300.0, rel=1e-12)
    assert written(back).endswith(unit_label(kind, system))
    assert displayed(np.array([300.0]), kind, system)[0] == back.magnitude


def test_both_systems_know_the_same_kinds() -> None:
    assert UNIT_SYSTEMS["US"].keys() == UNIT_SYSTEMS["metric"].keys()

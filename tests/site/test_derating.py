"""Pressure ratings in warm water, against what others print."""

import pytest

from labkit.catalogue import derated_rating, derating, pipe_size, pipe_sizes
from labkit.units import Quantity, ureg

PVC, PE = "1 1/4 in PVC SDR 26", "1 1/4 in PE SIDR 15"


def degrees(number: float, unit: str = "degF") -> Quantity:
    return ureg.Quantity(number, unit)


@pytest.mark.parametrize(
    ("warmth", "share"),
    [(73.4, 1.0), (80.0, 0.88), (90.0, 0.75), (100.0, 0.62), (110.0, 0.50), (120.0, 0.40),
     (130.0, 0.30), (140.0, 0.22)],
)  # fmt: skip
def test_pvc(warmth: float, share: float) -> None:
    """Machinery's Handbook, 31st edition, page 2770, Plastic Pipe Table 14. Its first row is 73.4
    degF, ours 73: 0.007 of a factor between."""
    assert derating(PVC, degrees(warmth)) == pytest.approx(share, abs=0.008)


@pytest.mark.parametrize(
    ("warmth", "share"), [(20.0, 1.0), (30.0, 0.87), (35.0, 0.805), (40.0, 0.74)]
)
def test_pe(warmth: float, share: float) -> None:
    """The metric standard's factors: 1.00 at 20 degC, 0.87 at 30, 0.74 at 40, straight between."""
    assert derating(PE, degrees(warmth, "degC")) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize(
    ("cool", "warm", "share", "before"),
    [(60.0, 80.0, 1.0, 1.0), (81.0, 90.0, 0.9, 1.0), (91.0, 100.0, 0.8, 0.9)],
)
def test_pe_beside_the_american_manual(
    cool: float, warm: float, share: float, before: float
) -> None:
    """AWWA Manual M55, PE Pipe - Design and Installation, 2006, Table 4-6, goes by steps. A straight
    line promises no more than it at the warm end of a step. Found: at the cool end it promises more
    than the step, as the metric standard's own line does, and no more than the step before."""
    assert derating(PE, degrees(warm)) <= share
    assert share <= derating(PE, degrees(cool)) <= before
    assert (derating(PE, degrees(cool)) > share) == (share < before)


def test_a_pvc_pipe_of_160_psi_holds_99_psi_at_100_degrees() -> None:
    """0.62 x 160 psi."""
    warm = derated_rating(PVC, degrees(100.0))

    assert warm.to("psi").magnitude == pytest.approx(99.2)


@pytest.mark.parametrize("size", [PVC, PE])
def test_cold_water_adds_nothing(size: str) -> None:
    assert derated_rating(size, degrees(40.0)) == pipe_size(size).rating


def test_every_pipe_in_the_table_has_its_factors() -> None:
    for size in pipe_sizes():
        assert 0.0 < derating(size, degrees(100.0)) < 1.0, size

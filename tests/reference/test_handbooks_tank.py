"""What a diaphragm tank gives back between cut-out and cut-in, against printed figures."""

from __future__ import annotations

import pytest

from labkit.physics.tank import water_volume
from labkit.physics.water import air_pressure
from tests.customary import FOOT, PSI

SEA_LEVEL = 14.7 * PSI
"""As the tank columns round it."""


def drawdown(
    V: float, p_in: float, p_out: float, *, precharge: float, p_air: float = SEA_LEVEL, n: float = 1.0
) -> float:  # fmt: skip
    """Water between two pressures [psi], in the unit of `V`."""
    high, low = (
        water_volume(p * PSI, V=V, p_precharge=precharge * PSI, p_air=p_air, n=n)[0]
        for p in (p_out, p_in)
    )
    return high - low


def test_an_85_gallon_tank() -> None:
    """Source: a trade column on tank sizing, February 2006: charge 28, switch 30/50, 14.7 psia: 25.1 gal."""
    assert drawdown(85.0, 30, 50, precharge=28) == pytest.approx(25.1, abs=0.05)


def test_an_85_gallon_tank_at_6000_feet() -> None:
    """Source: the same column, 11.8 psia: 26.1 gal; exact is 26.2, the table rounds down."""
    assert drawdown(85.0, 30, 50, precharge=28, p_air=11.8 * PSI) == pytest.approx(26.1, abs=0.11)


@pytest.mark.parametrize(
    ("p_in", "p_out", "under", "at"),
    [
        (20, 40, 0.3446, 0.3656),
        (30, 50, 0.2953, 0.3091),
        (40, 60, 0.2579, 0.2677),
        (50, 70, 0.2288, 0.2361),
        (30, 60, 0.3836, 0.4016),
    ],
)
def test_share_of_the_volume(p_in: float, p_out: float, under: float, at: float) -> None:
    """Source: P1V/P2 - P1V/P3 in absolute units (the columns above; Water Systems Council,
    Pressure Tanks, 2007), worked by hand: charge 2 psi under cut-in, and at cut-in."""
    assert drawdown(1.0, p_in, p_out, precharge=p_in - 2) == pytest.approx(under, abs=5e-5)
    assert drawdown(1.0, p_in, p_out, precharge=p_in) == pytest.approx(at, abs=5e-5)


@pytest.mark.parametrize(
    ("V", "p_in", "p_out", "claimed", "with_the_usual_charge"),
    [(119.0, 30, 50, 36.8, 35.1), (20.0, 40, 60, 5.4, 5.16)],
)
def test_claims_that_leave_out_the_two_psi(
    V: float, p_in: float, p_out: float, claimed: float, with_the_usual_charge: float
) -> None:
    """Source: a trade column (119 gal) and a trade page (20 gal) that disagree with the table
    above: they hold only for a charge equal to the cut-in, which the same trade advises against."""
    assert drawdown(V, p_in, p_out, precharge=p_in) == pytest.approx(claimed, abs=0.06)
    usual = drawdown(V, p_in, p_out, precharge=p_in - 2)
    assert usual == pytest.approx(with_the_usual_charge, abs=0.06)
    assert claimed - usual > 0.2


def test_a_wider_differential() -> None:
    """Source: trade tables (quoted second-hand): from 30/50 to 30/60 the drawdown grows 20 to 30 %."""
    gain = drawdown(1.0, 30, 60, precharge=28) / drawdown(1.0, 30, 50, precharge=28) - 1.0

    assert 0.20 <= gain <= 0.30


def test_gauge_and_absolute_pressure_are_not_mixed() -> None:
    """Source: a widely copied web article: 10 gal, no charge, 20 on, 50 off. It divides gauge
    pressures and gets 4.4 gal; Boyle's law in absolute pressure leaves 4.24 and 2.27 gal of air."""
    water = [
        water_volume(p * PSI, V=10.0, p_precharge=0.0, p_air=SEA_LEVEL, n=1.0)[0] for p in (20, 50)
    ]

    assert [10.0 - w for w in water] == pytest.approx([4.24, 2.27], abs=0.005)
    assert water[1] - water[0] == pytest.approx(1.96, abs=0.01)


@pytest.mark.parametrize(
    ("p_in", "p_out", "withdrawal"), [(20, 40, 0.329), (30, 50, 0.278), (40, 60, 0.241), (50, 70, 0.213)]
)  # fmt: skip
def test_a_plain_tank_kept_charged_with_air(p_in: float, p_out: float, withdrawal: float) -> None:
    """Source: UFC 3-420-01, US Department of Defense 2004, 606.5.11.3: a tenth stays behind, the
    rest holds air at cut-in: 24 % at 40/60; the other rows by its formula."""
    assert drawdown(0.9, p_in, p_out, precharge=p_in) == pytest.approx(withdrawal, abs=6e-4)


@pytest.mark.parametrize(
    ("p_in", "p_out", "feet", "shares"),
    [
        (15, 28, 0, (0.28397, 0.24635, 0.21735)),
        (15, 28, 6000, (0.30240, 0.26332, 0.23295)),
        (30, 50, 0, (0.29531, 0.25529, 0.22468)),
        (30, 50, 6000, (0.30824, 0.26704, 0.23538)),
    ],
)
def test_slow_and_fast_air_at_two_heights(
    p_in: float, p_out: float, feet: float, shares: tuple[float, ...]
) -> None:
    """Source: ((p0 + pa) / (p + pa))**(1/n) worked by hand with the standard atmosphere, for the
    exponents 1, 1.2 and 1.4 and a charge 2 psi under cut-in."""
    for n, share in zip((1.0, 1.2, 1.4), shares, strict=True):
        computed = drawdown(
            1.0, p_in, p_out, precharge=p_in - 2, p_air=air_pressure(feet * FOOT), n=n
        )
        assert computed == pytest.approx(share, abs=2e-5)

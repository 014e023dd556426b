"""Openings: orifices, leaks, float valves and the relief valve."""

from math import sqrt
from typing import Final

from labkit.compiled import compiled
from labkit.physics.pipe import LINEAR_BELOW

HOLE: Final = 0.5
"""Exponent of an opening that keeps its shape: a float valve, its seat, a check valve's."""


@compiled
def opening_flow(dh: float, k: float, n: float) -> tuple[float, float]:
    """Flow out of an opening to the air and its slope.

    Parameters
    ----------
    dh : float
        Head above the opening [m]; nothing flows, in or out, at or below zero.
    k : float
        Flow coefficient [m3/s/m**n].
    n : float
        Exponent: `HOLE` for a hole that keeps its shape, more for one that widens under pressure.

    Returns
    -------
    q, slope : float
        Flow [m3/s] and dq/d(dh) [m2/s].

    Notes
    -----
    ``q = k dh**n``, with the chord under one millimetre. A sharp hole of area a has
    ``k = 0.61 a sqrt(2 g)``.

    References
    ----------
    Thornton, Sturm & Kunkel, Water Loss Control, p. 141 (the exponent).
    """
    if dh <= 0.0 or k == 0.0:
        return 0.0, 0.0
    if dh < LINEAR_BELOW:
        slope = k * LINEAR_BELOW ** (n - 1.0)
        return slope * dh, slope
    q = k * sqrt(dh) if n == HOLE else k * dh**n
    return q, n * q / dh


@compiled
def float_opening(V: float, V_shut: float, V_band: float) -> tuple[float, float]:
    """Return the opening of a float valve (0 to 1) and its slope [1/m3] at trough volume `V` [m3].

    It is shut at `V_shut` and fully open a volume `V_band` lower (common practice: a crisp valve
    needs about a centimetre of water, a lazy one several).
    """
    x = (V_shut - V) / V_band
    if x <= 0.0:
        return 0.0, 0.0
    if x >= 1.0:
        return 1.0, 0.0
    return x, -1.0 / V_band


@compiled
def forced_opening(dh: float, dh_hold: float) -> tuple[float, float]:
    """Return the opening that pressure forces on a float valve, and its slope [1/m].

    Above the head `dh_hold` [m] the float can no longer keep the valve shut; a tenth more has it
    fully open (from memory: no published curve was found).
    """
    x = (dh - dh_hold) / (0.1 * dh_hold)
    if x <= 0.0:
        return 0.0, 0.0
    if x >= 1.0:
        return 1.0, 0.0
    return x, 10.0 / dh_hold


@compiled
def relief_flow(h: float, h_opens: float, k: float) -> tuple[float, float]:
    """Flow [m3/s] and slope [m2/s] of a relief valve that opens at head `h_opens` [m].

    It opens in proportion, ``q = k (h - h_opens)``, `k` set by its stated capacity.
    """
    if h <= h_opens:
        return 0.0, 0.0
    return k * (h - h_opens), k

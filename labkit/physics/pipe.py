"""Flow through a pipe run, its water's inertia, and what the run takes up as its pressure rises.

Friction is quasi-steady: what it would be if the flow of this moment stood for ever.
"""

from math import exp, log, log10, pi, sqrt
from typing import Final

from labkit.compiled import compiled
from labkit.physics import GRAVITY

DARCY_WEISBACH: Final = 0
"""Friction by Darcy-Weisbach with Colebrook's factor."""
HAZEN_WILLIAMS: Final = 1
"""Friction by Hazen-Williams."""
GIVEN_FACTOR: Final = 2
"""Friction by a Darcy factor that stands in place of the wall: zero for none. Meant for checks."""

LINEAR_BELOW: Final = 1e-3
"""Head difference [m] under which a power law is replaced by its chord, to keep slopes finite."""

LAMINAR_TO: Final = sqrt(64.0 * 2000.0)
"""Where laminar flow ends, as ``x = Re sqrt(f)``: at Reynolds number 2000."""
TURBULENT_FROM: Final = 750.0
"""Where Colebrook's law begins, in the same `x`: at Reynolds number 3700 in plastic pipe."""

_LN_10: Final = log(10.0)
_GAP: Final = log(TURBULENT_FROM / LAMINAR_TO)
_LN_2000: Final = log(2000.0)


@compiled
def area(D: float) -> float:
    """Cross-section [m2] of a pipe of inside diameter `D` [m]."""
    return 0.25 * pi * D * D


@compiled
def _colebrook(x: float, relative: float) -> tuple[float, float]:
    """Reynolds number at ``x = Re sqrt(f)`` by Colebrook's law, and d(log Re)/d(log x).

    `relative` is the wall's roughness as a share of the diameter.
    """
    smooth = 2.51 / x
    inside = relative / 3.7 + smooth
    logarithm = log10(inside)
    return -2.0 * x * logarithm, 1.0 - smooth / (inside * _LN_10 * logarithm)


@compiled
def _bridge(x: float, relative: float) -> tuple[float, float]:
    """Reynolds number between laminar and turbulent flow; as `_colebrook`."""
    Re, rise = _colebrook(TURBULENT_FROM, relative)
    u = log(x / LAMINAR_TO) / _GAP
    climb, start, end = log(Re) - _LN_2000, 2.0 * _GAP, rise * _GAP
    square, cube = 3.0 * climb - 2.0 * start - end, start + end - 2.0 * climb
    way = u * (start + u * (square + u * cube))
    return 2000.0 * exp(way), (start + u * (2.0 * square + 3.0 * u * cube)) / _GAP


@compiled
def darcy_flow(dh: float, L: float, D: float, roughness: float, nu: float) -> tuple[float, float]:
    """Flow and its slope at a loss of head along a run, by Darcy-Weisbach.

    Parameters
    ----------
    dh : float
        Head lost to friction, not negative [m].
    L, D, roughness : float
        Length, inside diameter and height of the wall's roughness [m].
    nu : float
        Kinematic viscosity [m2/s].

    Returns
    -------
    q : float
        Flow [m3/s].
    slope : float
        dq/d(dh) [m2/s].

    Notes
    -----
    All in ``x = Re sqrt(f) = D sqrt(2 g D dh / L) / nu``, which needs no iteration: Poiseuille's
    ``Re = x**2 / 64`` up to Reynolds number 2000, Colebrook's law from x = 750 on (Re 3700), and a
    bridge between them, one cubic in log Re over log x with the values and slopes of both laws at
    its ends. So flow and slope never jump, and flow rises all the way (log Re by 0.42 of log x at
    the least, for roughness to a hundredth of the diameter).

    What flow does in between depends on how smoothly it enters, and no law is agreed on. The bridge
    keeps within 9 % of the loss by EPANET's (a cubic in f over Re by Dunlop 1991); Churchill 1977
    lies up to 45 % over it, and 33 % over EPANET's, near Reynolds number 3000.

    References
    ----------
    Colebrook 1939, J. Inst. Civ. Eng. 11:133; explicit form as in Swamee & Jain 1976,
    J. Hydraul. Div. ASCE 102:657, equation 11. Limits of the critical zone: Moody 1944, Trans. ASME
    66:671 (2000 to 4000). Dunlop's bridge: EPANET 2.2 User Manual, US EPA 2020, chapter 12.
    """
    laminar_slope = GRAVITY * area(D) * D * D / (32.0 * nu * L)
    x = D * sqrt(2.0 * GRAVITY * D * dh / L) / nu
    if x <= LAMINAR_TO:
        return laminar_slope * dh, laminar_slope
    if x < TURBULENT_FROM:
        Re, rise = _bridge(x, roughness / D)
    else:
        Re, rise = _colebrook(x, roughness / D)
    q = area(D) * nu / D * Re
    return q, 0.5 * rise * q / dh


@compiled
def darcy_factor(Re: float, relative: float) -> float:
    """Friction factor of Darcy-Weisbach at a Reynolds number: `darcy_flow` read the other way.

    Parameters
    ----------
    Re : float
        Reynolds number, above 0.
    relative : float
        Height of the wall's roughness as a share of the diameter.

    Notes
    -----
    ``64 / Re`` in laminar flow. Above, Newton on log x for ``x = Re sqrt(f)``, begun from Konakov's
    smooth pipe (from memory; the start changes no answer).
    """
    if Re <= 2000.0:
        return 64.0 / Re
    x = max(Re / (1.8 * log10(Re) - 1.5), LAMINAR_TO)
    for _ in range(50):
        reached, rise = _bridge(x, relative) if x < TURBULENT_FROM else _colebrook(x, relative)
        step = log(Re / reached) / rise
        x = max(x * exp(step), LAMINAR_TO)
        if abs(step) <= 1e-14:
            break
    return (x / Re) ** 2


@compiled
def hazen_williams_flow(dh: float, L: float, D: float, c: float) -> tuple[float, float]:
    """Flow [m3/s] and slope dq/d(dh) [m2/s] at a loss `dh` >= 0 [m], by Hazen-Williams.

    `c` is the coefficient of the wall (150 for plastic); `L`, `D` in metres. A chord replaces the
    law under one millimetre of head. Meant for water near 15 degC and turbulent flow: it reads
    20 to 30 % low against Colebrook at 2 to 4 gpm in farm sizes, and within 4 % at 20 gpm.

    References
    ----------
    EPANET 2.2 User Manual, US EPA 2020, Table 3.1 (SI constant 10.667).
    """
    factor = (c**1.852 * D**4.871 / (10.667 * L)) ** (1.0 / 1.852)
    if dh < LINEAR_BELOW:
        slope = factor * LINEAR_BELOW ** (1.0 / 1.852) / LINEAR_BELOW
        return slope * dh, slope
    q = factor * dh ** (1.0 / 1.852)
    return q, q / (1.852 * dh)


@compiled
def friction_flow(
    dh: float, L: float, D: float, wall: float, nu: float, law: int
) -> tuple[float, float]:
    """Flow [m3/s] and slope [m2/s] at a friction loss `dh` >= 0 [m] by either law.

    `wall` is the roughness [m] for Darcy-Weisbach, the coefficient for Hazen-Williams.
    """
    if law == HAZEN_WILLIAMS:
        return hazen_williams_flow(dh, L, D, wall)
    return darcy_flow(dh, L, D, wall, nu)


@compiled
def run_flow(
    dh: float, L: float, D: float, K: float, wall: float, nu: float, law: int
) -> tuple[float, float]:
    """Flow along a run with its fittings, either way.

    Parameters
    ----------
    dh : float
        Head at the upper end less head at the lower end [m]; any sign.
    L, D : float
        Length and inside diameter [m].
    K : float
        Sum of the fitting coefficients in ``K v**2 / 2 g`` [-].
    wall : float
        Roughness [m] or Hazen-Williams coefficient [-], by `law`.
    nu : float
        Kinematic viscosity [m2/s].
    law : int
        `DARCY_WEISBACH` or `HAZEN_WILLIAMS`.

    Returns
    -------
    q, slope : float
        Flow, of the sign of `dh` [m3/s], and dq/d(dh) [m2/s].
    """
    size = abs(dh)
    q, slope = friction_flow(size, L, D, wall, nu, law)
    if K > 0.0 and size > 0.0:
        minor = K / (2.0 * GRAVITY * area(D) ** 2)
        low, high, friction = 0.0, size, size
        for _ in range(60):
            excess = friction + minor * q * q - size
            if abs(excess) <= 1e-13 * size:
                break
            if excess > 0.0:
                high = friction
            else:
                low = friction
            friction -= excess / (1.0 + 2.0 * minor * q * slope)
            if not low < friction < high:
                friction = 0.5 * (low + high)
            q, slope = friction_flow(friction, L, D, wall, nu, law)
        slope = slope / (1.0 + 2.0 * minor * q * slope)
    return (q, slope) if dh >= 0.0 else (-q, slope)


@compiled
def drag(q: float, L: float, D: float, K: float, wall: float, nu: float, law: int) -> float:
    """Head lost along a run for each unit of flow at a flow `q` [s/m2].

    Parameters
    ----------
    q : float
        Flow [m3/s]; any sign.
    L, D : float
        Length and inside diameter [m].
    K : float
        Sum of the fitting coefficients [-].
    wall : float
        Roughness [m], Hazen-Williams coefficient [-] or Darcy factor [-], by `law`.
    nu : float
        Kinematic viscosity [m2/s].
    law : int
        `DARCY_WEISBACH`, `HAZEN_WILLIAMS` or `GIVEN_FACTOR`.

    Notes
    -----
    The inverse of `run_flow`.
    """
    A, size = area(D), abs(q)
    velocity_head = size / (2.0 * GRAVITY * A * A)
    if law == HAZEN_WILLIAMS:
        factor = 10.667 * L / (wall**1.852 * D**4.871)
        chord = LINEAR_BELOW / (LINEAR_BELOW / factor) ** (1.0 / 1.852)
        return float(max(factor * size**0.852, chord) + K * velocity_head)
    if law != DARCY_WEISBACH:
        return (wall * L / D + K) * velocity_head
    Re = size * D / (A * nu)
    if Re < 1.0:  # where a factor would run away though its product with the flow does not
        return 32.0 * nu * L / (GRAVITY * A * D * D) + K * velocity_head
    return (darcy_factor(Re, wall / D) * L / D + K) * velocity_head


@compiled
def heavy_flow(
    dh: float,
    M: float,
    q_start: float,
    guess: float,
    L: float,
    D: float,
    K: float,
    wall: float,
    nu: float,
    law: int,
) -> tuple[float, float, float]:
    """Flow along a run whose water must first be set going, at the end of a stage in time.

    Parameters
    ----------
    dh : float
        Head at the upper end less head at the lower end [m]; any sign.
    M : float
        Head that changes the flow by one within the stage [s/m2]: `inertance` over its length.
    q_start : float
        Flow with which the stage begins [m3/s].
    guess : float
        Head lost to friction at a like moment [m], where the search begins.
    L, D, K, wall, nu, law
        As in `run_flow`.

    Returns
    -------
    q, slope, lost : float
        Flow [m3/s], dq/d(dh) [m2/s], and head lost to friction along the pipe alone [m], no sign.

    Notes
    -----
    The root of ``M (q - q_start) + loss(q) = dh``. Both terms rise with the flow, so there is one,
    and the flow rises with the head that drives it. The unknown is the friction head, as in
    `run_flow`. The last round goes along the tangent, off by the square of its length: some
    hundred thousandths at once, and nothing at all after a few calls that begin where the last one
    ended, as those of Newton's method do.
    """
    push = dh + M * q_start
    size = abs(push)
    minor = K / (2.0 * GRAVITY * area(D) ** 2)
    low, high, friction = 0.0, size, min(guess, size)
    q, slope, steep, step = 0.0, 0.0, 1.0, 0.0
    for _ in range(60):
        q, slope = friction_flow(friction, L, D, wall, nu, law)
        excess = friction + (minor * q + M) * q - size
        steep = 1.0 + (2.0 * minor * q + M) * slope
        step = excess / steep
        if abs(step) <= 1e-2 * friction:
            break
        if excess > 0.0:
            high = friction
        else:
            low = friction
        friction -= step
        if not low < friction < high:
            friction = 0.5 * (low + high)
        step = 0.0
    q -= slope * step
    return (q if push >= 0.0 else -q), slope / steep, friction - step


@compiled
def pushed_flow(
    dh: float,
    M: float,
    q_start: float,
    guess: float,
    L: float,
    D: float,
    K: float,
    wall: float,
    nu: float,
    law: int,
) -> tuple[float, float]:
    """Flow along a run, and its friction head, at the end of so short a while that it hardly lags.

    Parameters as in `heavy_flow`.

    Returns
    -------
    q, lost : float
        Flow [m3/s], and head lost to friction along the pipe alone [m], no sign.

    Notes
    -----
    Newton's first round of `heavy_flow`, with the flow for the unknown: friction is that at `guess`
    and follows the flow along its tangent. So the flow keeps to what pushes it, however far off
    friction is; handed back as the next guess, it closes in by the square each time.
    """
    push = dh + M * q_start
    size = abs(push)
    near, slope = friction_flow(guess, L, D, wall, nu, law)
    fittings = K * abs(q_start) / (2.0 * GRAVITY * area(D) ** 2)
    q = (size - guess + near / slope) / (M + fittings + 1.0 / slope)
    lost = guess + (q - near) / slope
    if lost < 0.0:
        lost, q = 0.0, size / (M + fittings)
    return (q if push >= 0.0 else -q), lost


@compiled
def wave_speed(D: float, *, wall: float, E: float, bulk: float, rho: float) -> float:
    """Speed of a pressure wave in a thin-walled pipe [m/s].

    Parameters
    ----------
    D, wall : float
        Inside diameter and wall thickness [m].
    E, bulk : float
        Young's modulus of the wall and bulk modulus of water [Pa].
    rho : float
        Density of water [kg/m3].

    References
    ----------
    Korteweg 1878; Wylie & Streeter, Fluid Transients, with the support factor 1 (a line with
    expansion joints).
    """
    return sqrt(bulk / rho / (1.0 + bulk * D / (E * wall)))


@compiled
def storage(L: float, D: float, a: float) -> float:
    """Water taken up per metre of head by a run of wave speed `a` [m3/m]: ``A L g / a**2``."""
    return area(D) * L * GRAVITY / (a * a)


@compiled
def inertance(L: float, D: float) -> float:
    """Head that changes the flow along a run by 1 m3/s within a second [s2/m2]: ``L / (g A)``."""
    return L / (GRAVITY * area(D))

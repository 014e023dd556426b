"""A family of invented ranches: one for every number, each of its own kind.

Depths, pumps, pipe and heights are drawn so that a supplier's catalog could have sold them (common
practice); what no setting of the switch suits is drawn again, or kept as a line that needs another
remedy, for those who ask for such.
"""

from collections.abc import Callable
from math import inf
from typing import Any, Final

import attrs
import numpy as np

from labkit.advice.bounds import lower_bounds, room_of, upper_bounds
from labkit.advice.judge import judge
from labkit.advice.line import Line, SunRange, find_range
from labkit.advice.remedies import SIGNAL
from labkit.advice.rules import LEAST_CUT_IN, MOST_NUT_TURNS, MOST_TURNS, PER_TURN, SPRING_SPREAD
from labkit.advice.setting import Setting, set_so
from labkit.advice.window import Window, bare_window
from labkit.catalogue import pipe_sizes
from labkit.engine.steady import TORQUE_LIMIT
from labkit.errors import LabkitError
from labkit.parts.build import build
from labkit.site import Site
from labkit.units import si
from labkit.units.customary import FOOT, GPM, PSI

MOST_DRAWS: Final = 400
"""Lines that are drawn before a number is given up; most are told by their settled limits alone."""

_FIRST: Final = (
    "Left Boot", "Broken Compass", "Second Supper", "Tin Whistle", "Quiet Hammer", "Lost Mitten",
    "Crooked Ladle", "Borrowed Shovel", "Empty Bobbin", "Rusty Thimble", "Loose Button",
    "Patched Kettle", "Sleepy Mule", "Bent Nail", "Odd Sock", "Cold Biscuit",
)  # fmt: skip
_LAST: Final = ("Ranch", "Grazing", "Pasture", "Allotment", "Section")
_TROUGHS: Final = ("elm", "creek", "notch", "lane", "basin", "juniper", "lookout", "corral")
_PIPES: Final = ("1 in PE SIDR 9", "1 1/4 in PE SIDR 9", "1 1/2 in PE SIDR 9", "2 in PE SIDR 9")
_TANKS: Final = ("2 gal", "5 gal", "10 gal", "20 gal")
_SUN: Final = (250.0, 1000.0)
"""Sun in which a line must work [W/m2]: haze and noon, as a window has it if nobody says else."""
_TAKES: Final = 8.0 * FOOT
"""Friction in the pipe to each trough for which its size is chosen [m]."""

_FAMILY: Final = 31
_BANDS: Final = ((12, 26), (26, 35), (35, 44), (44, 54), (54, 78))
"""Where the best cut-out of a line lies [psi]: each five numbers get all five, so that no setting
suits many lines."""
_HOPELESS: Final = 0.12
"""Share of the lines that no setting suits, where those are asked for (a judgement)."""
_LEAST_MARGIN: Final = 3.0 * PSI
"""How far the best setting lies from every limit: a gauge is read a pound off, a screw turned by
quarters."""
_COVERS: Final = (0.0, 0.1, 0.15, 0.25)  # shares of a day on which a cloud stands before the sun
NO_SETTING: Final = "no setting"  # kind of a line that no setting of its switch suits


@attrs.frozen(kw_only=True, eq=False)
class FamilyLine:
    """One line of the family."""

    number: int  # the number it was drawn from
    kind: tuple[str, ...]  # what sets it apart, such as "uphill", "no tank" or "three troughs"
    site: Site  # the line, its switch set as recommended; as drawn where no setting suits it
    window: Window  # where its switch may be set
    cover: float  # share of its day on which a cloud stands before the sun


def family_line(
    number: int, *, with_hopeless: bool = False, suits: Callable[[Site], bool] = lambda _: True
) -> FamilyLine:
    """Return the line of a number: the same number brings the same line.

    `with_hopeless` lets some numbers bring a line that no setting suits, but a remedy does; `suits`
    asks for what a line must have besides, such as a tank.
    """
    if number < 0:
        raise LabkitError(f"number is {number}; it must be 0 or more")
    rng = np.random.default_rng([_FAMILY, number])
    is_hopeless = bool(rng.random() < _HOPELESS) and with_hopeless
    low, high = _BANDS[_band(number)]
    for _ in range(MOST_DRAWS):
        site, kind = _drawn(rng)
        if not suits(site):
            continue
        line = Line.of(site)
        sun = find_range(line, *_SUN)
        if sun is None or line.dead_head(sun.most).stopped_by == TORQUE_LIMIT:
            continue  # a controller that locks itself out for the day cannot be learned from
        cover = float(rng.choice(_COVERS))
        if is_hopeless:
            window = bare_window(site, *_SUN)
            if _has_remedy(window):
                kind = (*kind, NO_SETTING)
                return FamilyLine(number=number, kind=kind, site=site, window=window, cover=cover)
            continue
        if not _may_lie(line, sun, low * PSI, high * PSI):
            continue
        window = bare_window(site, *_SUN)
        best = window.best
        if best is None or not low <= best.cut_out / PSI < high or best.margin < _LEAST_MARGIN:
            continue
        chosen = window.recommended
        if chosen is None or not _in_reach(chosen) or not _is_steady(site, (chosen, best)):
            continue
        return FamilyLine(
            number=number, kind=kind, site=set_so(site, chosen), window=window, cover=cover
        )
    raise LabkitError(f"number {number}: no line of the family suits; take another number")


def _may_lie(line: Line, sun: SunRange, low: float, high: float) -> bool:
    """Whether cut-out may lie in a band [Pa] by what is known before any stop is asked for.

    That is what costs: tens of stops for a line, where two of three lie elsewhere.
    """
    reach = next(upper_bounds(line, sun, decide=True))
    room = room_of((*lower_bounds(line, sun), reach))
    least, most = room.floor + _LEAST_MARGIN, room.ceiling - _LEAST_MARGIN
    return max(least, low) <= most and least < high


def _in_reach(chosen: Setting) -> bool:
    """Whether any switch gets to a setting before its stud, thread or spring ends, and safely.

    Safely: as far from every limit as a gauge is read and a nut is turned.
    """
    into, out = MOST_TURNS
    spare = SPRING_SPREAD / PER_TURN[0]
    is_turned = spare - into <= chosen.turns <= out - spare
    is_nutted = abs(chosen.differential_turns) <= MOST_NUT_TURNS - spare
    is_taut = chosen.cut_in >= LEAST_CUT_IN + SPRING_SPREAD
    return is_turned and is_nutted and is_taut and chosen.margin >= _LEAST_MARGIN


def _is_steady(site: Site, chosen: tuple[Setting, Setting]) -> bool:
    """Whether a line without a tank works two psi to either side as well.

    So it must be around what the runs recommend, and around what readings lead to: the middle.
    """
    if site.pressure_tank is not None:
        return True
    moved = (
        (one.cut_in + off, one.cut_out + off) for one in chosen for off in (-2.0 * PSI, 2.0 * PSI)
    )
    return all(
        judge(
            set_so(site, attrs.evolve(chosen[0], cut_in=low, cut_out=high)), gives_up_past=inf
        ).works
        for low, high in dict.fromkeys(moved)
    )


def _has_remedy(window: Window) -> bool:
    """Whether no setting suits a line, and some change of the line itself does."""
    room = window.room
    if window.best is not None or room.ceiling - room.floor > -2.0 * PSI:
        return False  # one that readings could not tell from a narrow window
    return any(remedy.kind != SIGNAL for remedy in window.remedies)


def _band(number: int) -> int:
    """Draw which band the answer of a number lies in: neighbors get different ones."""
    count = len(_BANDS)
    block, place = divmod(number, count)
    order, before = _order(block), _order(block - 1) if block else []
    if before and before[-1] == order[0]:
        order[0], order[1] = order[1], order[0]
    return order[place]


def _order(block: int) -> list[int]:
    order: list[int] = np.random.default_rng([_FAMILY, 7, block]).permutation(len(_BANDS)).tolist()
    return order


def _drawn(rng: np.random.Generator) -> tuple[Site, tuple[str, ...]]:
    """Draw a line, and say what sets it apart."""
    kind: list[str] = []
    lift = float(rng.integers(3, 23)) * 10.0
    count = int(rng.choice([1, 1, 1, 2, 2, 3]))
    heights = [float(rng.integers(-5, 21)) * 5.0 for _ in range(count)]
    flow = float(rng.integers(4, 11))
    highest = max(heights)
    crest = None
    if count == 1 and rng.random() < 0.2:
        highest = crest = max(highest, 0.0) + float(rng.integers(3, 11)) * 5.0
        kind.append("high ground")
    kind += ["uphill"] if highest >= 30.0 else ["downhill"] if max(heights) < 0.0 else []
    kind += {1: [], 2: ["two troughs"], 3: ["three troughs"]}[count]
    shut_off = 1.25 * (lift + max(highest, 0.0)) + float(rng.integers(50, 150))
    tank = None if rng.random() < 0.25 else str(rng.choice(_TANKS))
    kind += ["no tank"] if tank is None else []
    band = float(rng.choice([0.3, 0.5, 0.5, 1.0]))
    opens = bool(rng.random() < 0.2)
    kind += ["standard switch"] if opens else []
    names = rng.permutation(_TROUGHS)[:count].tolist()
    trunk = float(rng.integers(4, 40)) * 100.0
    kind += ["long"] if trunk >= 3000.0 else []
    is_displacement = bool(rng.random() < 0.15)
    kind += ["positive-displacement pump"] if is_displacement else []
    table: dict[str, Any] = {
        "title": f"{rng.choice(_FIRST)} {rng.choice(_LAST)}",
        "place": {
            "latitude": f"{int(rng.integers(31, 48))} deg",
            "longitude": f"-{int(rng.integers(98, 117))} deg",
            "elevation": f"{int(rng.integers(10, 70)) * 100} ft",
        },
        "well": {
            "static_level": f"{lift:g} ft",
            "drawdown": f"{float(rng.integers(2, 12)) / 10.0:g} ft/gpm",
            "intake_depth": f"{lift + 60.0:g} ft",
        },
        "array": {
            "rated_power": f"{_array(shut_off, flow, rng):g} W",
            "tilt": f"{int(rng.integers(28, 46))} deg",
        },
        "pump": _pump(shut_off, flow, is_displacement=is_displacement),
        "drive": {"kind": "solar", "stop_when": "open" if opens else "closed"},
        "pressure_switch": {
            "action": "opens on rise" if opens else "closes on rise",
            "cut_in": "30 psi",
            "cut_out": "50 psi",
        },
        "trough": [
            _trough(name, height, flow, band, trunk, rng, shared=count > 1)
            for name, height in zip(names, heights, strict=True)
        ],
    }
    if crest is not None:
        run = table["trough"][0]["pipe"]
        out = f"{0.1 * round(5.0 * float(run['length'].split()[0])):g} ft"
        run |= {"profile": [[out, f"{crest:g} ft"]], "vents": [out]}
    if is_displacement:
        opens_at = int(rng.integers(60, 86))
        table["relief_valve"] = {
            "opens_at": f"{opens_at} psi", "capacity": f"{flow + 3.0:g} gpm at {opens_at + 15} psi",
        }  # fmt: skip
    if tank is not None:
        table["pressure_tank"] = {"volume": tank, "precharge": "28 psi"}
    if count > 1:
        table["pipe"] = [
            {
                "from": "manifold", "to": "tee", "length": f"{trunk:g} ft", "rise": "0 ft",
                "size": _pipe(trunk, flow),
            }
        ]  # fmt: skip
    site: Site = build(Site, table)
    return site, tuple(kind) or ("level",)


def _pump(shut_off: float, flow: float, *, is_displacement: bool) -> dict[str, str]:
    """Return a pump of either kind for a head [ft] and a flow [gpm]."""
    rated = {"rated_flow": f"{flow:g} gpm", "drop_pipe": "1 1/4 in PE SIDR 9"}
    if is_displacement:
        return {"kind": "positive displacement", "rated_head": f"{shut_off:.0f} ft", **rated}
    heads = {"shut_off_head": f"{shut_off:g} ft", "rated_head": f"{0.68 * shut_off:.0f} ft"}
    return {"kind": "centrifugal", **heads, **rated}


def _trough(
    name: str, height: float, flow: float, band: float, trunk: float, rng: np.random.Generator,
    *, shared: bool,
) -> dict[str, Any]:  # fmt: skip
    length = float(rng.integers(2, 15)) * 100.0 if shared else trunk
    length = max(length, 3.0 * abs(height) + 100.0)
    return {
        "name": name,
        "volume": f"{int(rng.integers(4, 11)) * 100} gal",
        "depth": "24 in",
        "pipe": {
            "from": "tee" if shared else "manifold",
            "length": f"{length:g} ft",
            "size": _pipe(length, flow),
            "rise": f"{height:g} ft",
        },
        "float_valve": {"flow": f"{flow + 2.0:g} gpm at 20 psi", "band": f"{band:g} in"},
        "herd": {"head": int(rng.integers(20, 70)), "kind": "cow with calf"},
    }


def _pipe(length: float, flow: float) -> str:
    """Return the smallest pipe that takes no more than `_TAKES` for a flow [gpm] over feet.

    By Hazen and Williams with C = 150 (EPANET 2.2 User Manual, Table 3.1), as a dealer does it.
    """
    rows = {row.size: row for row in pipe_sizes().values()}
    q = flow * GPM
    for size in _PIPES:
        bore = si(rows[size].inside_diameter)
        if 10.667 * length * FOOT * q**1.852 / (150.0**1.852 * bore**4.871) <= _TAKES:
            return size
    return _PIPES[-1]


def _array(shut_off: float, flow: float, rng: np.random.Generator) -> float:
    """Return the nameplate watts of an array for a pump, in steps of panels of 100 W."""
    water = 9806.65 * 0.68 * shut_off * FOOT * flow * GPM
    return float(np.ceil(water / 0.45 * float(rng.uniform(1.3, 2.2)) / 100.0)) * 100.0

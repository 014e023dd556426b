"""A family of invented ranches: one for every number, each of its own kind, each solvable.

Depths, pumps, pipe and heights are drawn so that a supplier's catalog could have sold them (common
practice); what no setting of the switch suits is drawn again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs
import numpy as np

from labkit.advice.window import operating_window
from labkit.catalogue import pipe_sizes
from labkit.errors import LabkitError
from labkit.parts.build import build
from labkit.site import Site
from labkit.units import si

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.advice.window import Window

MOST_DRAWS: Final = 60

_FIRST: Final = (
    "Left Boot", "Broken Compass", "Second Supper", "Tin Whistle", "Quiet Hammer", "Lost Mitten",
    "Crooked Ladle", "Borrowed Shovel", "Empty Bobbin", "Rusty Thimble", "Loose Button",
    "Patched Kettle", "Sleepy Mule", "Bent Nail", "Odd Sock", "Cold Biscuit",
)  # fmt: skip
_LAST: Final = ("Ranch", "Grazing", "Pasture", "Allotment", "Section")
_TROUGHS: Final = ("elm", "creek", "notch", "lane", "basin", "juniper", "lookout", "corral")
_PIPES: Final = ("1 in PE SIDR 9", "1 1/4 in PE SIDR 9", "1 1/2 in PE SIDR 9", "2 in PE SIDR 9")
_TANKS: Final = ("2 gal", "5 gal", "10 gal", "20 gal")
_TAKES: Final = 8.0 * 0.3048
"""Friction in the pipe to each trough for which its size is chosen [m]."""


@attrs.frozen(kw_only=True, eq=False)
class FamilyLine:
    """One line of the family.

    Attributes
    ----------
    number : int
        The number it was drawn from.
    kind : tuple of str
        What sets it apart, such as "uphill", "no tank" or "three troughs".
    site : Site
        The line, its switch set as recommended.
    window : Window
        Where its switch may be set.
    """

    number: int
    kind: tuple[str, ...]
    site: Site
    window: Window


def family_line(number: int, *, suits: Callable[[Site], bool] = lambda _: True) -> FamilyLine:
    """Return the line of a number: the same number brings the same line.

    Parameters
    ----------
    number : int
        A learner's own number, or the trainer's choice.
    suits : callable, optional
        What the line must have besides a setting that works, such as a tank.

    Raises
    ------
    LabkitError
        For a number below zero, or if nothing suits.
    """
    if number < 0:
        raise LabkitError(f"number is {number}; it must be 0 or more")
    dice = np.random.default_rng([_FAMILY, number])
    for _ in range(MOST_DRAWS):
        site, kind = _drawn(dice)
        if not suits(site):
            continue
        window = operating_window(site)
        chosen = window.recommended
        if chosen is None:
            continue
        changes: dict[str, Any] = {
            "pressure_switch.cut_in": f"{chosen.cut_in:.1f} Pa",
            "pressure_switch.cut_out": f"{chosen.cut_out:.1f} Pa",
        }
        if site.pressure_tank is not None:
            changes["pressure_tank.precharge"] = f"{chosen.precharge:.1f} Pa"
        return FamilyLine(number=number, kind=kind, site=site.changed(changes), window=window)
    raise LabkitError(f"number {number}: no line of the family suits; take another number")


_FAMILY: Final = 31


def _drawn(dice: np.random.Generator) -> tuple[Site, tuple[str, ...]]:
    """Draw a line, and say what sets it apart."""
    kind: list[str] = []
    lift = float(dice.integers(3, 23)) * 10.0
    count = int(dice.choice([1, 1, 1, 2, 2, 3]))
    heights = [float(dice.integers(-4, 13)) * 5.0 for _ in range(count)]
    flow = float(dice.integers(4, 11))
    is_uphill = max(heights) >= 30.0
    kind += ["uphill"] if is_uphill else ["downhill"] if max(heights) < 0.0 else []
    kind += {1: [], 2: ["two troughs"], 3: ["three troughs"]}[count]
    shut_off = 1.25 * (lift + max(*heights, 0.0)) + float(dice.integers(60, 130))
    tank = None if dice.random() < 0.25 else str(dice.choice(_TANKS))
    kind += ["no tank"] if tank is None else []
    band = float(dice.choice([0.3, 0.5, 0.5, 1.0]))
    opens = bool(dice.random() < 0.2)
    kind += ["opens on rise"] if opens else []
    names = dice.permutation(_TROUGHS)[:count].tolist()
    trunk = float(dice.integers(4, 40)) * 100.0
    kind += ["long"] if trunk >= 3000.0 else []
    table: dict[str, Any] = {
        "title": f"{dice.choice(_FIRST)} {dice.choice(_LAST)}",
        "place": {
            "latitude": f"{int(dice.integers(31, 48))} deg",
            "longitude": f"-{int(dice.integers(98, 117))} deg",
            "elevation": f"{int(dice.integers(10, 70)) * 100} ft",
        },
        "well": {
            "static_level": f"{lift:g} ft",
            "drawdown": f"{float(dice.integers(2, 12)) / 10.0:g} ft/gpm",
            "intake_depth": f"{lift + 60.0:g} ft",
        },
        "array": {
            "rated_power": f"{_array(shut_off, flow, dice):g} W",
            "tilt": f"{int(dice.integers(28, 46))} deg",
        },
        "pump": {
            "kind": "centrifugal",
            "shut_off_head": f"{shut_off:g} ft",
            "rated_flow": f"{flow:g} gpm",
            "rated_head": f"{0.68 * shut_off:.0f} ft",
            "drop_pipe": "1 1/4 in PE SIDR 9",
        },
        "drive": {"kind": "solar", "stop_when": "open" if opens else "closed"},
        "pressure_switch": {
            "action": "opens on rise" if opens else "closes on rise",
            "cut_in": "30 psi",
            "cut_out": "50 psi",
        },
        "trough": [
            _trough(name, height, flow, band, trunk, dice, shared=count > 1)
            for name, height in zip(names, heights, strict=True)
        ],
    }
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


def _trough(
    name: str, height: float, flow: float, band: float, trunk: float, dice: np.random.Generator,
    *, shared: bool,
) -> dict[str, Any]:  # fmt: skip
    """Draw a trough and the pipe to it."""
    length = float(dice.integers(2, 15)) * 100.0 if shared else trunk
    length = max(length, 1.5 * abs(height))
    return {
        "name": name,
        "volume": f"{int(dice.integers(3, 9)) * 100} gal",
        "depth": "24 in",
        "pipe": {
            "from": "tee" if shared else "manifold",
            "length": f"{length:g} ft",
            "size": _pipe(length, flow),
            "rise": f"{height:g} ft",
        },
        "float_valve": {"flow": f"{flow + 2.0:g} gpm at 20 psi", "band": f"{band:g} in"},
        "herd": {"head": int(dice.integers(20, 70)), "kind": "cow with calf"},
    }


def _pipe(length: float, flow: float) -> str:
    """Return the smallest pipe that takes no more than `_TAKES` for a flow [gpm] over feet.

    By Hazen and Williams with C = 150 (EPANET 2.2 User Manual, Table 3.1), as a dealer does it.
    """
    rows = {row.size: row for row in pipe_sizes().values()}
    q = flow * 6.30902e-5
    for size in _PIPES:
        bore = si(rows[size].inside_diameter)
        if 10.667 * length * 0.3048 * q**1.852 / (150.0**1.852 * bore**4.871) <= _TAKES:
            return size
    return _PIPES[-1]


def _array(shut_off: float, flow: float, dice: np.random.Generator) -> float:
    """Return the nameplate watts of an array for a pump, in steps of panels of 100 W."""
    water = 9806.65 * 0.68 * shut_off * 0.3048 * flow * 6.30902e-5
    return float(np.ceil(water / 0.45 * float(dice.uniform(1.3, 2.2)) / 100.0)) * 100.0

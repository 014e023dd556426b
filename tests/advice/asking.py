"""Everyone who judges a line asked about the same one: what they say that cannot all be true."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labkit.advice.axes import SUN
from labkit.advice.card import make_card
from labkit.advice.judge import judge
from labkit.advice.setting import set_so
from labkit.advice.settings_map import settings_map
from labkit.advice.stop_methods import stop_methods, two_days, watched
from labkit.advice.window import bare_window
from labkit.errors import LabkitError
from labkit.rigs import hand_over, start_rig
from labkit.sun import clear_day
from labkit.sun.sky import read_date
from labkit.units import NO_LEAK, si
from labkit.view import own_site
from labkit.view.judge_words import judged_words
from labkit.view.window_told import window_lines
from tests.customary import PSI

if TYPE_CHECKING:
    from labkit import Site
    from labkit.advice.window import Window

WORKS = {"sound stop", "sucked empty"}
A_DAY = "2023-07-17"
"""The day on which the ways to stop are compared."""


def contradictions(
    site: Site, *, with_methods: bool = True, with_rig: bool = True, with_form: bool = True
) -> list[str]:
    """What window, map, card, methods, rig and form say of a line that cannot all be true."""
    window = bare_window(site, 250.0, 1000.0)
    asked = [_window(window), _map(window), _card(window)]
    if with_methods:
        asked.append(_methods(window))
    if with_rig:
        asked.append(_rig(window))
    if with_form:
        asked.append(_form(window))
    return [one for each in asked for one in each]


def _window(window: Window) -> list[str]:
    said = []
    if window.own.works != judge(window.site).works:
        said.append("the window judges the line as it is set otherwise than the judge")
    chosen = window.recommended
    if chosen is not None:
        if not judge(set_so(window.site, chosen)).works:
            said.append("the window recommends what the judge refuses")
        if not all(bound.holds(chosen.cut_in, chosen.cut_out) for bound in window.bounds):
            said.append("the window recommends what its own limits forbid")
    said += [
        f"the remedy {remedy.kind} leaves no setting"
        for remedy in (*window.beside_a_tank, *window.remedies)
        if remedy.window is not None and remedy.window.recommended is None
    ]
    return said


def _map(window: Window) -> list[str]:
    """The judge's own suns, with the switch as it is and as recommended."""
    said = []
    for name, site, works in _settings(window):
        cut_out = si(site.pressure_switch.cut_out)
        ends = (f"{cut_out / PSI - 0.5:.9f} psi", f"{cut_out / PSI + 0.5:.9f} psi")
        suns = {} if site.drive.kind == "mains" else _suns(window)
        up = SUN if suns else "float leak"
        trough = {} if suns else {"trough": site.troughs[0].name}
        leak = {} if suns else {"up_range": ("0 gpm", "1e-9 gpm"), **trough}
        found = settings_map(
            site, "cut-out", up, across_range=ends, cells=(3, 3), workers=1,
            **(suns or leak),
        )  # fmt: skip
        column = {found.verdict(row, 1) for row in range(3)}
        if suns and (column <= WORKS) != works:
            said.append(f"{name}: the map comes to {column}, the judge says {works}")
        if not suns and works and not column <= WORKS:
            said.append(f"{name}: the map comes to {column}, the judge says {works}")
    return said


def _settings(window: Window) -> list[tuple[str, Site, bool]]:
    found = [("as it is set", window.site, window.own.works)]
    if window.recommended is not None:
        found.append(("as recommended", set_so(window.site, window.recommended), True))
    return found


def _suns(window: Window) -> dict[str, tuple[str, str]]:
    low, high = window.sun.least, window.sun.most
    if high <= low:
        return {}
    return {"up_range": (f"{low!r} W/m^2", f"{high!r} W/m^2")}


def _card(window: Window) -> list[str]:
    try:
        card = make_card(window)
    except LabkitError as problem:
        return [f"the window is open and there is no card: {problem}"] if window.is_open else []
    said = [] if window.is_open else ["the window is empty and there is a card"]
    if card.setting != window.recommended:
        said.append("the card sets the switch otherwise than the window")
    return said


def _methods(window: Window) -> list[str]:
    site = window.site
    if any(t.float_valve.position != "floats" for t in site.troughs) or not window.is_by_switch:
        return []
    if site.drive.listens_to != "pressure switch":
        return []
    ways = stop_methods(site, with_failures=False)
    by_pressure, said = ways["pressure"], []
    if by_pressure.setting != window.recommended:
        said.append("the methods set the switch otherwise than the window")
    if by_pressure.feasible and not window.is_open:
        said.append("the methods call pressure feasible and the window is empty")
    short = by_pressure.sound.outcome in {"as before", "herd short"}
    short |= by_pressure.sound.outcome == "spills" and _spills_by_its_seats(window)
    if window.is_open and not by_pressure.feasible and not short:
        said.append(f"the window is open, yet two days {by_pressure.sound.outcome}")
    if by_pressure.as_set is None or by_pressure.as_set.verdict != window.own.verdict:
        said.append("the methods judge the switch as it is set otherwise than the window")
    said += [
        f"the judge is content with {way.name}, and the pump stays off"
        for way in ways.methods
        if way.judged.works and way.sound.outcome == "stays off"
    ]
    return said


def _spills_by_its_seats(window: Window) -> bool:
    """What no setting mends: the window warns of leaks, and with sound seats nothing spills."""
    if all(caution.name != "leaks" for caution in window.cautions):
        return False
    seats = {f"trough.{t.name}.float_valve.seat_leak": NO_LEAK for t in window.site.troughs}
    site = window.site if window.recommended is None else set_so(window.site, window.recommended)
    sound = site.changed(seats | {"drive.listens_to": "pressure switch"})
    days = two_days(sound, clear_day(sound, read_date(A_DAY)))
    return watched("", days, None).outcome != "spills"


def _rig(window: Window) -> list[str]:
    """Left as the window of the new line recommends, as near as quarter turns can get."""
    try:
        rig = start_rig(1, window.site)
    except LabkitError:
        return []
    chosen = rig.window.recommended
    if chosen is None:
        return [] if not hand_over(rig).judged.works else ["the rig is content, the window is not"]
    near = min(
        rig.screw.every(has_nut=rig.has_nut),
        key=lambda one: abs(one.cut_in - chosen.cut_in) + abs(one.cut_out - chosen.cut_out),
    )
    rig = rig.act("screw", amount=near.quarters - rig.screw.quarters)
    if rig.has_nut and near.nut != rig.screw.nut:
        rig = rig.act("nut", amount=near.nut - rig.screw.nut)
    if rig.air is not None:
        air = max(chosen.cut_in - 2.0 * PSI, 0.1 * PSI)
        rig = rig.act("power", state="off").act("bleed").act("air", amount=air)
        rig = rig.act("refill").act("power", state="on")
    off = max(abs(near.cut_in - chosen.cut_in), abs(near.cut_out - chosen.cut_out))
    left = hand_over(rig)
    if off > min(chosen.margin, *rig.window.off_by):
        return []  # quarter turns come no nearer
    said = [] if left.judged.works else ["the rig refuses what its window calls right"]
    fine = {"sound stop", "sucked empty", "still filling"}
    if left.judged.works and not set(left.verdicts) <= fine:
        said.append(f"the judge is content, the two days are not: {left.verdicts}")
    return said


def _form(window: Window) -> list[str]:
    """The page for one's own site shows the same window and the same verdict."""
    shown = own_site.window().find(window.site, lambda _: None)
    said = []
    if shown.own.verdict != window.own.verdict or shown.recommended != window.recommended:
        said.append("the form judges the line otherwise than the window")
    if not any(judged_words(window.own, "US") in line for line in window_lines(shown, "US")):
        said.append("the form tells another verdict")
    return said

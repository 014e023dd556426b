"""The tables of the commissioning rig: what was done and read, and what the visit comes to."""

from typing import TYPE_CHECKING, Final

from labkit.advice.rules import UNDER_CUT_IN
from labkit.figures.style import GREEN, VERMILION
from labkit.language import say_clock
from labkit.rigs.scoring import MOST
from labkit.view import rig_told
from labkit.view.field_numbers import gauge
from labkit.view.page import paragraph
from labkit.view.tables import list_html, table_html
from labkit.view.widgets import edged
from labkit.view.window_told import setting_lines

if TYPE_CHECKING:
    from labkit.rigs import Handover, Rig

_HEADS: Final = ("sheet-try", "when", "did", "heard", "gauge", "pump", "sun", "other")


def log_table(rig: "Rig", system: str) -> str:
    """Write what was done, heard and read, a row for each thing done."""
    rows = []
    for number, entry in enumerate(rig.log, start=1):
        clock = say_clock(rig.came + 60.0 * entry.minutes, system)
        cells = [str(number), clock, rig_told.done(entry, system)]
        if entry.truth is not None:
            read = rig_told.read_words(entry, system)
            found = (read.get(name, "") for name in ("gauge", "pump", "sun"))
            cells += [rig_told.heard(entry, system), *found, rig_told.others(entry, system)]
        rows.append([*cells, *[""] * (len(_HEADS) - len(cells))])
    return table_html(map(rig_told.say, _HEADS), rows, caption=rig_told.say("log"))


def left_table(rig: "Rig", left: "Handover", system: str) -> str:
    """Write how a line was handed over: parts and points, readings, slips."""
    color, sign, key = (
        (GREEN, "\N{CHECK MARK}", "passed")
        if left.is_passed
        else (VERMILION, "\N{RIGHTWARDS ARROW}", "not-passed")
    )
    reasons = rig_told.why(left)
    points = [
        [rig_told.say(f"part-{name}"), f"{left.points[name]}", f"{most:.0f}", reasons[name]]
        for name, most in MOST.items()
    ]
    points.append([rig_told.say("total"), f"{left.score}", f"{sum(MOST.values()):.0f}", ""])
    readings = [rig_told.reading_row(one, rig, system) for one in left.readings]
    under = gauge(UNDER_CUT_IN, system)
    slips = [rig_told.say(f"slip-{slip}", under=under) for slip in left.slips]
    told = "" if left.remedy else paragraph(rig_told.left_at(left, system))
    if left.is_passed and not left.remedy:
        told += "".join(paragraph(line) for line in setting_lines(rig.window, system))
    return (
        edged(color, f"{sign} {rig_told.say(key)}")
        + table_html(map(rig_told.say, ("part", "points", "of", "why")), points)
        + table_html(map(rig_told.say, ("reading", "wrote", "had", "verdict")), readings)
        + (paragraph(rig_told.say("slips"), bold=True) + list_html(slips) if slips else "")
        + told
    )

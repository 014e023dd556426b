"""The commissioning rig on paper: the line, the readings to take, and a row for each setting."""

import html
from typing import TYPE_CHECKING, Final

from labkit.rigs import SHEET, Rig, start_rig
from labkit.view.line_sketch import line_sketch
from labkit.view.page import paragraph
from labkit.view.paper import table_form
from labkit.view.rig_told import say, story

if TYPE_CHECKING:
    from labkit.site import Site

_ANY: Final = 1  # a number for a sheet that nobody asked for by a number of their own

_TRIES: Final = 7


def rig_sheet(site: "Site | str | None", system: str, rig: Rig | None = None) -> str:
    """Return the sheet on which a line is set up; without a site, the number's own."""
    there = start_rig(_ANY, site) if rig is None else rig
    told = "".join(paragraph(line) for line in story(there, system))
    limits = [(say(f"sheet-{name}"), "", say(f"sheet-means-{name}")) for name in SHEET]
    heads = (say("sheet-limits"), say("sheet-reads"), say("sheet-so"))
    tries = [(str(number), *[""] * 5) for number in range(1, _TRIES + 1)]
    columns = ("try", "turns", "over", "back", "contact", "remark")
    return (
        f'<div class="labkit-sheet"><h3>{html.escape(say("sheet-title"))}</h3>'
        f"{paragraph(say('sheet-whose', number=str(there.number)))}{told}"
        f"<figure>{line_sketch(there.window.site, system)}</figure>"
        + table_form("", heads, limits, widths=(46, 20, 34))
        + table_form(
            say("sheet-tries"),
            tuple(say(f"sheet-{key}") for key in columns),
            tries,
            widths=(6, 16, 13, 13, 14, 38),
            tall=True,
        )
        + "</div>"
    )

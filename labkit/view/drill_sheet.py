"""The fault drill on paper: what was reported, the tests with their price, the suspects to tick."""

import html
from typing import TYPE_CHECKING, Final

from labkit.drills import TASKS, Drill, choices
from labkit.faults import FAULTS, PARTS, part_name
from labkit.sitefile import demo_site
from labkit.text.shared import PAPER_WORDS
from labkit.view.drill_words import called_out, suspect_words, task_label
from labkit.view.page import paragraph
from labkit.view.paper_forms import LINE, table_form

if TYPE_CHECKING:
    from labkit.site import Site

_LINES: Final = 2


def drill_sheet(site: "Site | str", system: str, drill: Drill | None = None) -> str:
    """Return the sheet on which a case is worked; without a drill, with room for what is said."""
    words, line = PAPER_WORDS, demo_site(site) if isinstance(site, str) else site
    number = words["blank"] if drill is None else str(drill.number)
    tests = [
        ("", task_label(key, where, system), f"{TASKS[key].minutes:g}", "")
        for key, where in choices(line)
    ]
    suspects = "".join(_part(part, line) for part in PARTS)
    heads = tuple(words[f"drill {key}"] for key in ("order", "test", "minutes", "read"))
    return (
        f'<div class="labkit-sheet"><h3>{html.escape(words["drill sheet"])}</h3>'
        f"{paragraph(words['drill whose'].format(number=number))}{_reported(drill, system)}"
        + table_form(words["drill tests"], heads, tests, widths=(5, 49, 6, 40))
        + f'<div class="labkit-paper">{paragraph(words["drill faults"], bold=True)}'
        f"{suspects}{paragraph(words['drill found'])}</div></div>"
    )


def _part(part: str, site: "Site") -> str:
    """Write the suspects of a part of the line, each with a few words, as on the screen."""
    listed = "".join(
        f"<li>{html.escape(suspect_words(key))}</li>"
        for key, fault in FAULTS.items()
        if fault.part == part and fault.fits(site)
    )
    head = paragraph(part_name(part), bold=True)
    return f'{head}<ul class="ticks">{listed}</ul>' if listed else ""


def _reported(drill: Drill | None, system: str) -> str:
    """Write the call, or give room for it."""
    head = paragraph(PAPER_WORDS["drill reported"], bold=True)
    if drill is None:
        return head + _LINES * LINE
    said = "".join(f"<li>{html.escape(one)}</li>" for one in drill.complaints)
    return f"{paragraph(called_out(drill, system))}{head}<ul>{said}</ul>"

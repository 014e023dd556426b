"""The commissioning rig on paper: the line, the limits to be read, and a row for each try."""

import html
from typing import TYPE_CHECKING, Final

from labkit.rigs import Rig, start_rig
from labkit.view.line_sketch import line_sketch
from labkit.view.page import paragraph
from labkit.view.paper_forms import table_form
from labkit.view.paper_words import PAPER_WORDS
from labkit.view.rig_words import story

if TYPE_CHECKING:
    from labkit.site import Site

_ANY: Final = 1
"""A number for a sheet that fits every number: it shows nothing that depends on it."""

_TRIES: Final = 7
_LIMITS: Final = (
    ("rig rest", "rig above"),
    ("rig filling", "rig over"),
    ("rig haze", "rig under"),
    ("rig halfway", "rig aim"),
)


def rig_sheet(site: "Site | str", system: str, rig: Rig | None = None) -> str:
    """Give the sheet on which a line is set up.

    Parameters
    ----------
    site : Site or str
        The line, or the name of a demo ranch.
    system : {"US", "metric"}
        Whose units.
    rig : Rig, optional
        The line as it stands; left out, as anybody finds it.
    """
    words = PAPER_WORDS
    there = start_rig(site, _ANY) if rig is None else rig
    number = words["blank"] if rig is None else str(rig.number)
    told = "".join(paragraph(line) for line in story(there, system))
    limits = [(words[read], "", words[so]) for read, so in _LIMITS]
    heads = tuple(words[f"rig {key}"] for key in ("limits", "gauge", "so"))
    tries = [(str(number), *[""] * 5) for number in range(1, _TRIES + 1)]
    columns = ("try", "turns", "stop", "start", "contact", "remark")
    return (
        f'<div class="labkit-sheet"><h3>{html.escape(words["rig sheet"])}</h3>'
        f"{paragraph(words['rig whose'].format(number=number))}{told}"
        f"<figure>{line_sketch(there.window.site, system)}</figure>"
        + table_form("", heads, limits, widths=(46, 20, 34))
        + table_form(
            words["rig tries"],
            tuple(words[f"rig {key}"] for key in columns),
            tries,
            widths=(6, 16, 13, 13, 14, 38),
            tall=True,
        )
        + f"{paragraph(words['rig left'])}</div>"
    )

"""The settings card as one sheet of paper: settings and proof in front, signs on the back."""

import html
import os
from pathlib import Path
from typing import Final

from labkit.advice.card import Card, make_card
from labkit.advice.window import Window, operating_window
from labkit.errors import NoCardError, SiteError, shortened
from labkit.figures.image import image_tag
from labkit.language import say
from labkit.pages.looks import look
from labkit.site import Site
from labkit.units import Quantity
from labkit.view import card_told
from labkit.view.paper import document, write_page
from labkit.view.sketches import sketch_png, sketch_words
from labkit.view.tables import list_html, table_html
from labkit.view.window_told import reason_lines

LOOKS: Final = look("card.css")
"""Black on white, and small enough for the two sides of one sheet with whatever a site brings."""

_LONGEST: Final = 40  # letters of a title that one line holds


def settings_card(
    site: Site,
    path: str | os.PathLike[str],
    *,
    units: str = "US",
    sun_range: tuple[str | Quantity, str | Quantity] = ("250 W/m^2", "1000 W/m^2"),
) -> Path:
    """Write the settings card of a site: one sheet to take along.

    Parameters
    ----------
    site : Site
        The line; its switch and its tank are set anew.
    path : path
        Where to; ends in ``.html`` or ``.pdf``.
    units : {"US", "metric"}
        Whose units.
    sun_range : pair of str or Quantity
        The weakest sun in which the switch must still stop the pump, and the strongest.

    Returns
    -------
    Path
        What was written.

    Raises
    ------
    NoCardError
        If there is no setting to put on it: the reasons, and what would help. Nothing is written.
    SiteError
        For a range of sun that is none.
    LabkitError
        If it cannot be written there.
    """
    page = card_html(operating_window(site, sun_range=sun_range), units)
    write_page(page, Path(path))
    return Path(path)


def card_html(window: Window, units: str = "US") -> str:
    """Return the card of a window as HTML that needs nothing else; see `settings_card`."""
    if not window.is_open:
        why = card_told.CARD_WORDS["no card"].format(site=window.site.title, why="")
        raise NoCardError([why.strip().rstrip(":") + ".", *reason_lines(window, units)])
    try:
        card = make_card(window)
    except SiteError as problem:
        words = card_told.CARD_WORDS["no card"].format(site=window.site.title, why=problem)
        raise NoCardError([words.rstrip(".") + "."]) from None
    return _page(card, units)


def _page(card: Card, units: str) -> str:
    words = card_told.CARD_WORDS
    title = words["title"].format(site=shortened(card.window.site.title, _LONGEST))
    low, high = (
        say(each, "irradiance", units) for each in (card.window.sun.low, card.window.sun.high)
    )
    mains = card.site.drive.kind == "mains"
    sun = words["mains"] if mains else words["range"].format(low=low, high=high)
    picture = image_tag(sketch_png(card, units), sketch_words(card, units))
    *steps, room = card_told.setting_steps(card, units)
    first = [*card_told.alert_lines(card, units), *card_told.caution_lines(card, units)]
    alerts = f'<section class="first">{_heading("first")}{list_html(first)}</section>'
    facts = card_told.setting_facts(card, units)
    names = "".join(f'<th scope="col">{html.escape(name)}</th>' for name, _, _ in facts)
    values = "".join(
        f"<td>{html.escape(value)} <small>{html.escape(off)}</small></td>"
        for _, value, off in facts
    )
    heads, rows = card_told.proof_rows(card, units)
    room_to_write = [(*row, "") for row in rows]
    proof = table_html((*heads, words["you read"]), room_to_write, look="prove")
    heads = tuple(words[key] for key in ("see", "suspect", "do"))
    signs = table_html(heads, card_told.sign_rows(card, units), look="signs")
    taken = f"{_heading('assumed')}{list_html(card_told.assumption_lines(card, units))}"
    body = (
        f'<div class="top"><h1>{html.escape(title)}</h1><p>{html.escape(sun)}</p>'
        f'<p class="pen">{html.escape(words["fill in"])}</p></div>'
        f"{alerts}{picture}{_heading('set')}"
        f'<table class="set"><tr>{names}</tr><tr>{values}</tr></table>'
        f"{_heading('how')}{list_html(steps, is_numbered=True)}<p>{html.escape(room)}</p>"
        f"{_heading('prove')}{proof}"
        f'<div class="back">{_heading("signs")}{signs}'
        f'<section class="small">{taken}</section></div>'
    )
    return document(body, title, looks=f"<style>{LOOKS}</style>")


def _heading(key: str) -> str:
    return f"<h2>{html.escape(card_told.CARD_WORDS[key])}</h2>"

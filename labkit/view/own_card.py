"""The buttons that save a settings card beside the lessons."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

from labkit.errors import LabkitError
from labkit.text.shared import WORDS
from labkit.view.own_words import OWN_WORDS
from labkit.view.page import paragraph
from labkit.view.paper import write_page
from labkit.view.printed import PrintableBox
from labkit.view.widgets import Displayed, button, row, status

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.site import Site


def file_name(site: "Site", ending: str) -> str:
    """Name a card's file after its site, in letters that every system takes."""
    plain = re.sub(r"[^a-z0-9]+", "_", site.title.lower()).strip("_")[:40]
    return f"{plain or 'my_site'}_card.{ending}"


class CardSaver(Displayed):
    """Two buttons and a line that says where the card went.

    `make` gives the site as it stands and its card as a page of HTML; it may raise `LabkitError`.
    """

    def __init__(self, make: "Callable[[], tuple[Site, str]]") -> None:
        self._make = make
        # save as a page, or as a PDF
        self.page = button(OWN_WORDS["save page"], lambda: self.save("html"))
        self.pdf = button(OWN_WORDS["save pdf"], lambda: self.save("pdf"))
        self.status = status()  # what came of it; read out as it changes
        self.box = PrintableBox([row(self.page, self.pdf), self.status], on_paper=str)
        self.box.add_class("labkit-own")

    def save(self, ending: str) -> None:
        """Write the card beside the lessons, and say so."""
        self.status.value = paragraph(OWN_WORDS["working"].format(part=OWN_WORDS["card"]))
        try:
            site, page = self._make()
            name = file_name(site, ending)
            write_page(page, Path.cwd() / name)
        except LabkitError as problem:
            why = f"{str(problem).splitlines()[0].rstrip('.')}."
            self.status.value = paragraph(OWN_WORDS["not saved"].format(why=why))
        except Exception as error:  # noqa: BLE001 - it would reach no learner
            why = WORDS["unexpected"].format(what=type(error).__name__)
            self.status.value = paragraph(OWN_WORDS["not saved"].format(why=why))
        else:
            self.status.value = paragraph(OWN_WORDS["saved"].format(file=name))

"""A lesson or exercise on paper: run from top to bottom, then written as one page of HTML.

Widgets leave on paper what `labkit.view.widgets` says: a question its boxes and lines, a bench its
picture, the rig and the drill a sheet to fill in. Words for the screen alone are marked where they
stand (`labkit.view.paper`). Nobody can be held back on paper, so a new sheet begins after the
predictions, before a bench or a word gives them away.
"""

import base64
import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import nbformat
from traitlets.config import Config

from labkit.errors import LabkitError
from labkit.pages.looks import look
from labkit.view.paper import NEW_SHEET, document, for_paper

_LOOKS: Final = look("handout.css")
_MINUTES: Final = 5
_SHORT: Final = 5
PAPER: Final = {"US": "letter", "metric": "A4"}
"""The size of a sheet, by whose units stand on it."""


NOTES: Final = "labkit-notes"  # tag of a cell whose lists leave room to write under each point
KEPT: Final = "labkit-kept"  # tag of a cell that stands on one sheet
LEADS: Final = "labkit-leads"  # tag of a cell that stands on one sheet with what follows it

_FRAME: Final = r'<iframe[^>]* src="data:text/html;charset=utf-8;base64,([^"]*)"[^>]*></iframe>'
_UNREADABLE: Final = ("application/vnd.jupyter.widget-view+json", "text/plain")


def handouts(notebook: Path, learners: Sequence[str | None], *, system: str = "US") -> str:
    """Run a notebook once for each learner, in one kernel, and return all the sheets as one page.

    A learner is an own number, for an exercise, and for a lesson with a drill if the case is to
    stand on the sheet; None for a sheet that fits any.
    """
    pages = []
    for learner in learners:
        page = nbformat.read(notebook, as_version=4)
        _turn(page, system, learner)
        pages.append(page)
    run(pages, notebook)
    for page in pages:
        _mark(page)
    return written(pages, notebook.stem, looks=looks_for(system))


def answer_of(notebook: Path, page: nbformat.NotebookNode, code: str) -> Any:
    """Run a notebook with a cell at its end that prints JSON, and return what it says."""
    page.cells.append(nbformat.v4.new_code_cell(f"import json\n{code}"))
    run([page], notebook)
    shown = "".join(one.text for one in page.cells[-1].outputs if one.get("name") == "stdout")
    return json.loads(shown.splitlines()[-1])


def looks_for(system: str, *, margin: str = "14mm 15mm", more: str = "") -> str:
    """Return how a page looks on the paper of whoever reads a system's units.

    `margin` is what stays free on a sheet, above and beside; `more` are further rules [CSS].
    """
    sheet = f"@page {{ size: {PAPER[system]}; margin: {margin}; }}"
    return f"<style>\n{sheet}{_LOOKS}{more}</style>"


def run(pages: Sequence[nbformat.NotebookNode], notebook: Path) -> None:
    """Run forms of a notebook that was read from a path, where it lies, one after the other.

    They share a kernel, for its start and the first run of the engine take longer than the rest.
    """
    from nbclient import NotebookClient  # noqa: PLC0415 - slow to load
    from nbclient.exceptions import CellExecutionError, DeadKernelError  # noqa: PLC0415

    client = NotebookClient(
        pages[0],
        config=Config({"KernelManager": {"transport_encryption": "auto"}}),  # else it warns
        timeout=60 * _MINUTES,
        resources={"metadata": {"path": str(notebook.parent)}},
    )
    try:
        with client.setup_kernel():
            for page in pages:
                client.nb = page
                client.reset_execution_trackers()
                for place, cell in enumerate(page.cells):
                    client.execute_cell(cell, place)
                client.set_widgets_metadata()
    except DeadKernelError:
        raise LabkitError(f"{notebook.name}: its kernel ended by itself; try again") from None
    except CellExecutionError as problem:
        raise LabkitError(f"{notebook.name}: it does not run: {problem.evalue}") from None


def _turn(page: nbformat.NotebookNode, system: str, learner: str | None) -> None:
    """Set the units, and give an exercise its number, by code at the place that shows them."""
    for cell in page.cells:
        lines = cell.source.splitlines()
        if cell.cell_type != "code" or not lines:
            continue
        if lines[-1] == "lesson":
            turn = f"lesson.for_paper({learner or ''!r}); lesson.use({system!r})"
            cell.source = "\n".join([*lines[:-1], turn, "lesson"])
        if lines[-1] == "setting":
            if learner is None:
                raise LabkitError("an exercise needs a learner's own number, such as 17")
            give = f"setting.use({system!r}); setting.begin({learner!r})"
            cell.source = "\n".join([*lines[:-1], give, "setting"])


def _mark(page: nbformat.NotebookNode) -> None:
    """Say where paper begins a new sheet, leaves room for notes, and keeps things together.

    A sheet begins after what is predicted: with the bench that shows it, or where it is told. What
    ends a lesson, to take along, stands together.
    """
    words = [place for place, cell in enumerate(page.cells) if cell.cell_type == "markdown"]
    sources = {place: page.cells[place].source for place in words}
    ours = {
        place: [LEADS]
        for place, source in sources.items()
        if source.startswith("## ") and len(source.splitlines()) <= _SHORT
    }
    if words:
        ours[words[-1]] = [KEPT]
    for place, tags in (ours | _new_sheet(page, words)).items():
        cell = page.cells[place]
        kept = [tag for tag in cell.metadata.get("tags", []) if tag not in tags]
        cell.metadata["tags"] = [*kept, *tags]


def _new_sheet(page: nbformat.NotebookNode, words: list[int]) -> dict[int, list[str]]:
    """Return the cell of words that begins a new sheet, and its tags; none without one."""
    predict, compare, tried = (
        [place for place, cell in enumerate(page.cells) if re.search(call, cell.source)]
        for call in (r"lesson\.predict\(", r"lesson\.compare\(", r"lesson\.(bench|weigh)\(")
    )
    if not predict or not compare:
        return {}
    if tried:
        trying = [place for place in words if place > predict[-1]]
        return {trying[0]: [NEW_SHEET, NOTES]} if trying else {}
    explaining = [place for place in words if place < compare[0]]
    return {explaining[-1]: [NEW_SHEET, LEADS]} if explaining else {}


def written(pages: Sequence[nbformat.NotebookNode], title: str, *, looks: str) -> str:
    """Write prose and results, without code, as HTML: each notebook on sheets of its own."""
    bodies = [f'<section class="{NEW_SHEET}">{_body(page)}</section>' for page in pages[1:]]
    return document("".join([_body(pages[0]), *bodies]), title, looks=looks)


def _body(page: nbformat.NotebookNode) -> str:
    """Write one notebook's prose and results."""
    from nbconvert import HTMLExporter  # noqa: PLC0415 - slow to load

    page.metadata.pop("widgets", None)  # paper brings none of them to life
    for cell in page.cells:
        if cell.cell_type == "markdown":
            cell.source = for_paper(cell.source)
        for output in cell.get("outputs", []):
            if "text/markdown" in output.get("data", {}):
                output["data"]["text/markdown"] = for_paper(output["data"]["text/markdown"])
            for kind in _UNREADABLE:
                if len(output.get("data", {})) > 1:
                    output["data"].pop(kind, None)
    exporter: Any = HTMLExporter  # it has no types
    body, _ = exporter(
        template_name="basic",
        exclude_input=True,
        exclude_output_prompt=True,
        exclude_anchor_links=True,
    ).from_notebook_node(page)
    return re.sub(_FRAME, _opened, str(body))


def _opened(frame: re.Match[str]) -> str:
    """Write a page that stands in a frame as a part of this one: paper has no scroll bar."""
    inner = base64.b64decode(frame[1]).decode("utf-8")
    looks = "".join(re.findall(r"<style>(.*?)</style>", inner, re.DOTALL))
    own = re.sub(r"@page \{[^}]*\}", "", looks).replace("body {", ":scope {")
    words = re.sub(r".*<body[^>]*>|</body>.*", "", inner, flags=re.DOTALL)
    plain = look("in_handout.css")
    looks = f"<style>@scope (.labkit-card) {{{plain}{own}}}</style>"
    return f'{looks}<div class="labkit-card">{words}</div>'

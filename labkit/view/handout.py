"""A lesson or exercise on paper: run from top to bottom, then written as one page of HTML."""

from pathlib import Path
from typing import Any, Final

import nbformat
from traitlets.config import Config

from labkit.errors import LabkitError

LOOKS: Final = """
<style>
@page { size: letter; margin: 18mm 16mm; }
body { font: 11pt/1.45 Georgia, serif; color: black; background: white; max-width: 46em;
  margin: auto; padding: 0 1em; }
h1, h2, figcaption, table { font-family: sans-serif; }
h2 { border-bottom: 1px solid; break-after: avoid; }
img { max-width: 100%; height: auto; }
figure, table, .labkit-paper { break-inside: avoid; }
figure { margin: 0.6em 0; }
table { border-collapse: collapse; }
td, th { border: 1px solid #888; padding: 2px 8px; text-align: left; }
blockquote { border-left: 4px solid #888; margin-left: 0; padding-left: 1em; }
.labkit-paper ol { list-style: upper-alpha; }
.labkit-paper .line { border-bottom: 1px solid; height: 2em; }
</style>
"""
_MINUTES: Final = 5
_UNREADABLE: Final = ("application/vnd.jupyter.widget-view+json", "text/plain")


def handout(notebook: Path, *, system: str = "US", learner: str | None = None) -> str:
    """Run a notebook and give it as a page of HTML that needs nothing else.

    Parameters
    ----------
    notebook : Path
        A lesson or an exercise.
    system : {"US", "metric"}
        Whose units.
    learner : str, optional
        For an exercise: the learner's own number.

    Raises
    ------
    LabkitError
        If the notebook does not run, or an exercise is asked for without a number.
    """
    page = nbformat.read(notebook, as_version=4)
    _turn(page, system, learner)
    run(page, notebook)
    return written(page, notebook.stem)


def run(page: nbformat.NotebookNode, notebook: Path) -> None:
    """Run a notebook that was read from a path, where it lies.

    Raises
    ------
    LabkitError
        If it does not run.
    """
    from nbclient import NotebookClient  # noqa: PLC0415 - slow to load
    from nbclient.exceptions import CellExecutionError  # noqa: PLC0415

    client = NotebookClient(
        page,
        config=Config({"KernelManager": {"transport_encryption": "auto"}}),  # else it warns
        timeout=60 * _MINUTES,
        resources={"metadata": {"path": str(notebook.parent)}},
    )
    try:
        client.execute()
    except CellExecutionError as problem:
        raise LabkitError(f"{notebook.name}: it does not run: {problem.evalue}") from None


def _turn(page: nbformat.NotebookNode, system: str, learner: str | None) -> None:
    """Set the units, and give an exercise its number, by code at the place that shows them."""
    for cell in page.cells:
        lines = cell.source.splitlines()
        if cell.cell_type != "code" or not lines:
            continue
        if lines[-1] == "lesson":
            turn = f"lesson.use({system!r}); lesson.for_paper()"
            cell.source = "\n".join([*lines[:-1], turn, "lesson"])
        if lines[-1] == "setting":
            if learner is None:
                raise LabkitError("an exercise needs a learner's own number, such as 17")
            give = f"setting.use({system!r}); setting.number.value = {learner!r}; setting.give()"
            cell.source = "\n".join([*lines[:-1], give, "setting"])


def written(page: nbformat.NotebookNode, title: str, *, looks: str = LOOKS) -> str:
    """Write prose and results, without code, as HTML."""
    from nbconvert import HTMLExporter  # noqa: PLC0415 - slow to load

    for cell in page.cells:
        for output in cell.get("outputs", []):
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
    head = f'<meta charset="utf-8"><title>{title}</title>{looks}'
    return (
        f'<!doctype html><html lang="en"><head>{head}</head><body><main>{body}</main></body></html>'
    )

"""What every notebook that is shipped keeps to, so that it stays readable, mergeable and safe."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import nbformat
import pytest

import labkit

CHECKOUT: Final = Path(__file__).parents[2]
NOTEBOOKS: Final = sorted(
    path
    for folder in ("lessons", "exercises")
    for path in (CHECKOUT / folder).rglob("*.ipynb")
    if ".ipynb_checkpoints" not in path.parts and "-fresh-" not in path.stem
)
KERNEL: Final = {
    "display_name": "Python 3 (ipykernel)",
    "language": "python",
    "name": "python3",
}


@pytest.fixture(params=NOTEBOOKS, ids=[path.relative_to(CHECKOUT).as_posix() for path in NOTEBOOKS])
def path(request: pytest.FixtureRequest) -> Path:
    found: Path = request.param
    return found


@pytest.fixture
def notebook(path: Path) -> nbformat.NotebookNode:
    read: nbformat.NotebookNode = nbformat.read(path, as_version=4)
    return read


def code(notebook: nbformat.NotebookNode) -> Iterator[nbformat.NotebookNode]:
    return (cell for cell in notebook.cells if cell.cell_type == "code")


def test_there_are_notebooks() -> None:
    assert NOTEBOOKS


def test_it_is_written_as_jupyter_writes_it(path: Path, notebook: nbformat.NotebookNode) -> None:
    """So that opening and saving it changes nothing."""
    nbformat.validate(notebook)
    assert path.read_text(encoding="utf-8") == nbformat.writes(notebook) + "\n"


def test_nothing_of_a_run_is_stored(notebook: nbformat.NotebookNode) -> None:
    for cell in code(notebook):
        assert cell.outputs == [], cell.id
        assert cell.execution_count is None, cell.id
        assert set(cell.metadata) <= {"deletable", "editable", "jupyter", "tags"}, cell.id


def test_its_own_metadata_is_the_kernel_and_how_the_page_treats_it(
    notebook: nbformat.NotebookNode,
) -> None:

    assert notebook.metadata["labkit"] == {"autorun": True}
    assert notebook.metadata.get("kernelspec") == KERNEL
    assert set(notebook.metadata) <= {"kernelspec", "labkit"}


def test_cells_are_few_short_and_named(notebook: nbformat.NotebookNode) -> None:
    assert (notebook.nbformat, notebook.nbformat_minor) >= (4, 5), "cell names came with 4.5"
    assert len({cell.id for cell in notebook.cells}) == len(notebook.cells)
    assert len(notebook.cells) <= 33
    for cell in code(notebook):
        head, *rest = cell.source.splitlines()
        assert re.match(r"(# Code |%%tell )[a-z]", head), "it is named while it is waited for"
        assert head.startswith("%%tell ") or len(rest) < 12, cell.id


def test_all_it_takes_of_labkit_is_the_public_face(notebook: nbformat.NotebookNode) -> None:
    """So that a copy that somebody has changed outlives a move behind that face."""
    lines = [line.strip() for cell in code(notebook) for line in cell.source.splitlines()]
    asked = {line for line in lines if re.match(r"(import|from) labkit\b", line)}

    assert asked == {"import labkit as lab"}
    rooms = {name for line in lines for name in re.findall(r"\blab\.(\w+)", line)}
    assert rooms <= set(labkit.__all__)


def test_code_is_folded_and_cannot_be_deleted_by_two_keys(
    notebook: nbformat.NotebookNode,
) -> None:
    for cell in code(notebook):
        assert cell.metadata.get("jupyter", {}).get("source_hidden") is True, cell.id
        assert cell.metadata.get("deletable") is False, cell.id


def test_its_pictures_and_scripts_come_from_nowhere_else(notebook: nbformat.NotebookNode) -> None:
    for cell in notebook.cells:
        for asking in ("](http", "src=", "<script", "@import"):
            if cell.cell_type == "markdown" and asking != "](http":
                assert asking not in cell.source, cell.id
            assert f"!{asking}" not in cell.source, cell.id

"""Paper is whole: nothing is cut, no heading is lost, no sheet carries one line."""

import base64
from pathlib import Path

import nbformat
import pytest

from labkit.view.handout import _body, handouts, looks_for, written
from labkit.view.key import plan
from labkit.view.paper import NEW_SHEET, write_page
from tests.browser.sheets import wrong_with

pytestmark = pytest.mark.browser

CHECKOUT = Path(__file__).parents[2]
LESSONS = sorted((CHECKOUT / "lessons").glob("[0-9]*.ipynb"))
EXERCISES = sorted((CHECKOUT / "exercises").glob("[0-9]*.ipynb"))
LINES = "".join(f"<p>Line {word} of a page.</p>" for word in range(1, 6))


def seen(page: str, folder: Path) -> list[str]:
    write_page(page, folder / "page.pdf")
    return wrong_with(page, folder / "page.pdf")


def sheet(body: str) -> str:
    return f"<html><head>{looks_for('US')}</head><body><main>{body}</main></body></html>"


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (LINES, ""),
        (f"{LINES}<div style='height:30px;overflow:hidden'>{LINES * 3}<p>The very end.</p></div>", "missing: The very end."),
        (f"{LINES}<h2>A lost title</h2><div class=\"{NEW_SHEET}\">{LINES}</div>", "ends with a heading: A lost title"),
        (f"{LINES}<p class=\"{NEW_SHEET}\">Alone here.</p>", "page 3 has only: Alone here."),
        (f"{LINES}<p style='margin-left:-15mm'>Off to the left.</p>", "missing: Off to the left."),
    ],
)  # fmt: skip
def test_the_check_sees_what_is_wrong(tmp_path: Path, body: str, words: str) -> None:
    found = seen(sheet(body), tmp_path)
    assert any(words in one for one in found) if words else not found


def test_a_page_in_a_frame_is_written_out_on_paper() -> None:
    inner = "<!doctype html><html><head><style>@page { size: letter; } body { color: red; } p { margin: 0 }</style></head><body><p>The card.</p></body></html>"
    data = base64.b64encode(inner.encode()).decode()
    frame = f'<iframe title="x" sandbox="" src="data:text/html;charset=utf-8;base64,{data}" style="y"></iframe>'
    output = nbformat.v4.new_output("display_data", data={"text/html": frame})
    page = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1", outputs=[output])])

    body = _body(page)

    assert "<iframe" not in body
    assert '<div class="labkit-card"><p>The card.</p></div>' in body
    assert "@page" not in body
    assert ":scope { color: red; }" in body
    assert written([page, page], "a <b>", looks="").count(f'class="{NEW_SHEET}"') == 1


@pytest.mark.slow
@pytest.mark.parametrize(
    "notebook", [*LESSONS, *EXERCISES], ids=lambda path: f"{path.parent.name} {path.stem[:2]}"
)
def test_every_handout_is_whole(notebook: Path, tmp_path: Path) -> None:
    number = "17" if notebook in EXERCISES or notebook.stem.startswith("12") else None
    assert seen(handouts(notebook, [number]), tmp_path) == []


@pytest.mark.slow
@pytest.mark.parametrize("notebook", LESSONS, ids=lambda path: path.stem[:2])
def test_every_plan_is_whole(notebook: Path, tmp_path: Path) -> None:
    assert seen(plan(notebook), tmp_path) == []

"""What `labkit open` promises about the page, seen in a real browser on a bench of one slider."""

from typing import TYPE_CHECKING

import nbformat
import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.browser.conftest import LessonPage, Server

pytestmark = pytest.mark.browser

PLAIN = "lessons/plain_bench.ipynb"
CELL = "#jp-main-dock-panel .jp-Notebook .jp-Cell"
SLIDER = "Head (m)"


def test_a_lesson_of_this_copy_runs_when_it_opens(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = open_lesson(PLAIN)

    expect(lesson.picture).to_have_attribute("alt", "A head of 30 m.")
    assert lesson.errors() == []
    assert lesson.complaints == []


def test_nothing_is_asked_of_the_outside(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson(PLAIN, again=True)

    lesson.press_until_redrawn(SLIDER, "ArrowLeft")
    # news and updates would be asked for within that time
    lesson.page.wait_for_function("performance.now() > 10_000")

    assert lesson.outside == []
    assert lesson.page.get_by_text("Would you like to get notified").count() == 0


def test_slider_handles_and_numbers_carry_the_label_that_is_seen(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = open_lesson(PLAIN, again=True)

    expect(lesson.slider(SLIDER)).to_have_count(1)
    number = float(lesson.slider(SLIDER).get_attribute("aria-valuetext") or "")
    expect(lesson.page.get_by_role("textbox", name=f"{SLIDER}, type a value")).to_have_text(
        f"{number:.2f}"
    )


def test_keys_on_a_slider_redraw_the_picture_and_say_so(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = open_lesson(PLAIN, again=True)

    before = float(lesson.slider(SLIDER).get_attribute("aria-valuetext") or "")
    value = float(lesson.press_until_redrawn(SLIDER, "ArrowRight", times=4))

    assert value == pytest.approx(before + 2.0)  # four steps of half a metre
    expect(lesson.status).to_have_text(f"A head of {value:g} m.")
    expect(lesson.status).to_have_attribute("aria-live", "polite")
    expect(lesson.picture).to_have_attribute("alt", f"A head of {value:g} m.")


def test_a_bench_cannot_be_deleted_by_two_keys(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson(PLAIN, again=True)
    cells = lesson.page.locator(CELL).count()

    lesson.slider(SLIDER).focus()
    lesson.page.keyboard.press("d")
    lesson.page.keyboard.press("d")

    expect(lesson.page.locator(CELL)).to_have_count(cells)
    expect(lesson.slider(SLIDER)).to_be_visible()


def test_one_lesson_is_shown_without_tabs(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson(PLAIN, again=True)

    expect(lesson.page.locator("#jp-main-dock-panel")).to_have_attribute(
        "data-mode", "single-document"
    )


def test_sliders_speak_to_the_kernel_itself_and_not_to_a_thread_beside_it(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    """With JupyterLab's usual setting the callback runs in a thread named subshell-…

    That thread is made for the first move and serves from the second one on.
    """
    lesson = open_lesson(PLAIN, again=True)

    lesson.press_until_redrawn(SLIDER, "ArrowLeft")
    lesson.press_until_redrawn(SLIDER, "ArrowRight")

    expect(lesson.picture).to_have_attribute("title", "MainThread")


def test_saving_after_a_run_leaves_the_file_as_it_was_shipped(
    open_lesson: "Callable[..., LessonPage]", server: "Server"
) -> None:
    path: Path = server.root / "lessons" / "plain_bench.ipynb"
    shipped, before = path.read_bytes(), path.stat().st_mtime_ns
    lesson = open_lesson(PLAIN, again=True)
    lesson.press_until_redrawn(SLIDER, "ArrowRight")

    lesson.page.get_by_role("heading", name="A plain bench").click()
    with lesson.page.expect_response(
        lambda answer: answer.request.method == "PUT" and "plain_bench.ipynb" in answer.url
    ) as saved:
        lesson.page.keyboard.press("Control+s")

    assert saved.value.ok
    assert path.stat().st_mtime_ns > before, "nothing was saved"
    assert path.read_bytes() == shipped


def test_a_changed_lesson_from_elsewhere_waits_to_be_started(
    open_lesson: "Callable[..., LessonPage]", server: "Server"
) -> None:
    strange = nbformat.read(server.root / "lessons" / "plain_bench.ipynb", as_version=4)
    strange.cells[1].source += "\n# a line that this copy of the lessons has never held"
    nbformat.write(strange, server.root / "lessons" / "strange.ipynb")

    lesson = open_lesson(
        "lessons/strange.ipynb", wait_for="text=did not start by itself", runs=False
    )
    lesson.page.wait_for_timeout(2000)
    assert lesson.picture.count() == 0

    lesson.page.get_by_role("button", name="Start it").click()
    expect(lesson.picture).to_be_visible()

"""The page for a line with something wrong, in a real browser: typed by keyboard, kept, on a phone."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from playwright.sync_api import expect

from tests.browser.test_accessible import serious

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

PAGE: Final = "lessons/my_line_is_down.ipynb"
WIDTHS: Final = (1366, 390)


def test_readings_are_typed_a_cause_is_found_and_all_comes_back(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = open_lesson(PAGE, wait_for=".labkit-wrong")
    page = lesson.page
    wrong = page.locator(".labkit-wrong")
    wrong.get_by_label("What the pump does after you lift every float").select_option("stops")
    wrong.get_by_label("Gauge ten minutes after that").fill("21 psi ft")
    page.keyboard.press("Tab")
    expect(wrong).to_contain_text("gauge after ten minutes is")
    wrong.get_by_label("Highest the gauge goes").fill("31")
    wrong.get_by_label("Gauge ten minutes after that").fill("21")
    page.keyboard.press("Tab")
    expect(wrong).not_to_contain_text("gauge after ten minutes is")

    wrong.get_by_role("button", name="What fits?").first.focus()
    page.keyboard.press("Enter")

    expect(wrong).to_contain_text("Next test")
    expect(wrong.get_by_role("table")).to_contain_text("%")
    assert serious(lesson) == []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 2400})
        wide = "width => document.querySelector('.labkit-wrong').scrollWidth <= width"
        page.wait_for_function(wide, arg=width)  # the page is laid out anew a moment later
        if folder := os.environ.get("PAGE_PICTURES"):
            page.wait_for_timeout(500)
            wrong.screenshot(path=Path(folder) / f"my_line_is_down_{width}.png")
    page.reload()
    expect(wrong.get_by_label("Highest the gauge goes")).to_have_value("31 psi")
    assert lesson.errors() == []
    assert lesson.complaints == []

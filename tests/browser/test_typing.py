"""Enter and clicks reach the kernel after what was typed before them, however fast it was typed."""

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

LESSON = "lessons/typing_bench.ipynb"
ANSWERS = [f"{17 * number + 3}.{number} psi" for number in range(20)]


def test_enter_brings_what_was_typed_twenty_times_in_a_row(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    """No pause between keys, none after Enter; the kernel is busy for 50 ms with each change."""
    lesson = open_lesson(LESSON, wait_for="button:has-text('Send')")
    lesson.page.get_by_label("Answer").focus()
    for answer in ANSWERS:
        lesson.page.keyboard.press("Control+a")
        lesson.page.keyboard.type(answer)
        lesson.page.keyboard.press("Enter")

    said = lesson.page.locator(".typed code")
    expect(said).to_have_text(ANSWERS)
    expect(lesson.page.get_by_label("Answer")).to_have_value(ANSWERS[-1])
    assert lesson.complaints == []


def test_a_click_brings_what_was_typed_before(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson(LESSON, wait_for="button:has-text('Send')", again=True)
    said = lesson.page.locator(".typed code")
    before = said.all_inner_texts()
    for answer in ANSWERS:
        lesson.page.get_by_label("Answer").focus()
        lesson.page.keyboard.press("Control+a")
        lesson.page.keyboard.type(answer)
        lesson.page.get_by_role("button", name="Send").dispatch_event("click")

    expect(said).to_have_text([*before, *ANSWERS])
    assert lesson.complaints == []

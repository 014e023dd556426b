"""The drill of lesson 12 in a real page: dealt and worked by keyboard alone."""

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from labkit.faults import FAULTS
from tests.browser.test_accessible import serious
from tests.browser.test_lessons import TALL, predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

LESSON = "lessons/12_fault_finding.ipynb"


def test_a_drill_is_worked_by_keyboard(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson(LESSON, wait_for=".labkit-drill")
    lesson.page.set_viewport_size(TALL)
    drill = lesson.page.locator(".labkit-drill")
    expect(drill).to_contain_text("Make your predictions first")
    expect(drill.get_by_label("My number")).to_be_disabled()
    predict(lesson)
    expect(drill.get_by_label("My number")).to_be_enabled()
    drill.get_by_label("My number").press_sequentially("7")
    drill.get_by_label("My number").press("Enter")
    expect(drill.get_by_text("The call")).to_be_visible()

    drill.get_by_role("button", name="Controller off, line shutoff closed").focus()
    lesson.page.keyboard.press("Enter")
    expect(drill.get_by_role("table")).to_contain_text("Shut off from the line")
    live = drill.locator(".labkit-status [aria-live=polite]").first
    expect(live).to_contain_text("10 min spent")

    parts = drill.get_by_role("radiogroup")
    expect(parts).to_have_count(7)
    floats = drill.get_by_role("radiogroup", name="Float and trough").get_by_role("radio")
    floats.first.focus()
    lesson.page.keyboard.press("Space")
    lesson.page.keyboard.press("ArrowDown")
    expect(floats.nth(1)).to_be_checked()
    drill.get_by_role("radio", name="bad check valve").focus()
    lesson.page.keyboard.press("Space")
    expect(drill.get_by_role("radio", checked=True)).to_have_count(1)
    drill.get_by_role("button", name="Give my diagnosis").focus()
    lesson.page.keyboard.press("Enter")
    expect(drill).to_contain_text("Look again at what you read")
    assert lesson.errors() == []


def test_a_dealt_drill_passes_the_check_of_its_accessibility(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = open_lesson(LESSON, wait_for=".labkit-drill")
    lesson.page.set_viewport_size(TALL)
    predict(lesson)
    drill = lesson.page.locator(".labkit-drill")
    expect(drill.get_by_label("My number")).to_be_enabled()
    suspects = {"one": drill.get_by_role("radio"), "two": drill.get_by_role("checkbox")}
    for faults, choices in suspects.items():
        drill.get_by_role("button", name=faults, exact=True).click()
        drill.get_by_label("My number").fill("7")
        drill.get_by_label("My number").press("Enter")
        expect(choices).to_have_count(len(FAULTS))
        assert serious(lesson) == []

"""The rig of lesson 11 in a real page: a line worked by keyboard alone, handed over, and back again.

Set PAGE_PICTURES to a folder to keep a picture of the whole page.
"""

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.test_lessons import TALL, keep_picture, predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

LESSON = "lessons/11_commissioning.ipynb"
NUMBER = "8"
"""A line with one trough and no relief valve."""


def press(lesson: "LessonPage", name: str) -> None:
    """Press a button by keyboard, and wait for a line more in the log."""
    rig = lesson.page.locator(".labkit-rig")
    rows = rig.get_by_role("row")
    before = rows.count()
    rig.get_by_role("button", name=name).first.focus()
    lesson.page.keyboard.press("Enter")
    expect(rows).to_have_count(before + 1)


def come(open_lesson: "Callable[..., LessonPage]") -> tuple["LessonPage", Locator]:
    lesson = open_lesson(LESSON, wait_for=".labkit-rig")
    lesson.page.set_viewport_size(TALL)
    rig = lesson.page.locator(".labkit-rig")
    expect(rig).to_contain_text("Make your predictions first")
    expect(rig.get_by_label("My number")).to_be_disabled()
    predict(lesson)
    expect(rig.get_by_label("My number")).to_be_enabled()
    expect(rig).not_to_contain_text("Make your predictions first")
    rig.get_by_label("My number").press_sequentially(NUMBER)
    rig.get_by_label("My number").press("Enter")
    expect(rig.get_by_role("table")).to_contain_text("Came to the line")
    return lesson, rig


def test_a_line_is_set_up_by_keyboard(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson, rig = come(open_lesson)
    picture = rig.get_by_role("img", name="A pressure gauge").first
    before = picture.get_attribute("src")

    press(lesson, "Controller off")
    press(lesson, "Close the line valve and bleed off")
    expect(picture).not_to_have_attribute("src", before or "")
    press(lesson, "Take the pair off")
    press(lesson, "Install the test gauge")
    press(lesson, "Close the drain, open the line valve")
    press(lesson, "Controller on")
    rig.get_by_label("Turn by").select_option("2 turns")
    press(lesson, "Loosen the range nut")
    rig.get_by_label("Filling, strong sun").fill("14")
    rig.get_by_label("Filling, strong sun").press("Enter")
    expect(rig.get_by_role("row").last).to_contain_text("Wrote on the sheet")
    press(lesson, "Meter the contact")
    live = rig.locator(".labkit-status [aria-live=polite]").first
    expect(live).to_contain_text("Settings tried: 1")

    rig.get_by_role("button", name="Hand over the line").press("Enter")
    expect(live).to_contain_text("the pair is off")
    expect(rig.get_by_role("row").last).to_contain_text("Turned to go")
    press(lesson, "Controller off")
    press(lesson, "Put the pair back on")
    press(lesson, "Controller on")
    rig.get_by_role("button", name="Hand over the line").press("Enter")

    expect(rig).to_contain_text("Not passed yet")
    expect(rig).to_contain_text("You turned to go with something held")
    expect(rig).to_contain_text("not on the sheet")
    expect(rig.locator(".labkit-stage")).to_be_visible()
    rig.get_by_role("button", name="Hazy day after you left").press("Enter")
    expect(rig.locator(".labkit-stage")).to_be_visible()
    keep_picture(lesson, LESSON)
    assert lesson.errors() == []
    assert lesson.complaints == []


def test_a_visit_comes_back_after_a_reload(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson, rig = come(open_lesson)
    where = rig.get_by_role("button", name="Hold").first.inner_text().split("“")[1].split("”")[0]

    press(lesson, "Hold")
    rig.get_by_role("button", name="Give me a hint").press("Enter")
    expect(rig).to_contain_text("The switch has tripped with every float up")

    lesson.page.reload()
    expect(lesson.page.locator(".labkit-rig")).to_contain_text("This is your visit as you left it")
    expect(lesson.page.locator(".labkit-rig")).to_contain_text(f"Held “{where}” up")
    assert lesson.errors() == []

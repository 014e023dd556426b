"""The drill of lesson 12 in a real page: dealt, worked, repaired and proved by keyboard alone."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from labkit.drills import draw_drill
from labkit.faults import FAULTS
from tests.browser.test_accessible import serious
from tests.browser.test_lessons import TALL, predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

LESSON = "lessons/12_fault_finding.ipynb"


def press(button: "Locator") -> None:
    button.focus()
    button.press("Enter")


def repair(drill: "Locator") -> None:
    """Take every step, repair what is chosen, and watch one full cycle."""
    for step in drill.locator(".labkit-steps").get_by_role("checkbox").all():
        step.focus()
        step.press("Space")
    press(drill.get_by_role("button", name="Repair it"))
    expect(drill).to_contain_text("Nobody can tell yet")
    press(drill.get_by_role("button", name="Watch one full cycle"))
    expect(drill.get_by_role("table").last).to_contain_text("Float down again")


def pictures(drill: "Locator") -> None:
    """Keep pictures of the drill to look at, where a folder for them is named."""
    for width in (1366, 390):
        if folder := os.environ.get("PAGE_PICTURES"):
            drill.page.set_viewport_size({"width": width, "height": 5200})
            drill.page.wait_for_timeout(1000)
            drill.screenshot(path=Path(folder) / f"drill_{width}.png")
    drill.page.set_viewport_size(TALL)


def test_a_drill_is_worked_by_keyboard_and_comes_back(
    open_lesson: "Callable[..., LessonPage]",
) -> None:
    lesson = open_lesson(LESSON, wait_for=".labkit-drill")
    page = lesson.page
    page.set_viewport_size(TALL)
    drill = page.locator(".labkit-drill")
    expect(drill).to_contain_text("Make your predictions first")
    expect(drill.get_by_label("My number")).to_be_disabled()
    predict(lesson)
    expect(drill.get_by_label("My number")).to_be_enabled()
    drill.get_by_label("My number").press_sequentially("7")
    drill.get_by_label("My number").press("Enter")
    expect(drill.get_by_text("What they tell you")).to_be_visible()

    press(drill.get_by_role("button", name="Controller off, line shutoff closed"))
    expect(drill.get_by_role("table").last).to_contain_text("Shut off from the line")
    live = drill.locator(".labkit-status [aria-live=polite]").first
    expect(live).to_contain_text("10 min spent")

    expect(drill.get_by_role("radiogroup")).to_have_count(7)
    floats = drill.get_by_role("radiogroup", name="Float and trough").get_by_role("radio")
    floats.first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    expect(floats.nth(1)).to_be_checked()
    (hidden,) = draw_drill("one_trough_uphill", 7).hidden
    drill.get_by_role("radio", name=f"{hidden.key}:").focus()
    page.keyboard.press("Space")
    expect(drill.get_by_role("radio", checked=True)).to_have_count(1)
    repair(drill)
    assert serious(lesson) == []
    press(drill.get_by_role("button", name="Hand the line back"))
    expect(drill).to_contain_text("It works again")
    expect(drill).to_contain_text("The cheapest way to know")
    pictures(drill)

    page.reload()
    expect(drill).to_contain_text("The cheapest way to know")
    expect(drill).to_contain_text("0 of 5 in a row")
    assert lesson.errors() == []


def test_two_faults_and_a_new_ranch_are_dealt(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson(LESSON, wait_for=".labkit-drill")
    lesson.page.set_viewport_size(TALL)
    predict(lesson)
    drill = lesson.page.locator(".labkit-drill")
    expect(drill.get_by_label("My number")).to_be_enabled()
    for choice, words in (("two", "There are two faults"), ("a new ranch", "What they tell you")):
        drill.get_by_role("button", name=choice).click()
        drill.get_by_label("My number").fill("7")
        drill.get_by_label("My number").press("Enter")
        expect(drill).to_contain_text(words)
    expect(drill).not_to_contain_text("Borrowed Ladder")
    expect(drill.get_by_role("radio").nth(len(FAULTS) - 8)).to_be_visible()
    drill.get_by_role("button", name="from memory").click()
    expect(drill.get_by_role("radio").first).to_be_hidden()
    drill.get_by_label("The part and what's wrong with it").fill("pump worn")
    lesson.page.keyboard.press("Tab")
    expect(drill).to_contain_text("Taken as: worn pump")
    assert serious(lesson) == []
    assert lesson.errors() == []

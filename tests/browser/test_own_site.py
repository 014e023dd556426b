"""Lesson 14 in a real page: a site typed by keyboard, hostile files, errors read out, the card."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from labkit.view.own_site import EXAMPLE
from tests.browser.conftest import PICTURE, SECOND
from tests.browser.test_lessons import predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import FilePayload

    from tests.browser.conftest import LessonPage, Server

pytestmark = pytest.mark.browser

LESSON: Final = "lessons/14_your_own_site.ipynb"
TALL: Final[ViewportSize] = {"width": 1280, "height": 12_000}


def test_a_site_is_typed_by_keyboard_and_the_page_follows(
    open_lesson: "Callable[..., LessonPage]", server: "Server"
) -> None:
    lesson = open_lesson(LESSON, wait_for=".labkit-own")
    page = lesson.page
    page.set_viewport_size(TALL)
    own = page.locator(".labkit-own").first
    box = own.get_by_role("textbox", name="Site file")
    live = own.locator(".labkit-status [aria-live=polite]").first
    expect(live).to_contain_text("Read: Willow Bend")
    expect(page.get_by_text("Make your predictions, or choose")).to_have_count(5)
    predict(lesson)
    expect(page.locator(PICTURE)).to_have_count(3)  # window, map, budget
    frame = page.get_by_title("Settings card of Willow Bend")
    expect(frame).to_be_visible()
    if folder := os.environ.get("PAGE_PICTURES"):
        page.wait_for_timeout(2 * SECOND)
        page.screenshot(path=Path(folder) / "14_your_own_site.png")

    box.fill(EXAMPLE.replace('cut_out = "50 psi"', 'cut_out = "50"'))
    page.keyboard.press("Tab")
    expect(live).to_contain_text("pressure_switch.cut_out is '50'; it has no unit; write")
    expect(live).to_contain_text("still about Willow Bend")

    box.fill(EXAMPLE.replace("Willow Bend", "Owl Rise").replace('"25 ft"', '"15 ft"'))
    page.keyboard.press("Tab")
    expect(own.get_by_role("button", name="Work it out")).to_be_focused()
    page.keyboard.press("Enter")
    expect(live).to_contain_text("Read: Owl Rise")
    card = page.get_by_title("Settings card of Owl Rise")
    expect(card).to_be_visible()
    expect(page.get_by_role("link", name="download owl_rise_card.html")).to_be_visible()

    page.get_by_role("button", name="Save it beside the lessons").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Saved as owl_rise_card.html")).to_be_visible()
    saved = server.root / "lessons" / "owl_rise_card.html"
    assert "Settings card: Owl Rise" in saved.read_text(encoding="utf-8")
    saved.unlink()
    assert lesson.errors() == []
    assert lesson.complaints == []
    assert lesson.outside == []


HOSTILE = (
    (b"x" * 10_000_000, "ranch.toml: site file is too large"),
    (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "ranch.toml: site file is not plain text"),
    (EXAMPLE.encode("utf-16"), "save it as UTF-8 text"),
    (b"", "ranch.toml: site file is empty"),
)


def test_a_hostile_file_gets_a_sentence(
    open_lesson: "Callable[..., LessonPage]", subtests: pytest.Subtests
) -> None:
    lesson = open_lesson(LESSON, wait_for=".labkit-own", again=True)
    own = lesson.page.locator(".labkit-own").first
    for data, says in HOSTILE:
        with subtests.test(says):
            file: FilePayload = {"name": "ranch.toml", "mimeType": "text/plain", "buffer": data}
            with lesson.page.expect_file_chooser() as chooser:
                own.get_by_role("button", name="Choose a site file").click()
            chooser.value.set_files(file)

            expect(own.locator(".labkit-status").first).to_contain_text(says)
            assert lesson.errors() == []


def test_the_form_is_on_the_first_screen_and_its_button_stays_in_sight(
    open_lesson: "Callable[..., LessonPage]", subtests: pytest.Subtests
) -> None:
    page = open_lesson("lessons/plan_my_line.ipynb", wait_for=".labkit-own").page
    for wide in (390, 768, 1366):
        page.locator(".jp-WindowedPanel-outer").evaluate("it => it.scrollTo(0, 0)")
        with subtests.test(wide=wide):
            form_fits(page, wide)


def form_fits(page: Page, wide: int) -> None:
    page.set_viewport_size({"width": wide, "height": 844 if wide == 390 else 768})
    first = page.get_by_label("Name of the ranch")

    expect(first).to_be_in_viewport()
    for box in page.locator(".labkit-plan-box label:visible").all()[:12]:
        assert box.evaluate("it => it.scrollWidth <= it.clientWidth + 1"), box.inner_text()
    page.get_by_label("Depth to water, pump off").scroll_into_view_if_needed()
    expect(page.get_by_role("button", name="Work it out")).to_be_in_viewport()
    if wide == 1366:
        expect(page.locator(".labkit-plan-picture svg")).to_be_in_viewport()
    assert page.evaluate("document.documentElement.scrollWidth") == wide

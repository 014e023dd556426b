"""Every lesson that asks before its bench shows, in a real page: predictions, bench, charts, keyboard.

Set PAGE_PICTURES to a folder to keep a picture of each whole page.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from playwright.sync_api import Locator, ViewportSize, expect

from tests.browser.conftest import CHECKOUT, PICTURE, SECOND

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

FREED: Final = re.compile(r"lesson\.(?:predict|bench)\(")
LESSONS: Final = sorted(
    path.relative_to(CHECKOUT).as_posix()
    for path in (CHECKOUT / "lessons").glob("[0-9]*.ipynb")
    if {"lesson.predict(", "lesson.bench("} <= set(FREED.findall(path.read_text(encoding="utf-8")))
)
CHOICES: Final = {
    "02": "Pump",
    "03": "Pipe size",
    "05": "The switch",
    "08": "Where stock drink",
}
TALL: Final[ViewportSize] = {"width": 1280, "height": 12_000}


def predict(lesson: LessonPage) -> None:
    """Answer every prediction on the page: the first choice of each, or three of each unit."""
    page = lesson.page
    forms = page.locator(".labkit-asking").filter(
        has=page.get_by_role("button", name="Keep my prediction")
    )
    for place in range(forms.count()):
        form = forms.nth(place)
        if form.get_by_role("radio").count():
            form.get_by_role("radio").first.check()
        else:
            unit = "" if "whole number" in form.inner_text() else " psi"
            form.get_by_role("textbox").fill(f"30{unit}")
        form.get_by_role("button", name="Keep my prediction").click()
        expect(form).to_contain_text("Kept", timeout=30 * SECOND)


def expect_one_moment(bench: Locator) -> None:
    """Expect the slider of the moment to stand where the picture is, whose run has grown longer."""
    handle = bench.get_by_role("slider", name="Moment (min into the run)", exact=True)
    if not handle.count():
        return
    alt = bench.locator("img").first.get_attribute("alt") or ""
    said = re.search(r", (?:(\d+) h ?)?(?:(\d+) min ?)?(?:(\d+) s )?into the run", alt)
    assert said, alt
    hours, minutes, seconds = (float(part or 0.0) for part in said.groups())
    moment = float(handle.get_attribute("aria-valuetext") or "nan")
    step = float(handle.get_attribute("aria-valuemax") or "nan") / 240.0
    assert abs(moment - (60.0 * hours + minutes + seconds / 60.0)) <= step


def keep_picture(lesson: LessonPage, path: str) -> None:
    """Photograph the whole page, if somebody asked for it."""
    folder = os.environ.get("PAGE_PICTURES")
    if folder:
        lesson.page.wait_for_timeout(2 * SECOND)
        lesson.page.screenshot(path=Path(folder) / f"{Path(path).stem}.png")


@pytest.mark.parametrize("path", LESSONS)
def test_predictions_free_the_bench_and_bring_every_picture(
    open_lesson: Callable[..., LessonPage], path: str
) -> None:
    lesson = open_lesson(path)
    lesson.page.set_viewport_size(TALL)
    bench = lesson.page.locator(".labkit-bench").first
    expect(bench).to_contain_text("Make your prediction first")
    before = lesson.page.locator(PICTURE).count()

    predict(lesson)

    expect(bench).not_to_contain_text("Make your prediction first", timeout=15 * SECOND)
    waiting = lesson.page.get_by_text("A picture that follows your sliders")
    expect(waiting).to_have_count(0, timeout=15 * SECOND)
    expect(lesson.page.get_by_text("comes with your prediction")).to_have_count(0)
    assert lesson.page.locator(PICTURE).count() >= before
    expect_one_moment(bench)
    for image in lesson.page.locator(PICTURE).all():
        assert len(image.get_attribute("alt") or "") > 60
    keep_picture(lesson, path)
    assert lesson.errors() == []
    assert lesson.complaints == []
    assert lesson.outside == []


@pytest.mark.parametrize("path", [path for path in LESSONS if path[8:10] in CHOICES])
def test_a_list_is_worked_by_keyboard_and_the_chart_follows(
    open_lesson: Callable[..., LessonPage], path: str
) -> None:
    lesson = open_lesson(path)
    lesson.page.set_viewport_size(TALL)
    predict(lesson)
    waiting = lesson.page.get_by_text("A picture that follows your sliders")
    expect(waiting).to_have_count(0, timeout=15 * SECOND)
    bench, chart = (
        lesson.page.locator(".labkit-bench img").first,
        lesson.page.locator("figure img").first,
    )
    lesson.page.wait_for_timeout(1 * SECOND)
    shown, drawn = bench.get_attribute("alt") or "", chart.get_attribute("alt") or ""

    listed = lesson.page.get_by_role("combobox", name=CHOICES[path[8:10]], exact=True)
    listed.focus()
    lesson.page.keyboard.press("ArrowDown")

    expect(bench).not_to_have_attribute("alt", shown, timeout=15 * SECOND)
    expect(chart).not_to_have_attribute("alt", drawn, timeout=15 * SECOND)
    assert lesson.errors() == []

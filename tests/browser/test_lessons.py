"""Every page as it is met: by keyboard, checked with axe, on every screen, each in one visit.

Set PAGE_PICTURES to a folder to keep a picture of each page in three widths.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from playwright.sync_api import ViewportSize, expect

from tests.browser.conftest import BENCH, CHECKOUT, PICTURE
from tests.browser.test_accessible import move_one_control, serious, spoken_is_shown, start

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

BENCHES: Final = re.compile(r"lesson\.(?:(?:surge_)?bench|weigh)\(")
PREDICTS: Final = "lesson.predict("
PAGES: Final = sorted(
    path.relative_to(CHECKOUT).as_posix()
    for folder in ("lessons", "exercises")
    for path in (CHECKOUT / folder).glob("[0-9]*.ipynb")
)
ASKING: Final = [
    path
    for path in PAGES
    if BENCHES.search(source := (CHECKOUT / path).read_text(encoding="utf-8"))
    and PREDICTS in source
]
CHOICES: Final = {
    "02": "Pump",
    "03": "Pipe size",
    "05": "The switch",
    "08": "Where stock drink",
}
SPOKEN: Final = "lessons/08_troughs_uphill_and_down.ipynb"
"""The page whose sliders are asked what they say."""
NARROW: Final = "lessons/04_setting_the_switch.ipynb"
"""A bench that is put to the accessibility rules in every width."""
DESK: Final[ViewportSize] = {"width": 1366, "height": 768}
TABLET: Final[ViewportSize] = {"width": 820, "height": 1180}
PHONE: Final[ViewportSize] = {"width": 390, "height": 844}
TALL: Final[ViewportSize] = {"width": 1280, "height": 12_000}
HIGHEST: Final = 600
"""Pixels of height in which a whole bench stands at a desk."""
LEAST_HANDLE: Final = 44.0
LEAST_PICTURE: Final = 200.0
"""Pixels of height under which a picture says nothing."""
HEADER: Final = 100.0
"""More than the height of the page's header, under which a bench comes to stand."""
SMALL: Final = """bench => [...bench.querySelectorAll('text, p, label, button, select, input, output')]
  .filter(one => one.getClientRects().length && (one.textContent || one.value))
  .map(one => [parseFloat(getComputedStyle(one).fontSize), one.textContent || one.value])
  .filter(([size]) => size < 12)"""
SHARED: Final = """() => {
  const [benches, owners] = [[...document.querySelectorAll('.labkit-live')], new Map()];
  benches.forEach(bench => bench.querySelectorAll('pattern').forEach(({ id }) =>
    owners.set(id, (owners.get(id) || new Set()).add(bench))));
  return [...owners].filter(([, all]) => all.size > 1).map(([id]) => id);
}"""
"""Names of hatches that two pictures have: where the first is out of sight, the other shows none."""
LETTERS: Final = 11.0
"""Pixels that the smallest letters of a picture take."""
DRAWN: Final = {417: 14.0, 720: 14.0, 1152: 13.2}
"""Dots of the smallest letters in pictures, by their width in dots."""
SHRUNK: Final = """bench => [...bench.querySelectorAll('.labkit-charts img')].filter(one => one.clientWidth)
  .map(one => [one.naturalWidth, one.clientWidth / one.naturalWidth])"""
BEYOND: Final = """bench => [...bench.querySelectorAll('*')]
  .filter(one => !one.closest('svg, .labkit-unseen, table'))
  .filter(one => one.getBoundingClientRect().right > innerWidth + 1)
  .map(one => one.outerHTML.slice(0, 100))"""


def predict(lesson: LessonPage) -> None:
    """Answer every prediction on the page: the first choice of each, or three of each unit."""
    page = lesson.page
    forms = page.locator(".labkit-asking").filter(
        has=page.get_by_role("button", name="Lock in prediction")
    )
    for place in range(forms.count()):
        form = forms.nth(place)
        if form.get_by_role("radio").count():
            form.get_by_role("radio").first.check()
        else:
            unit = "" if "whole number" in form.inner_text() else " psi"
            form.get_by_role("textbox").fill(f"30{unit}")
        form.get_by_role("button", name="Lock in prediction").click()
        expect(form).to_contain_text("Locked in")
    if lesson.bench.count():
        lesson.settle()


def box(part: Locator) -> dict[str, float]:
    found = part.bounding_box()
    assert found is not None
    x, y, width, height = (float(found[name]) for name in ("x", "y", "width", "height"))
    return {
        "x": x,
        "y": y,
        "width": width,
        "height": height,
        "right": x + width,
        "bottom": y + height,
    }


def to_top(lesson: LessonPage, bench: Locator, view: ViewportSize) -> None:
    """Show a page in a size, with the top of its bench at the top of the window, and stay there.

    The notebook measures its cells as they come into view, and moves what stands under them.
    """
    lesson.page.set_viewport_size(view)
    lesson.page.wait_for_timeout(600)
    for _ in range(10):
        bench.evaluate("it => it.scrollIntoView({block: 'start'})")
        before = box(bench)["y"]
        lesson.page.wait_for_timeout(300)
        lesson.settle(bench)
        if box(bench)["y"] == before and 0.0 <= before < HEADER:
            return


def keep_picture(lesson: LessonPage, path: str) -> None:
    """Photograph a page, if somebody asked for it."""
    folder = os.environ.get("PAGE_PICTURES")
    if folder:
        lesson.page.screenshot(path=Path(folder) / f"{Path(path).stem}.png")


@pytest.mark.parametrize("path", PAGES)
def test_a_visit(
    open_lesson: Callable[..., LessonPage], subtests: pytest.Subtests, path: str
) -> None:
    """All that is asked of a page, in one visit: opening it takes longer than what is done in it."""
    lesson = open_lesson(path, wait_for=".jp-OutputArea-output", leafing=True)
    asks, before = path in ASKING, lesson.page.locator(PICTURE).count()
    if asks:
        expect(lesson.bench).to_contain_text("Make your prediction first")
    start(lesson)
    lesson.rest()  # it has played; the rest doesn't need it to
    with subtests.test("no serious violation"):
        assert serious(lesson) == []
    if asks:
        with subtests.test("predictions free the bench and bring every picture"):
            is_free(lesson, before)
    with subtests.test("a control moves by keyboard"):
        move_one_control(lesson)
    if path.startswith("lessons/") and path[8:10] in CHOICES:
        with subtests.test("a list is worked by keyboard, and the chart follows"):
            choose_by_keyboard(lesson, CHOICES[path[8:10]])
    if path == SPOKEN:
        with subtests.test("what is spoken is what is shown"):
            spoken_is_shown(lesson)
    with subtests.test("no picture needs another one's hatches"):
        assert lesson.page.evaluate(SHARED) == []
    for place in range(lesson.page.locator(BENCH).count()):
        for view in (DESK, TABLET, PHONE):
            with subtests.test("a bench fits the screen", place=place, width=view["width"]):
                fits(lesson, place, view, path)
            if path == NARROW:
                with subtests.test("no serious violation", place=place, width=view["width"]):
                    assert serious(lesson) == []
    assert lesson.errors() == []
    assert lesson.complaints == []
    assert lesson.outside == []


def fits(lesson: LessonPage, place: int, view: ViewportSize, path: str) -> None:
    bench = lesson.page.locator(BENCH).nth(place)
    to_top(lesson, bench, view)
    keep_picture(lesson, f"{path[:-6]}_{place}_{view['width']}.ipynb")
    {DESK["width"]: fits_desk, TABLET["width"]: fits_tablet, PHONE["width"]: fits_phone}[
        view["width"]
    ](lesson, bench)
    assert bench.evaluate(SMALL) == []
    if view is not DESK:
        for dots, share in bench.evaluate(SHRUNK):
            assert DRAWN[dots] * share >= LETTERS
    assert bench.evaluate(BEYOND) == []


def parts(bench: Locator) -> dict[str, Any]:
    """Give the boxes of a bench's parts: its picture is the scene, or the first chart."""
    stage = bench.locator(".labkit-stage")
    picture = stage if stage.is_visible() else bench.locator(".labkit-charts img").first
    return {
        "controls": box(bench.locator(".labkit-controls")),
        "status": box(bench.locator(".labkit-status")),
        "picture": box(picture),
    }


def fits_desk(_lesson: LessonPage, bench: Locator) -> None:
    """Controls stand beside the picture, all of both within six hundred pixels."""
    found = parts(bench)
    assert found["controls"]["right"] <= found["picture"]["x"]
    assert found["controls"]["width"] == pytest.approx(300, abs=20)
    top = min(part["y"] for part in found.values())
    assert max(part["bottom"] for part in found.values()) - top <= HIGHEST
    assert top >= 0
    assert max(part["bottom"] for part in found.values()) <= DESK["height"]


def fits_tablet(_lesson: LessonPage, bench: Locator) -> None:
    """Controls stand in two columns over the picture, all of it in the window."""
    found = parts(bench)
    assert found["controls"]["bottom"] <= found["picture"]["y"]
    assert found["picture"]["bottom"] <= TABLET["height"]
    rows = [box(row) for row in bench.locator(".labkit-setting").all()]
    if len(rows) > 1:
        assert rows[0]["y"] == rows[1]["y"]


def fits_phone(lesson: LessonPage, bench: Locator) -> None:
    """The picture stays in sight, at most 45 % of the height, while each control comes beside it."""
    stage = bench.locator(".labkit-stage")
    leading = stage if stage.is_visible() else bench.locator(".labkit-charts img").first
    expect(leading).to_be_visible()
    for row in bench.locator(".labkit-setting").all():
        for _ in range(10):  # what comes into view is measured, and moves what stands under it
            row.evaluate("it => it.scrollIntoView({block: 'end'})")
            lesson.page.wait_for_timeout(150)
            if box(row)["bottom"] <= PHONE["height"]:
                break
        picture, control = box(leading), box(row)
        assert picture["height"] <= 0.45 * PHONE["height"] + 1
        assert picture["height"] >= LEAST_PICTURE
        assert picture["y"] >= -1
        assert control["y"] >= picture["bottom"] - 1
        assert control["bottom"] <= PHONE["height"]
    for part in bench.locator("input[type=range], .labkit-step, .labkit-handle, select").all():
        if part.is_visible():
            assert box(part)["height"] >= LEAST_HANDLE - 0.5
    scrolls = "() => document.scrollingElement.scrollWidth - innerWidth"
    assert lesson.page.evaluate(scrolls) <= 0


def is_free(lesson: LessonPage, before: int) -> None:
    """Nothing waits for a prediction any more, and every picture says what it shows."""
    expect(lesson.bench).not_to_contain_text("Make your prediction first")
    waiting = lesson.page.get_by_text("A picture that follows your sliders")
    expect(waiting).to_have_count(0)
    expect(lesson.page.get_by_text("shows up with your prediction")).to_have_count(0)
    assert lesson.page.locator(PICTURE).count() >= before
    for image in lesson.page.locator(".jp-OutputArea-output img[alt]:not([aria-hidden])").all():
        assert len(image.get_attribute("alt") or "") > 60
    for words in lesson.page.locator("p[id^=labkit-alt]").all():
        assert len(words.text_content() or "x" * 61) > 60


def choose_by_keyboard(lesson: LessonPage, name: str) -> None:
    chart = lesson.bench.locator(".labkit-charts img").first
    expect(chart).to_be_attached()
    shown, drawn = lesson.words(), chart.get_attribute("alt") or ""

    lesson.bench.get_by_role("combobox", name=name, exact=True).focus()
    lesson.page.keyboard.press("ArrowDown")

    expect(chart).not_to_have_attribute("alt", drawn)
    assert lesson.words() != shown

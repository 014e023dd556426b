"""The automated check of accessibility that every page is put to, and what is spoken.

The rules are those of axe-core, an open-source checker, for WCAG 2.1 levels A and AA. They are put
to what our own code shows: prose, widgets and pictures. JupyterLab's frame around it is its own.
"""

import re
from typing import TYPE_CHECKING, Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.conftest import BENCH

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Keyboard, Locator

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

OURS: Final = ".jp-OutputArea-output, .jp-RenderedMarkdown"
RULES: Final = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]},
    "resultTypes": ["violations"],  # of what passes one place is named, not each
}


def serious(lesson: "LessonPage") -> list[str]:
    """Violations that axe calls serious or critical, in what our own code shows."""
    found: Any = Axe().run(lesson.page, context={"include": [[OURS]]}, options=RULES)
    assert found.response["passes"], "nothing was checked"
    return [
        f"{rule['id']}: {node['html'][:200]}"
        for rule in found.response["violations"]
        if rule["impact"] in ("serious", "critical")
        for node in rule["nodes"]
    ]


def spoken_is_shown(lesson: "LessonPage") -> None:
    """Hold what every slider of the bench says to what stands beside it, in either system of units."""
    for system in ("US", "Metric"):
        lesson.bench.get_by_role("button", name=system, exact=True).click()
        lesson.settle()
        for row in lesson.bench.locator(".labkit-setting:has(input)").all():
            shown = (
                row.get_by_role("textbox").input_value()
                + " "
                + row.locator(".labkit-unit").inner_text()
            )
            assert row.get_by_role("slider").get_attribute("aria-valuetext") == shown
            assert len(shown.split()[0]) <= 7, shown


def move_one_control(lesson: "LessonPage") -> None:
    """Press a key on the first slider of the bench, if there is one, and expect words that say so."""
    slider = lesson.page.locator(f"{BENCH} .labkit-setting input[type=range]").first
    if not slider.count():
        return  # a page without a bench has been started by its boxes and buttons alone
    lesson.settle()
    before, words = slider.get_attribute("aria-valuetext"), lesson.words()

    slider.focus()
    lesson.page.keyboard.press(
        "ArrowLeft" if slider.input_value() == slider.get_attribute("max") else "ArrowRight"
    )
    lesson.settle()

    # its words name every setting; the picture of a run that a setting leaves alone stays the same
    assert slider.get_attribute("aria-valuetext") != before
    assert lesson.words() != words or not words


def test_the_check_can_fail(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson = open_lesson("lessons/plain_bench.ipynb")
    lesson.page.locator(".jp-OutputArea-output img").first.evaluate(
        "it => { it.removeAttribute('alt'); it.removeAttribute('title') }"
    )

    assert any(words.startswith("image-alt") for words in serious(lesson))


def start(lesson: "LessonPage") -> None:
    """Make every prediction and take a line of one's own, by keyboard alone."""
    keyboard, page = lesson.page.keyboard, lesson.page
    for box in page.get_by_role("textbox", name="My number", exact=True).all():
        box.focus()
        keyboard.type("17")
        keyboard.press("Enter")
        page.locator(".labkit-asking").first.wait_for()
    for form in (
        page.locator(".labkit-asking")
        .filter(has=page.get_by_role("button", name="Lock in prediction"))
        .all()
    ):
        predict(form, keyboard)
    page.wait_for_timeout(1500)  # the benches run on to their end


def predict(form: "Locator", keyboard: "Keyboard") -> None:
    """Keep the first choice, or a number in the unit that the page itself asks for."""
    kept, button = (
        form.get_by_text("Locked in:"),
        form.get_by_role("button", name="Lock in prediction"),
    )
    if form.get_by_role("radio").count():
        form.get_by_role("radio").first.focus()
        keyboard.press("Space")
        button.focus()
        keyboard.press("Enter")
    else:
        enter(form, "3")
        said = form.locator(".labkit-status")
        expect(said).to_have_text(re.compile(r"\S"))
        if not kept.count():
            unit = re.search(r"Choose (.+?) or ", said.inner_text())
            assert unit, said.inner_text()
            enter(form, f"3 {unit[1]}")
    kept.wait_for()


def enter(form: "Locator", words: str) -> None:
    box = form.get_by_role("textbox")
    box.focus()
    box.press("Control+a")
    form.page.keyboard.type(words)
    form.page.keyboard.press("Enter")

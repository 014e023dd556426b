"""Every page opens, runs, moves by keyboard, and passes an automated check of its accessibility.

The rules are those of axe-core, an open-source checker, for WCAG 2.1 levels A and AA. They are put
to what our own code shows: prose, widgets and pictures. JupyterLab's frame around it is its own.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.conftest import SECOND

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Keyboard, Locator

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

CHECKOUT: Final = Path(__file__).parents[2]
PAGES: Final = sorted(
    path.relative_to(CHECKOUT).as_posix()
    for folder in ("lessons", "exercises")
    for path in (CHECKOUT / folder).glob("[0-9]*.ipynb")
)
OURS: Final = ".jp-OutputArea-output, .jp-RenderedMarkdown"
RULES: Final = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}}
GUESSES: Final = ("1", "1 psi", "1 gpm", "1 ft", "1 gal", "1 min", "1 W", "1 W/m^2", "1 in")


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


@pytest.mark.parametrize("path", PAGES)
def test_no_serious_violation(open_lesson: "Callable[..., LessonPage]", path: str) -> None:
    lesson = open_lesson(path, wait_for=".jp-OutputArea-output")
    start(lesson)

    assert lesson.errors() == []
    assert serious(lesson) == []


@pytest.mark.parametrize("path", PAGES)
def test_one_control_moves_by_keyboard(open_lesson: "Callable[..., LessonPage]", path: str) -> None:
    lesson = open_lesson(path, wait_for=".jp-OutputArea-output")
    start(lesson)
    slider = lesson.page.locator(".labkit-bench [role=slider]:visible").first
    if not slider.count():
        return  # a page without a bench has been started by its boxes and buttons alone
    label = slider.get_attribute("aria-label") or ""
    before = float(slider.get_attribute("aria-valuenow") or "nan")

    key = (
        "ArrowLeft"
        if before == float(slider.get_attribute("aria-valuemax") or "nan")
        else "ArrowRight"
    )
    picture = lesson.page.locator(".labkit-bench img").first
    words = picture.get_attribute("alt") or ""
    after = lesson.press(label, key)

    # its words name every setting; the picture of a run that a setting leaves alone stays the same
    expect(picture).not_to_have_attribute("alt", words, timeout=15 * SECOND)
    assert float(after) != before
    assert lesson.errors() == []
    assert lesson.complaints == []


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
        .filter(has=page.get_by_role("button", name="Keep my prediction"))
        .all()
    ):
        predict(form, keyboard)
    page.wait_for_timeout(1500)  # the benches run on to their end


def predict(form: "Locator", keyboard: "Keyboard") -> None:
    """Give any answer that a prediction takes, and keep it."""
    kept, button = form.get_by_text("Kept:"), form.get_by_role("button", name="Keep my prediction")
    radios = form.get_by_role("radio")
    if radios.count():
        radios.first.focus()
        keyboard.press("Space")
        button.focus()
        keyboard.press("Enter")
    else:
        for guess in GUESSES:
            box = form.get_by_role("textbox")
            box.focus()
            box.press("Control+a")
            keyboard.type(guess)
            keyboard.press("Enter")
            form.page.wait_for_timeout(1500)  # a kept answer may run a bench and draw a chart
            if kept.count():
                break
    kept.wait_for(timeout=10_000)

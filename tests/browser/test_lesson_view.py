"""A lesson as a page for people: what is hidden, what leads on, and what a stray key cannot do."""

import re
import shutil
import urllib.request
from collections.abc import Callable
from typing import TYPE_CHECKING

import psutil
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.conftest import answers_of, shout

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

    from tests.browser.conftest import LessonPage, Server

pytestmark = pytest.mark.browser

Open = Callable[..., "LessonPage"]

PLAIN = "lessons/plain_bench.ipynb"
CELL = "#jp-main-dock-panel .jp-Notebook .jp-Cell"
SCROLLER = ".jp-WindowedPanel-outer"
MACHINERY = (
    "#jp-menu-panel, #jp-top-panel, #jp-bottom-panel, .jp-SideBar, .jp-NotebookPanel-toolbar, "
    ".jp-InputPrompt, .jp-OutputPrompt, .jp-Collapser, .jp-CodeCell .jp-Cell-inputWrapper, "
    ".jp-Notebook-footer, .jp-cell-toolbar"
)
HAZE = "Sunlight lost to haze (%)"
WIDTHS = ((1366, 768), (820, 1180), (390, 844))


def seen(page: "Page", selector: str) -> list[str]:
    """Classes of the elements that match and take room on the screen."""
    found: list[str] = page.evaluate(
        "s => [...document.querySelectorAll(s)].filter(e => e.checkVisibility() && "
        "e.getBoundingClientRect().height > 0).map(e => e.className)",
        selector,
    )
    return found


def test_nothing_of_the_notebook_is_seen_at_any_width(
    open_lesson: Open, subtests: pytest.Subtests
) -> None:
    lesson = open_lesson(
        "lessons/01_pressure_tells_the_story.ipynb", wait_for=".labkit-asking", still=True
    )
    for width, height in WIDTHS:
        with subtests.test(width=width):
            lesson.page.set_viewport_size({"width": width, "height": height})
            page_is_plain(lesson, width)
    on_paper = lesson.page.get_by_text("A browser prints only the part")
    expect(on_paper).to_be_hidden()
    lesson.page.emulate_media(media="print")
    expect(on_paper).to_be_visible()
    lesson.page.emulate_media(media="screen")


def page_is_plain(lesson: "LessonPage", width: int) -> None:
    assert seen(lesson.page, MACHINERY) == []
    heading = lesson.page.get_by_role("heading", level=1).inner_text()
    expect(lesson.page.locator(".labkit-title")).to_have_text(heading.rstrip("¶"))
    wide = lesson.page.evaluate("document.documentElement.scrollWidth")
    assert wide == width, "nothing makes the page scroll sideways"
    text = lesson.page.locator(".jp-MarkdownOutput p").first.bounding_box()
    assert text is not None
    assert text["width"] <= 46 * 16
    header = lesson.page.locator(".labkit-header").bounding_box()
    first = lesson.page.locator(CELL).first.bounding_box()
    assert header is not None
    assert first is not None
    assert header["y"] == 0
    assert first["y"] >= header["height"], "the header covers no text"
    assert lesson.page.locator(SCROLLER).evaluate("e => e.scrollTop") == 0, "it stays at its top"
    small = lesson.page.locator(
        ".labkit-header button:visible, .labkit-header a:visible"
    ).evaluate_all(
        "all => all.filter(e => Math.min(e.offsetWidth, e.offsetHeight) < 24).map(e => e.textContent)"
    )
    assert small == []
    found = Axe().run(lesson.page, context=".labkit-header").response["violations"]
    assert [violation["id"] for violation in found] == []


def test_one_switch_brings_the_notebook_back_and_is_remembered(open_lesson: Open) -> None:
    lesson = open_lesson(PLAIN)
    toolbars = ".jp-NotebookPanel-toolbar, .jp-Toolbar-responsive-popup"
    expect(lesson.page.locator(toolbars)).to_have_count(0)  # else drawn anew with each move

    lesson.page.get_by_role("button", name="Show the code").click()
    expect(lesson.page.locator("#jp-menu-panel")).to_be_visible()
    expect(lesson.page.locator(".jp-NotebookPanel-toolbar")).to_be_visible()
    expect(lesson.page.locator(toolbars)).to_have_count(2)
    lesson.page.reload()
    lesson.page.locator("[data-labkit-run=ended]").first.wait_for()
    expect(lesson.page.locator("#jp-menu-panel")).to_be_visible()

    lesson.page.get_by_role("button", name="Hide the code").click()
    expect(lesson.page.locator("#jp-menu-panel")).to_be_hidden()
    assert seen(lesson.page, MACHINERY) == []


def test_what_another_browser_left_open_keeps_no_page_from_loading_anew(
    open_lesson: Open, server: "Server", browser: "Browser"
) -> None:
    open_lesson(PLAIN)
    with browser.new_context() as another:
        page = another.new_page()
        page.goto(server.at(PLAIN))
        page.locator("[data-labkit-run=ended]").wait_for()
        page.wait_for_timeout(3000)  # until all that moves the address has moved it
        page.reload()
        page.locator("[data-labkit-run=ended]").wait_for()

        assert page.url == server.at(PLAIN).partition("?")[0]


def test_stray_keys_and_clicks_change_nothing(open_lesson: Open) -> None:
    lesson = open_lesson(PLAIN, again=True)
    page, cells = lesson.page, lesson.page.locator(CELL)
    before = cells.count()

    page.get_by_role("heading", name="A plain bench").click()
    for key in ("a", "b", "x", "d", "d", "z", "v", "m", "y", "r", "Enter", "Escape", "Shift+Enter",
                "Control+Enter", "Control+Backspace", "Control+Shift+m", "Control+Shift+ArrowDown"):  # fmt: skip
        page.keyboard.press(key)
    page.get_by_role("heading", name="A plain bench").dblclick()
    page.get_by_role("heading", name="A plain bench").click(button="right")

    expect(cells).to_have_count(before)
    expect(cells.first).to_contain_text("A plain bench")
    assert seen(page, ".lm-Menu, .jp-MarkdownCell .cm-editor") == []
    page.keyboard.press("Control+Shift+c")
    expect(page.locator(".lm-CommandPalette")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator(".lm-CommandPalette")).to_be_hidden()


def test_a_script_s_question_has_the_token_that_a_hub_asks_for(open_lesson: Open) -> None:
    page = open_lesson(PLAIN, again=True).page
    with page.expect_request("**/labkit/state") as asked:
        page.reload()

    assert asked.value.headers["x-xsrftoken"]


def test_the_header_speaks_the_language_of_its_files(open_lesson: Open) -> None:
    lesson = open_lesson(PLAIN, again=True)
    page = lesson.page
    shout(page)
    page.reload()
    page.locator("[data-labkit-run=ended]").first.wait_for()
    header = page.locator(".labkit-header")
    header.get_by_role("button", name="CONTENTS", exact=True).click()

    said: list[str] = header.evaluate(
        """e => [...e.querySelectorAll('a, button, h2, span, [aria-label]')]
          .filter(one => !one.closest('.labkit-title, li') && !one.querySelector('.labkit-title, li'))
          .flatMap(one => [one.textContent, one.getAttribute('aria-label'), one.getAttribute('title')])"""
    )
    assert {"HOME", "CONTENTS", "LESSONS", "EXERCISES", "SHOW THE CODE"} <= set(said)
    assert [one for one in said if one and re.search("[a-z]", one)] == []
    page.close()  # nobody else reads that language


def test_a_trainer_changes_a_sentence_and_sees_it(open_lesson: Open, server: "Server") -> None:
    """The cell is typed in as Markdown: a new line is not moved in, or it would be shown as code."""
    path = "lessons/own_words.ipynb"
    shutil.copy(server.root / "lessons" / "00_start_here.ipynb", server.root / path)
    page = open_lesson(path, wait_for=".labkit-asking").page
    page.get_by_role("button", name="Show the code").click()
    cell = page.locator(".jp-CodeCell", has_text="%%tell the ranch in numbers")
    cell.locator(".jp-Placeholder").click()
    words, shown = cell.get_by_role("textbox"), cell.locator(".jp-OutputArea")
    expect(shown).to_contain_text("the static level is 60 ft down")

    words.click()
    page.keyboard.press("Control+End")
    page.keyboard.type("\nThe float:\n\nDeep: {well.statc_level:length}")
    page.keyboard.press("Control+Enter")
    expect(shown.get_by_role("alert")).to_contain_text("the nearest is 'static_level'")
    expect(page.locator(".labkit-asking").first).to_be_visible()

    words.click()
    page.keyboard.press("Control+End")
    page.keyboard.press("Shift+Home")
    page.keyboard.type("Deep: {well.static_level:length}")
    page.keyboard.press("Control+Enter")
    expect(shown.locator("p").last).to_have_text("Deep: 60\N{NO-BREAK SPACE}ft")
    expect(shown.locator("pre")).to_have_count(0)


def test_what_was_said_comes_back_after_a_reload_and_on_the_next_page(open_lesson: Open) -> None:
    lesson = open_lesson(
        "lessons/01_pressure_tells_the_story.ipynb", wait_for=".labkit-asking", still=True
    )
    page = lesson.page
    progress, asked = page.locator(".labkit-progress"), page.locator(".labkit-asking").first
    expect(progress).to_have_text("0 of 7 answered")
    asked.get_by_role("radio").nth(1).check()
    asked.get_by_role("button").click()
    expect(progress).to_have_text("1 of 7 answered")
    header = page.locator(".labkit-header")
    header.get_by_role("group", name="Units").get_by_role("button", name="Metric").click()
    expect(page.get_by_text("18.3 m down")).to_be_visible()

    page.get_by_role("button", name="Next: 2").click()
    page.get_by_role("heading", name="Why it won't stop in haze").wait_for()
    page.locator("[data-labkit-run=ended]").first.wait_for()
    page.get_by_role("button", name="Previous: 1").click()
    page.locator("[data-labkit-run=ended]").first.wait_for()
    page.get_by_role("heading", name="How the gauge knows the trough is full").wait_for()

    expect(asked.get_by_role("status")).to_contain_text("You said on")
    expect(asked.get_by_role("radio").nth(1)).to_be_checked()
    expect(progress).to_have_text("1 of 7 answered")
    expect(page.get_by_text("18.3 m down")).to_be_visible()

    page.get_by_role("button", name="Start over").click()
    page.get_by_role("button", name="Forget my answers").click()
    expect(progress).to_have_text("0 of 7 answered")
    expect(asked.get_by_role("radio").nth(1)).not_to_be_checked()


def test_a_page_that_lost_its_kernel_says_so_and_starts_again(
    open_lesson: Open, server: "Server"
) -> None:
    """Whether its line breaks, or the list of sessions is the first to tell of it."""
    lesson = open_lesson(
        "lessons/01_pressure_tells_the_story.ipynb", wait_for=".labkit-asking", still=True
    )
    page = lesson.page
    asked = page.locator(".labkit-asking").first
    asked.get_by_role("radio").nth(1).check()
    asked.get_by_role("button").click()
    expect(page.locator(".labkit-progress")).to_have_text("1 of 7 answered")
    file = answers_of(server)  # the page says so a moment before it is written
    for _ in range(2000):
        if file.is_file() and "predicted" in file.read_text(encoding="utf-8"):
            break
        page.wait_for_timeout(50)

    for is_list_first in (False, True):
        if is_list_first:
            say_that_kernels_go_on(page)
        end_kernels(page)
        trouble = page.locator(".labkit-trouble")
        expect(trouble).to_contain_text("Your answers and settings are kept.")
        page.unroute_all()
        trouble.get_by_role("button", name="Start it again").click()

        expect(trouble).to_be_hidden()
        expect(asked.get_by_role("status")).to_contain_text("You said on")


def end_kernels(page: "Page") -> None:
    """End every kernel by its address, as another window does."""
    answers: list[int] = page.evaluate(
        """async () => {
          const found = await (await fetch('/api/sessions')).json();
          const key = document.cookie.match(/_xsrf=([^;]+)/);
          return Promise.all(found.map(async ({ kernel }) => (await fetch(`/api/kernels/${kernel.id}`,
            { method: 'DELETE', headers: { 'X-XSRFToken': key ? key[1] : '' } })).status));
        }"""
    )
    assert set(answers) == {204}, "nothing was ended"


def say_that_kernels_go_on(page: "Page") -> None:
    """Have the page told, whenever it asks for kernels, that those of now are well."""
    known: list[dict[str, object]] = page.evaluate(
        "async () => (await fetch('/api/kernels')).json()"
    )

    def answer(route: "Route") -> None:
        asked = route.request.url.partition("?")[0].rpartition("/")[2]
        found = [one for one in known if one["id"] == asked]
        if route.request.method == "GET":
            route.fulfill(json=found[0] if found else known)
        else:
            route.continue_()

    page.route("**/api/kernels**", answer)
    page.route("**/api/kernels/*", answer)


def test_a_kernel_that_dies_in_the_middle_of_a_move_comes_back_with_that_move(
    open_lesson: Open,
) -> None:
    lesson = open_lesson(
        "lessons/02_what_the_sun_can_push.ipynb", wait_for=".labkit-asking", still=True
    )
    page = lesson.page
    for asked in page.locator(".labkit-asking").all()[:2]:
        if asked.get_by_role("radio").count():
            asked.get_by_role("radio").first.check()
        else:
            asked.get_by_role("textbox").fill("30 psi")
        asked.get_by_role("button").click()
    haze = lesson.slider(HAZE)
    expect(haze).to_be_enabled()
    lesson.settle()
    box = haze.bounding_box()
    assert box is not None
    y, left, wide = box["y"] + box["height"] / 2, box["x"], box["width"]

    page.mouse.move(left + 0.05 * wide, y)
    page.mouse.down()
    for move in range(1, 21):
        page.mouse.move(left + (0.05 + 0.02 * move) * wide, y)
        if move == 10:
            kill_kernels(page)
    page.mouse.up()
    wanted = haze.get_attribute("aria-valuetext")
    trouble = page.locator(".labkit-trouble")
    expect(trouble).to_contain_text("Your answers and settings are kept.")
    assert page.locator(".jp-Dialog").count() == 0
    assert page.evaluate("!!document.querySelector('.labkit-live').closest('[inert]')")
    trouble.get_by_role("button", name="Start it again").click()

    expect(trouble).to_be_hidden()
    expect(lesson.slider(HAZE)).to_have_attribute("aria-valuetext", wanted or "")
    lesson.settle()
    lesson.press(HAZE, "ArrowRight")
    lesson.settle()
    assert lesson.bench.locator(".labkit-verdict").count() == 1


def kill_kernels(page: "Page") -> None:
    """Take away the processes behind a page, as a machine that is out of memory does."""
    found: list[str] = page.evaluate(
        "async () => (await (await fetch('/api/kernels')).json()).map(one => one.id)"
    )
    for process in psutil.process_iter(["cmdline"]):
        if any(kernel in word for kernel in found for word in process.info["cmdline"] or ()):
            process.kill()


def test_scripts_come_to_anybody_and_what_tells_of_a_learner_to_none(server: "Server") -> None:
    for name in ("words.js", "home.js", "home.css", "recorded_run.json"):
        with urllib.request.urlopen(f"{server.address}/labkit/{name}", timeout=60) as answer:  # noqa: S310
            assert answer.url.endswith(name)
    for name in ("", "state", "wrong"):
        with urllib.request.urlopen(f"{server.address}/labkit/{name}", timeout=60) as answer:  # noqa: S310
            assert "/login" in answer.url

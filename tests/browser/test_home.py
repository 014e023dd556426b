"""The home page as people meet it: there before the engine, moving, and its doors open."""

import os
import re
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.conftest import (
    CHECKOUT,
    START,
    TOKEN,
    _free_port,
    _private_home,
    complain,
    shout,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, ViewportSize

pytestmark = pytest.mark.browser

PROJECTOR: "ViewportSize" = {"width": 1024, "height": 768}
LEAST_TRACE = 50.0
"""Pixels of height under which a trace of pressure can't be read."""
LEAST_ON_A_WALL = 18.0
"""Pixels of a letter on a projector of that size: a fortieth of the height, common practice."""
WIDTHS = ((1366, 768), (820, 1180), (390, 844))
ALL_RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Start ``labkit open`` as a learner does, and give the address once it answers."""
    folder = tmp_path_factory.mktemp("home")
    port = _free_port()
    options = ["--no-browser", f"--port={port}", f"--token={TOKEN}"]
    with subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", START, "open", *options],
        cwd=CHECKOUT,
        env=_private_home(folder) | {"LABKIT_PROGRESS": str(folder / "mine.toml")},
        stdout=subprocess.DEVNULL,
    ) as process:
        address = f"http://127.0.0.1:{port}/labkit/?token={TOKEN}"
        for _ in range(300):
            try:
                urllib.request.urlopen(address, timeout=5).close()
            except urllib.error.HTTPError:
                break  # it answers, and asks for the cookie that only a browser brings
            except OSError:
                time.sleep(0.1)
        yield address
        process.send_signal(signal.SIGTERM)
        process.wait(30)


@pytest.fixture
def page(home: str, browser: "Browser") -> Iterator["Page"]:
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    page = context.new_page()
    outside: list[str] = []
    complaints: list[str] = []
    page.on("request", lambda r: None if "//127.0.0.1:" in r.url else outside.append(r.url))
    page.on("pageerror", lambda error: complain(complaints, error))
    page.goto(home)
    yield page
    assert [one for one in outside if not one.startswith(("data:", "blob:"))] == []
    assert complaints == []
    context.close()


def test_it_moves_before_anything_else_is_there_and_can_be_stopped(page: "Page") -> None:
    says = page.locator("#says")
    expect(says).to_contain_text("pm")
    first = says.inner_text()
    expect(says).not_to_have_text(first)

    page.get_by_role("button", name="Pause").focus()
    page.keyboard.press("Space")
    expect(page.get_by_role("button", name="Play")).to_be_focused()
    still = page.locator("#psi").text_content(), says.inner_text()
    page.wait_for_timeout(700)
    assert (page.locator("#psi").text_content(), says.inner_text()) == still

    time_of_day = page.get_by_role("slider", name="Time of day")
    time_of_day.focus()
    page.keyboard.press("Home")
    expect(says).to_have_text("12:00 pm")
    expect(time_of_day).to_have_attribute("aria-valuetext", "12:00 pm")
    page.keyboard.press("End")
    expect(says).to_have_text("1:00 pm")


def test_what_moves_speaks_the_language_of_its_files(page: "Page") -> None:
    shout(page)
    page.reload()
    page.locator("#list li").nth(14).wait_for()

    moving = ("#play", "#psi", "#pumpsays", "#grid text", "#list li > a")
    said = [one for part in moving for one in page.locator(part).all_text_contents()]
    assert {"PAUSE", "EXERCISE"} <= set(said)
    assert [one for one in said if re.search("[a-z]", one)] == []


def test_who_wants_no_motion_gets_none(page: "Page") -> None:
    page.emulate_media(reduced_motion="reduce")
    page.reload()

    expect(page.get_by_role("button", name="Play")).to_be_visible()
    expect(page.locator("#psi")).to_have_text("50 psi")  # the telling moment


@pytest.mark.parametrize("size", WIDTHS, ids=[f"{wide} px" for wide, _ in WIDTHS])
@pytest.mark.parametrize("door", ["", "wrong", "teach"])
def test_each_page_fits_and_can_be_read_at_any_width(
    page: "Page", size: tuple[int, int], door: str
) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(page.url.split("/labkit/")[0] + f"/labkit/{door}")
    if door == "wrong":
        page.locator("summary").first.click(timeout=120_000)
    if not door:
        page.locator("#list li").first.wait_for()

    assert page.evaluate("document.documentElement.scrollWidth") == size[0]
    found = Axe().run(page, options=ALL_RULES).response["violations"]
    assert [(one["id"], [node["html"][:90] for node in one["nodes"]]) for one in found] == []
    if folder := os.environ.get("PAGE_PICTURES"):
        page.screenshot(path=Path(folder) / f"home_{door}_{size[0]}.png", full_page=True)


def test_the_doors_lead_into_a_lesson_and_back(page: "Page") -> None:
    expect(page.locator("#ready")).to_have_text("Everything is ready.", timeout=240_000)
    assert page.get_by_role("link", name="Plan my line").get_attribute("href") != "#"

    page.get_by_role("link", name="How the gauge knows the trough is full").click()
    page.locator("[data-labkit-run=ended]").first.wait_for(timeout=120_000)
    page.get_by_role("link", name="Home").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("stock-water line")

    page.get_by_role("link", name="Something's wrong").click()
    page.get_by_text("It starts every few minutes").click(timeout=120_000)
    expect(page.get_by_text("Check in this order").and_(page.locator(":visible"))).to_have_count(1)
    page.get_by_role("link", name="Lesson 6").and_(page.locator(":visible")).first.click()
    page.get_by_role("heading", name="It cycles with nobody drinking: find the leak").wait_for(
        timeout=120_000
    )


def test_every_page_can_stand_on_a_wall_in_large_letters(page: "Page") -> None:
    page.set_viewport_size(PROJECTOR)
    page.goto(page.url.split("/labkit/")[0] + "/labkit/teach")
    page.get_by_role("link", name="Every page in large letters").and_(
        page.locator("[href*=large]")
    ).click(timeout=120_000)

    inside = page.frame_locator("iframe")
    for read in (".doors span", ".jp-MarkdownOutput p"):
        inside.locator(read).first.wait_for(timeout=120_000)
        frame = page.frames[1]
        wide, scrolled, letters = frame.evaluate(
            "read => [innerWidth, document.documentElement.scrollWidth, parseFloat(getComputedStyle(document.querySelector(read)).fontSize)]",
            read,
        )
        assert letters * PROJECTOR["width"] / wide >= LEAST_ON_A_WALL, read
        assert scrolled <= wide, read
        if read.startswith(".doors"):
            inside.locator("#list a[href*='lessons/01_']").click()
    expect(inside.get_by_role("link", name="Home")).to_be_visible()
    inside.locator(".labkit-live[data-shown]").first.wait_for(timeout=120_000)
    trace = page.frames[1].evaluate(
        "document.querySelector('.labkit-live').labkitBench.picture.layout.pressure.height"
    )
    assert trace >= LEAST_TRACE

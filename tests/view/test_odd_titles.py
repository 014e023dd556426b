"""A title with mathematics, HTML or format signs in it: shown as typed, in every picture and page."""

import html
import re
from typing import Any

import attrs
import pytest

import labkit as lab
from labkit import Lesson, OwnSite
from labkit.advice.water_budget import water_budget
from labkit.figures.paper import picture_png
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.view import own_site
from labkit.view.budget_picture import BudgetImage
from labkit.view.card_page import card_html
from labkit.view.map_picture import MapImage
from labkit.view.own_site import EXAMPLE
from labkit.view.window_picture import WindowImage
from labkit.view.window_told import window_lines

TITLES = [
    r"$\frac{1$", "$x$ and $y$", r"a \$5 gate", "<script>alert(1)</script>", "</title><img src=x onerror=x>",
    '"><b>', "{0} {title} {}", "%s %(x)s", "=1+1", "&amp;", "**bold** *", "` ```", "\N{PILE OF POO}", "x" * 80,
]  # fmt: skip


def titled(title: str) -> Site:
    return demo_site("first_line").changed({"title": title})


@pytest.fixture(scope="module")
def found() -> Any:
    """What a plain title finds; the pictures below are of it under other titles."""
    site = titled("Plain")
    trace = lab.simulate(site, "10 min", sun="700 W/m^2")
    across = lab.settings_map(site, "cut-out", "sun", cells=(3, 3))
    return lab.operating_window(site), across, water_budget(site, months=(7,)), trace


@pytest.mark.filterwarnings("ignore:Glyph .* missing from font")  # a box is drawn for it
@pytest.mark.parametrize("title", TITLES)
def test_pictures_show_it_as_typed(title: str, found: Any) -> None:
    site = titled(title)
    window, across, budget, trace = (attrs.evolve(one, site=site) for one in found)

    for picture in (
        WindowImage(window, "US").png, MapImage(across, "US").png, BudgetImage(budget, "US").png,
        picture_png(trace, "US"),
    ):  # fmt: skip
        assert picture.startswith(b"\x89PNG")
    assert any(title in line for line in window_lines(window, "US"))


@pytest.mark.filterwarnings("ignore:Glyph .* missing from font")
@pytest.mark.parametrize("title", TITLES)
def test_the_card_shows_it_as_typed_and_runs_nothing(title: str, found: Any) -> None:
    page = card_html(attrs.evolve(found[0], site=titled(title)), "US")

    heading = re.search(r"<h1>(.*?)</h1>", page)
    assert heading is not None
    assert title[:30] in html.unescape(heading[1])
    assert "<script" not in page
    assert "onerror=x>" not in page.replace(html.escape(title), "")


@pytest.mark.parametrize("broken", ["WindowImage", "card_html", "operating_window"])
def test_nothing_of_another_site_stays_when_a_part_cannot_be_made(
    monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    lesson = Lesson()
    own = OwnSite(lesson)
    own.text.value = EXAMPLE.replace("Willow Bend", "Earlier Ranch")
    own.work()
    own.window()
    own.card()

    def fails(*_: object, **__: object) -> object:
        raise ZeroDivisionError

    monkeypatch.setattr(own_site, broken, fails)
    own.text.value = EXAMPLE.replace("Willow Bend", "Later Ranch")
    own.work()

    for told in lesson.told:
        assert "Earlier Ranch" not in told.text
    assert any("ZeroDivisionError" in told.text for told in lesson.told)

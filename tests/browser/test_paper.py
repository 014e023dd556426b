"""A PDF made by the browser: it is one, it has pages, and its letters are letters."""

import re
import zlib
from pathlib import Path

import pytest

from labkit.view.key import plan
from labkit.view.paper import write_page

pytestmark = pytest.mark.browser


def test_a_page_becomes_a_pdf(tmp_path: Path) -> None:
    path = tmp_path / "two.pdf"
    write_page("<p>first</p><p style='break-before:page'>second</p>", path)

    data = path.read_bytes()
    streams = re.findall(rb"stream\r?\n(.*?)endstream", data, re.DOTALL)
    drawn = b"".join(zlib.decompressobj().decompress(one) for one in streams if one[:1] == b"x")
    assert data.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", data)) == 2
    assert b"BT" in drawn, "no text was set"


DAILY = {("03", "US"), ("08", "metric"), ("11", "metric"), ("13", "US")}
"""Each lesson in one system: its words and answers fill a page nearly as far in the other."""


@pytest.mark.parametrize(
    ("number", "system"),
    [
        pytest.param(number, system, marks=[] if (number, system) in DAILY else [pytest.mark.slow])
        for number in ("03", "08", "11", "13")
        for system in ("US", "metric")
    ],
)
def test_a_trainers_page_is_one_page(tmp_path: Path, number: str, system: str) -> None:
    (lesson,) = (Path(__file__).parents[2] / "lessons").glob(f"{number}_*.ipynb")
    path = tmp_path / "plan.pdf"
    write_page(plan(lesson, system=system), path)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", path.read_bytes())) == 1

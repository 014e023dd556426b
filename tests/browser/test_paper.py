"""A PDF made by the browser: it is one, it has pages, and its letters are letters."""

import re
import zlib
from pathlib import Path

import pytest

from labkit.view.paper import write_page
from labkit.view.plan import plan

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


@pytest.mark.parametrize("number", ["03", "08", "11", "13"])
def test_a_trainers_page_is_one_page(tmp_path: Path, number: str) -> None:
    (lesson,) = (Path(__file__).parents[2] / "lessons").glob(f"{number}_*.ipynb")
    for system in ("US", "metric"):
        path = tmp_path / f"{system}.pdf"
        write_page(plan(lesson, system=system), path)
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", path.read_bytes())) == 1

"""The sheet of mastery: what counts, what is told of it, and who may print it."""

import base64
import datetime as dt
import re
from pathlib import Path

import pytest

from labkit.cli import main
from labkit.questions.progress import Page, Plain, Result, keep_result
from labkit.view.mastery_sheet import mastery_page, sheet_link

NOON = dt.datetime.now().astimezone().replace(month=5, day=2, hour=12, microsecond=0)


def call(number: int, *, passed: bool = True, line: str = "unseen") -> Result:
    figures: dict[str, Plain] = {
        "number": number, "line": line, "ranch": f"Ranch {number}", "minutes": 31.0, "wrong": 0,
        "hints": 1,
    }  # fmt: skip
    return Result(task="service call", passed=passed, figures=figures, date=NOON)


def visit(number: int, *, passed: bool) -> Result:
    figures: dict[str, Plain] = {
        "number": number, "points": 87, "kind": "uphill, no tank", "readings missed": int(not passed),
        "slips": 0, "minutes": 190.0,
    }  # fmt: skip
    return Result(task="rig visit", passed=passed, figures=figures, date=NOON)


def sheet(*results: Result) -> str:
    return mastery_page({"Mina": {"lesson 12": Page(results=results)}})


def rows(page: str) -> list[list[str]]:
    found = re.findall(r"<tr>(.*?)</tr>", page)
    return [re.findall(r"<t[dh]>(.*?)</t[dh]>", one) for one in found]


def test_five_in_a_row_on_unseen_lines_and_a_whole_visit_are_mastery() -> None:
    page = sheet(visit(4, passed=True), *(call(number) for number in range(5)))

    assert page.count("\N{CHECK MARK}") == 2
    assert "\N{BALLOT BOX}" not in page
    assert "Mina" in page
    assert ["May 2", "Ranch 3", "3", "31", "0", "1", "passed"] in rows(page)
    assert ["May 2", "4", "uphill, no tank", "87", "0", "0", "190", "passed"] in rows(page)


def test_a_miss_breaks_the_row_and_a_second_visit_to_a_line_does_not_count() -> None:
    calls = (*(call(n) for n in range(4)), call(7, passed=False), call(8))
    page = sheet(visit(4, passed=False), visit(4, passed=True), *calls)

    assert page.count("\N{BALLOT BOX}") == 2
    assert "4 of 5" in page
    assert "0 of 1 line passed" in page


def test_nothing_done_is_said_and_a_name_is_only_text() -> None:
    page = mastery_page({"<script>": {}})

    assert page.count("None so far.") == 2
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


def test_a_learner_and_a_trainer_print_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "my_progress.toml"
    monkeypatch.setenv("LABKIT_PROGRESS", str(own))
    (tmp_path / "class").mkdir()
    keep_result(own, "lesson 11", visit(9, passed=True))
    keep_result(tmp_path / "class" / "ana.toml", "lesson 12", call(3))

    assert main(["mastery", "--out", str(tmp_path / "own.html")]) == 0
    assert main(["mastery", str(tmp_path / "class"), "--out", str(tmp_path / "all.html")]) == 0

    assert "uphill, no tank" in (tmp_path / "own.html").read_text(encoding="utf-8")
    assert "ana, " in (tmp_path / "all.html").read_text(encoding="utf-8")
    (data,) = re.findall(r'base64,([^"]*)"', sheet_link())
    assert "uphill, no tank" in base64.b64decode(data).decode()


def test_a_file_that_cannot_be_read_gives_no_link(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "my_progress.toml"
    own.write_text("[[[", encoding="utf-8")
    monkeypatch.setenv("LABKIT_PROGRESS", str(own))

    assert sheet_link() == ""

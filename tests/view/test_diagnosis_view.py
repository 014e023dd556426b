"""The page for a line with something wrong, used as its owner uses it."""

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

import labkit as lab
from labkit.questions.progress import ELSEWHERE, read_progress
from labkit.view.diagnosis_view import WrongLine
from labkit.view.keeping import MY_LINE

LEAKS = {
    "stop": "stops",
    "gauge at the stop": "31",
    "gauge after ten minutes": "21 psi",
    "start": "starts",
}


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "progress.toml"
    monkeypatch.setenv(ELSEWHERE, str(path))
    return path


def give(upload: Any, name: str, content: bytes) -> None:
    day = dt.datetime(2026, 5, 4, tzinfo=dt.UTC)
    kept = {"name": name, "type": "", "size": len(content), "last_modified": day}
    upload.value = ({**kept, "content": memoryview(content)},)


def fill_in(page: WrongLine, readings: dict[str, str]) -> None:
    for name, value in readings.items():
        page.boxes[name].entry.value = value


def test_readings_bring_causes_and_a_next_test_and_come_back(kept: Path) -> None:
    page = WrongLine()
    fill_in(page, LEAKS)
    assert page.readings["gauge at the stop"] == "31 psi", "a bare number has the box's unit"

    page.work.click()

    assert page.status.value == ""
    assert "buried leak" in page.found.value
    assert "ruled out" in page.found.value or "rule out" in page.found.value
    assert "Next test" in page.more.children[0].value
    fill_in(page, {"wellhead": "dry", "shutoff valve": "open"})
    page.work.click()
    assert "Caution: Keep hands out" in page.more.children[0].value
    assert "still runs in" in page.boxes, "the boxes of the next test stand under it"

    again = WrongLine()
    assert again.readings == page.readings
    assert set(read_progress(kept)[MY_LINE].state) == {"line", "readings"}


def test_a_complaint_stands_beside_its_box_and_loses_nothing(kept: Path) -> None:
    page = WrongLine()
    fill_in(page, {**LEAKS, "gauge filling": "31 ft^2"})

    assert "gauge filling is" in page.boxes["gauge filling"].said.value
    assert page.boxes["stop"].said.value == ""
    assert page.boxes["gauge filling"].entry.value == "31 ft^2"
    assert "gauge filling" not in page.readings
    assert "31 ft^2" in kept.read_text(encoding="utf-8")


@pytest.mark.usefixtures("kept")
def test_a_line_of_one_s_own_and_a_logger_s_table() -> None:
    page = WrongLine()
    text = (Path(lab.__file__).parents[1] / "lessons/sites/first_line.toml").read_bytes()

    give(page.upload, "mine.toml", text)
    assert lab.demo_site("first_line").title in page.line.value
    give(page.table, "log.csv", b"time (s),psi\n0,3\n1,x")
    assert "line 3" in page.status.value
    assert WrongLine().site == page.site


@pytest.mark.usefixtures("kept")
def test_a_line_that_cannot_be_diagnosed_is_refused_and_the_old_one_stays() -> None:
    page = WrongLine()
    text = (Path(lab.__file__).parents[1] / "lessons/sites/storage_tank.toml").read_bytes()

    give(page.upload, "tank.toml", text)

    assert "pressure switch" in page.status.value
    assert page.site == lab.demo_site("one_trough")


@pytest.mark.usefixtures("kept")
def test_every_reading_can_be_shown_each_under_how_it_is_taken() -> None:
    page = WrongLine()
    few = len(page.boxes)

    page.every.click()

    assert len(page.boxes) > 2 * few
    assert all(box.entry.description for box in page.boxes.values())

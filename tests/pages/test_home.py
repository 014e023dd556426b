"""The home page's own parts: what it lists, what it plays, what it writes of the checks."""

import datetime as dt
import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from labkit.pages.home import MAKE_CHECKS, Readiness, answer, lessons
from labkit.pages.recording import RECORDING, record
from labkit.questions.progress import ELSEWHERE, Given, keep_answer
from labkit.shipped import SHIPPED

READY = Readiness(share=1.0, words="Everything is ready.", lab="/doc/tree/PATH", checks=None)
CHECKS = [
    {
        "key": "over",
        "title": "The trough runs <over>",
        "suspects": [
            {
                "name": "worn float seat",
                "brief": "lets water by",
                "repair": "Replace the seat.",
                "cautions": "Lids are heavy.",
                "lesson": 9,
            }
        ],
        "checks": [
            {
                "do": "Look at the trough",
                "minutes": 2,
                "good": "The float is up.",
                "readings": [
                    {"says": "Water & more", "is_good": False, "means": ["worn float seat"]}
                ],
            }
        ],
    }
]


def asked(name: str, ready: Readiness = READY, root: Path = SHIPPED) -> str:
    found = answer(name, root, lambda: ready)
    assert found is not None
    return found[1].decode()


def test_the_recorded_run_is_what_the_engine_says() -> None:
    kept, fresh = json.loads(RECORDING.read_text(encoding="utf-8")), record()

    assert kept.keys() == fresh.keys()
    for name in ("pressure", "level", "flow"):
        off = np.abs(np.subtract(kept[name], fresh[name]))
        assert float(np.median(off)) < 0.02 * max(fresh[name]), f"{name}: record it anew"
    assert [words for _, words in kept["tells"]] == [words for _, words in fresh["tells"]]
    for (at, _), (now, _) in zip(kept["tells"], fresh["tells"], strict=True):
        assert at == pytest.approx(now, abs=20.0)


def lessons_on_disk() -> int:
    return len(list((SHIPPED / "lessons").glob("[0-9][0-9]_*.ipynb")))


def test_every_lesson_is_listed_with_its_exercise() -> None:
    listed = lessons(SHIPPED)

    assert [one["number"] for one in listed] == list(range(lessons_on_disk()))
    assert [one["number"] for one in listed if one["exercise"]] == list(range(1, 14))
    assert all((SHIPPED / one["path"]).is_file() for one in listed)


def test_a_lesson_has_one_name_here_and_on_its_own_page(tmp_path: Path) -> None:
    for found in lessons(SHIPPED):
        first = json.loads((SHIPPED / found["path"]).read_text(encoding="utf-8"))["cells"][0]
        assert "".join(first["source"]).startswith(f"# {found['number']} · {found['name']}\n")

    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons" / "07_a_torn_page.ipynb").write_text("{", encoding="utf-8")
    assert [found["name"] for found in lessons(tmp_path)] == ["A torn page"]


def test_what_was_answered_stands_beside_its_lesson(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(ELSEWHERE, str(tmp_path / "mine.toml"))
    given = Given(given="yes", outcome="right", date=dt.date(2026, 11, 3))
    keep_answer(tmp_path / "mine.toml", "lesson 4", "a question", given)

    kept = {one["number"]: one["kept"] for one in json.loads(asked("state"))["lessons"]}

    assert kept[4] == "1 answered, Nov 3"
    assert not any(words for number, words in kept.items() if number != 4)


def test_a_damaged_file_is_said_and_the_list_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "mine.toml").write_text("spoilt")
    monkeypatch.setenv(ELSEWHERE, str(tmp_path / "mine.toml"))

    state = json.loads(asked("state"))

    assert "repair it or delete it" in state["kept"]
    assert len(state["lessons"]) == lessons_on_disk()


def test_checks_that_are_not_there_yet_are_waited_for() -> None:
    page = asked("wrong")
    assert "data-waits" in page
    assert "being worked out" in page


def test_checks_are_written_with_their_lesson_and_nothing_is_taken_for_code() -> None:
    ready = Readiness(share=1.0, words="", lab="/doc/tree/PATH", checks=CHECKS)
    page = asked("wrong", ready)

    assert "The trough runs &lt;over&gt;" in page
    assert "Water &amp; more" in page
    assert '<a href="/doc/tree/lessons/09_how_the_float_closes.ipynb">Lesson 9' in page
    assert "Panels are live" in page or "panels are live" in page
    assert "data-waits" not in page


@pytest.mark.parametrize("name", ["../shell.py", "home.html.bak", "x", "recorded_run.json/.."])
def test_nothing_else_is_handed_out(name: str) -> None:
    assert answer(name, SHIPPED, lambda: READY) is None


def test_the_home_page_loads_nothing_slow() -> None:
    code = (
        "import sys, labkit.lab.home_server; "
        "slow = {'numba', 'numpy', 'pint', 'matplotlib', 'jupyterlab', 'ipywidgets', 'cattrs'}; "
        "print(sorted(slow & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603
    assert done.stdout.strip() == "[]"


def test_the_kept_checks_depend_on_every_room_they_are_worked_out_from() -> None:
    code = (
        "import sys, labkit.pages.wrong; from importlib.util import find_spec; "
        "names = {m.split('.')[1] for m in sys.modules if m.startswith('labkit.')}; "
        "print(*(n for n in names if find_spec(f'labkit.{n}').submodule_search_locations))"
    )
    run = [sys.executable, "-c", code]
    loaded = subprocess.run(run, capture_output=True, text=True, check=True)  # noqa: S603
    assert set(loaded.stdout.split()) - {"pages", "text"} == set(MAKE_CHECKS)

"""The learner's file: what goes in comes back, nothing in it is lost."""

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import LabkitError
from labkit.questions.progress import (
    ELSEWHERE,
    FILE,
    Given,
    keep_answer,
    progress_file,
    read_progress,
)

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
ANSWERS = st.builds(
    Given,
    given=TEXT,
    outcome=st.sampled_from(("right", "not yet", "predicted")),
    wrong=st.integers(0, 99),
    entry=st.none() | st.integers(0, 9) | TEXT,
    slips=st.lists(TEXT, max_size=3).map(tuple),
    date=st.dates(min_value=dt.date(2000, 1, 1)),
)


@given(st.dictionaries(st.tuples(TEXT, TEXT), ANSWERS, max_size=5))
def test_what_is_kept_comes_back(
    tmp_path_factory: pytest.TempPathFactory, answers: dict[tuple[str, str], Given]
) -> None:
    path = tmp_path_factory.mktemp("kept") / FILE

    for (page, question), answer in answers.items():
        keep_answer(path, page, question, answer)

    pages = read_progress(path)
    assert {
        (page, name): one for page, kept in pages.items() for name, one in kept.answers.items()
    } == answers


@pytest.mark.parametrize(
    "text",
    ["not toml at all", "x = 1", "[lesson]\nq = 3", "[l.q]\ngiven = 3\noutcome = 'right'",
     "[l.q]\ngiven = 'a'\noutcome = 'maybe'", "[l.q]\ngiven = 'a'\noutcome = 'right'\ndate = 'today'"],
)  # fmt: skip
def test_a_damaged_file_is_named_and_left_as_it_is(tmp_path: Path, text: str) -> None:
    path = tmp_path / FILE
    path.write_text(text)

    with pytest.raises(LabkitError, match=r"my_progress\.toml: .* repair it or delete it"):
        keep_answer(path, "lesson 1", "lift", Given(given="9 ft", outcome="right"))

    assert path.read_text() == text
    assert [one for one in tmp_path.iterdir() if one.suffix != ".lock"] == [path]


def test_it_lies_beside_the_lessons(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "lessons" / "deep").mkdir(parents=True)
    monkeypatch.delenv(ELSEWHERE, raising=False)
    monkeypatch.chdir(tmp_path / "lessons" / "deep")

    assert progress_file() == tmp_path / FILE

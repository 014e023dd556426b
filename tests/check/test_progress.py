"""The learner's file: what goes in comes back, nothing in it is lost, and a class can be tabulated."""

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.check.gradebook import Row, gradebook, write_gradebook
from labkit.check.progress import (
    ELSEWHERE,
    FILE,
    Given,
    keep_answer,
    progress_file,
    read_progress,
)
from labkit.cli import main
from labkit.errors import LabkitError

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


def test_a_class_is_tabulated(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    right, wrong = (
        Given(given="9 ft", outcome="right", wrong=2, slips=("feet for psi",)),
        Given(given="1 ft", outcome="not yet", wrong=1, slips=("feet for psi", "=cmd")),
    )
    for learner, answers in {
        "amber": {"lift": right, "rise": wrong},
        "basil": {"lift": wrong},
    }.items():
        for question, answer in answers.items():
            keep_answer(tmp_path / f"{learner}.toml", "lesson 1", question, answer)
    keep_answer(tmp_path / "basil.toml", "lesson 1", "first", Given(given="B", outcome="predicted"))
    (tmp_path / "clover.toml").write_text("nonsense")

    book = gradebook(tmp_path)

    assert book.rows == (
        Row(
            learner="amber",
            page="lesson 1",
            answered=2,
            right=1,
            wrong=3,
            predicted=0,
            slips=("feet for psi", "=cmd"),
        ),
        Row(
            learner="basil",
            page="lesson 1",
            answered=1,
            right=0,
            wrong=1,
            predicted=1,
            slips=("feet for psi", "=cmd"),
        ),
    )
    assert book.slips == [("=cmd", 2), ("feet for psi", 2)]
    assert [problem.split(":")[0] for problem in book.unread] == ["clover.toml"]
    write_gradebook(book.rows, tmp_path / "table.csv")
    assert (tmp_path / "table.csv").read_text().splitlines()[
        1
    ] == "amber,lesson 1,2,1,3,0,feet for psi; =cmd"
    assert main(["gradebook", str(tmp_path), "--out", str(tmp_path / "again.csv")]) == 0
    said = capsys.readouterr().out
    assert "1 of 2" in said
    assert "Mind: clover.toml" in said
    assert (tmp_path / "again.csv").read_bytes() == (tmp_path / "table.csv").read_bytes()


def test_no_text_of_a_learner_becomes_a_formula(tmp_path: Path) -> None:
    row = Row(learner="=1+1", page="@x", answered=0, right=0, wrong=0, predicted=0, slips=("-2",))
    write_gradebook([row], tmp_path / "t.csv")
    assert (tmp_path / "t.csv").read_text().splitlines()[1] == "'=1+1,'@x,0,0,0,0,'-2"


@pytest.mark.parametrize("make", [True, False])
def test_a_folder_without_files_is_said(
    tmp_path: Path, make: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "class"
    if make:
        folder.mkdir()

    assert main(["gradebook", str(folder)]) == 2
    assert str(folder) in capsys.readouterr().err

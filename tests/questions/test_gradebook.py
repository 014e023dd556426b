"""A class can be tabulated, and nothing that a learner wrote harms the trainer's screen or sheet."""

import csv
import datetime as dt
import os
import time
from pathlib import Path

import pytest

from labkit.cli import main
from labkit.questions.gradebook import Row, gradebook, write_gradebook
from labkit.questions.progress import Given, Result, keep_answer, keep_result

MONDAY, TUESDAY = dt.date(2026, 11, 23), dt.date(2026, 11, 24)
RIGHT = Given(given="9 ft", outcome="right", wrong=2, slips=("feet for psi",), date=MONDAY)
WRONG = Given(given="1 ft", outcome="not yet", wrong=1, slips=("feet for psi", "=cmd"), date=MONDAY)
AT_ONCE = Given(given="9 ft", outcome="right", date=TUESDAY)
GUESS = Given(given="B", outcome="predicted", date=MONDAY)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three learners' files, one of them damaged."""
    for learner, page, question, answer in (
        ("amber", "lesson 1", "lift", RIGHT),
        ("amber", "lesson 1", "rise", WRONG),
        ("amber", "lesson 10", "lift", AT_ONCE),
        ("amber", "lesson 2", "lift", RIGHT),
        ("basil", "lesson 1", "lift", WRONG),
        ("basil", "lesson 1", "first", GUESS),
    ):
        keep_answer(tmp_path / f"{learner}.toml", page, question, answer)
    call = Result(
        task="service call", passed=True, date=dt.datetime(2026, 11, 24, 9, tzinfo=dt.UTC)
    )
    keep_result(tmp_path / "basil.toml", "lesson 12", call)
    (tmp_path / "clover.toml").write_text("nonsense")
    return tmp_path


def test_a_class_is_tabulated(folder: Path) -> None:
    book = gradebook(folder)

    assert [(row.learner, row.page) for row in book.rows] == [
        ("amber", "lesson 1"), ("amber", "lesson 2"), ("amber", "lesson 10"),
        ("basil", "lesson 1"), ("basil", "lesson 12"),
    ]  # fmt: skip
    assert book.rows[0] == Row(
        learner="amber", page="lesson 1", answered=2, right=1, wrong=3, predicted=0,
        day=MONDAY, slips=("feet for psi", "=cmd"),
    )  # fmt: skip
    assert book.slips == [("=cmd", 2), ("feet for psi", 2)]
    assert [problem.split(":")[0] for problem in book.unread] == ["clover.toml"]


def test_it_says_who_is_where_and_what_is_hard(folder: Path) -> None:
    book = gradebook(folder)

    assert [(row.learner, row.page) for row in book.places] == [
        ("amber", "lesson 10"), ("basil", "lesson 12"),
    ]  # fmt: skip
    lift = next(one for one in book.questions if (one.page, one.question) == ("lesson 1", "lift"))
    assert (lift.learners, lift.at_once, lift.right, lift.wrong) == (2, 0, 1, 3)
    assert lift.slip == "feet for psi"
    first = next(one for one in book.questions if one.question == "first")
    assert first.predictions == (("B", 1),)


def test_the_commands_print_and_write_both_tables(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = folder / "class.csv"
    assert main(["gradebook", str(folder), "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert "1 of 2" in said
    assert "1 of 1" in said
    assert "Note: clover.toml" in said
    with out.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    assert rows[1] == [
        "amber",
        "lesson 1",
        "2",
        "1",
        "3",
        "0",
        "0",
        "0",
        "2026-11-23",
        "feet for psi; =cmd",
        "0",
    ]

    assert main(["gradebook", str(folder), "--questions", "--out", str(out)]) == 0
    assert "B (1)" in capsys.readouterr().out
    assert out.read_text(encoding="utf-8").startswith(
        "page,question,learners,at_once,right,wrong,slip"
    )


NASTY = "\x1b]0;gone\x07\x1b[2J\r\n\t=HYPERLINK(1)\N{RIGHT-TO-LEFT OVERRIDE}x"


@pytest.mark.parametrize(
    "start",
    [
        "=",
        "+",
        "-",
        "@",
        "\t=",
        "\n=",
        "\r\n=",
        " =",
        "\N{NO-BREAK SPACE}=",
        "\N{FULLWIDTH EQUALS SIGN}",
    ],
)
def test_no_text_of_a_learner_becomes_a_formula(tmp_path: Path, start: str) -> None:
    row = Row(
        learner=f"{start}1+1",
        page=f"{start}x",
        answered=0,
        right=0,
        wrong=0,
        predicted=0,
        slips=(f"{start}2",),
    )
    write_gradebook([row], tmp_path / "t.csv")
    with (tmp_path / "t.csv").open(newline="", encoding="utf-8") as file:
        cells = list(csv.reader(file))[1]
    assert all(cells[place][0] == "'" for place in (0, 1, 9))


def test_no_text_of_a_learner_reaches_the_terminal_as_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = tmp_path / f"{NASTY.replace('/', '')}.toml"
    answers = {
        NASTY: Given(given=NASTY, outcome="not yet", wrong=1, slips=(NASTY,)),
        f"{NASTY}2": GUESS,
    }
    for question, answer in answers.items():
        keep_answer(name, NASTY, question, answer)
    (tmp_path / f"{NASTY}2.toml").write_text("spoilt")
    (tmp_path / "lost.toml").symlink_to("nowhere")

    assert main(["gradebook", str(tmp_path)]) == 0
    assert main(["gradebook", str(tmp_path), "--questions"]) == 0

    said = capsys.readouterr().out
    assert all(sign.isprintable() or sign == "\n" for sign in said)


def test_pipes_and_endless_files_are_told_and_passed_over(folder: Path) -> None:
    os.mkfifo(folder / "pipe.toml")
    (folder / "zero.toml").symlink_to("/dev/zero")
    began = time.process_time()

    book = gradebook(folder)

    assert time.process_time() - began < 5.0
    assert {problem.split(":")[0] for problem in book.unread} == {
        "clover.toml",
        "pipe.toml",
        "zero.toml",
    }


def test_a_table_is_not_written_into_a_pipe(folder: Path) -> None:
    os.mkfifo(folder / "pipe")
    assert main(["gradebook", str(folder), "--out", str(folder / "pipe")]) == 2


@pytest.mark.parametrize("make", [True, False])
def test_a_folder_without_files_is_said(
    tmp_path: Path, make: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "class"
    if make:
        folder.mkdir()

    assert main(["gradebook", str(folder)]) == 2
    assert folder.name in capsys.readouterr().err

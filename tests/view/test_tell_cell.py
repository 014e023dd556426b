"""What a trainer writes in a cell that tells: values in braces, sums, and mistakes said at once."""

import contextlib
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

import labkit as lab
from labkit.errors import LabkitError
from labkit.view.tell_cell import KINDS, read_cell
from tests.customary import GPM, PSI
from tests.notebooks.visiting import lone_shell

NAMES: dict[str, Any] = {
    "high": 50.0 * PSI,
    "flow": {900: 3.0 * GPM, "elm": 2.0 * GPM},
    "runs": [30.0 * PSI, 40.0 * PSI],
    "site": lab.demo_site("first_line"),
    "month": "July",
    "never": math.inf,
    "lab": lab,
}


def told(words: str, head: str = "", system: str = "US", names: dict[str, Any] = NAMES) -> str:
    return str(read_cell(head, words, names).markdown(system).data).replace(
        "\N{NO-BREAK SPACE}", " "
    )


@pytest.mark.parametrize(("words", "us", "metric"), [
    ("Out at **{high:pressure}**.", "Out at **50 psi**.", "Out at **345 kPa**."),
    ("{flow[900]:flow}, {flow[elm]:flow}", "3 gpm, 2 gpm", "11.4 L/min, 7.6 L/min"),
    ("{runs[0]:pressure}", "30 psi", "207 kPa"),
    ("{site.troughs[0].pipe.rise:length}", "20 ft", "6.1 m"),
    ("in { month }, { high : pressure }", "in July, 50 psi", "in July, 345 kPa"),
    ("{{high}} is a name", "{high} is a name", "{high} is a name"),
    ("{high:pressure}, {high:small pressure}", "50 psi, 50.00 psi", "345 kPa, 344.74 kPa"),
])  # fmt: skip
def test_a_brace_stands_for_a_value_of_the_page(words: str, us: str, metric: str) -> None:
    """By hand: 50 psi are 344.74 kPa, 3 gpm 11.36 L/min, 20 ft 6.1 m."""
    assert (told(words), told(words, system="metric")) == (us, metric)


def test_sums_in_the_first_line_add_up_as_they_are_written() -> None:
    """By hand: 8.66 + 32.16 + 3.96 = 44.78; rounded one by one, 8.7 + 32.2 + 4.0 = 44.9."""
    parts = {"a": 8.66 * PSI, "b": {1: 32.16 * PSI}, "c": 3.96 * PSI, "whole": 44.78 * PSI}
    words = "{a:pressure} + {b[1]:pressure} + {c:pressure} = {whole:pressure}"

    assert told(words, names=parts).startswith("8.7 psi + 32.2 psi")
    assert told(words, "the gauge, where whole = a + b[1] + c", names=parts) == (
        "8.7 psi + 32.1 psi + 4.0 psi = 44.8 psi".replace(".0 ", " ")
    )


@pytest.mark.parametrize(("words", "said"), [
    ("At {hihg:pressure}", "{hihg:pressure}: nothing above is called 'hihg'; the nearest is 'high'"),
    ("{high:presure}", "{high:presure}: there is no kind 'presure'; the nearest is 'pressure'"),
    ("{high}", "{high}: high is no text; say its kind, as in {high:pressure}"),
    ("{month:count}", "{month:count}: month is a text, which has no kind; write {month}"),
    ("{flow[90]:flow}", "{flow[90]:flow}: nothing above is called '90'; the nearest is '900'"),
    ("{runs[2]:flow}", "{runs[2]:flow}: nothing above is called '2'; the nearest is '0'"),
    ("{site.pmp:flow}", "{site.pmp:flow}: nothing above is called 'pmp'; the nearest is 'pump'"),
    ("{lab:count}", "{lab:count}: nothing above is called 'lab'; the nearest is 'flow'"),
    ("{site:count}", "{site:count}: site is neither a number nor a text"),
    (
        "{site.well.static_level:flow}",
        "{site.well.static_level:flow}: site.well.static_level is 60 ft; a flow has a unit such as gpm",
    ),
    ("{never:clock}", "{never:clock}: never is inf, which is no clock"),
    ("{}", "{} names nothing; a value is {name:kind}"),
    ("{2 + 2:count}", "{2 + 2:count} names nothing; a value is {name:kind}"),
    (
        "a } b",
        "a brace stands alone in 'a } b'; a value is {name:kind}, a brace to be seen is doubled",
    ),
    (
        "one\nIt is {high:pressure\nnext",
        "a brace stands alone in 'It is {high:pressure'; a value is {name:kind}, a brace to be seen is doubled",
    ),
])  # fmt: skip
def test_a_mistake_is_said_in_one_sentence_that_names_the_brace(words: str, said: str) -> None:
    with pytest.raises(LabkitError) as mistake:
        read_cell("", words, NAMES)

    assert str(mistake.value) == said


@pytest.mark.parametrize(("head", "said"), [
    ("where a = b", "'a = b': no brace is called 'a'; the nearest is 'high'"),
    ("the rest, where high = high", "where high = high: that doesn't add up"),
    ("the rest, where high=month", "'high=month' is no sum; a sum is whole = part + part"),
])  # fmt: skip
def test_a_sum_that_is_none_is_said(head: str, said: str) -> None:
    with pytest.raises(LabkitError) as mistake:
        read_cell(head, "{high:pressure}", NAMES)

    assert str(mistake.value) == said


@given(st.text(alphabet="{}[]:.ab1 \n=*", max_size=30), st.sampled_from(KINDS))
def test_whatever_is_typed_is_told_or_refused(words: str, kind: str) -> None:
    for written in (words, f"{{{words}:{kind}}}", f"{{a:{kind}}}{words}"):
        with contextlib.suppress(LabkitError):
            read_cell(f", where {words}", written, {"a": 1.0, "b": [2.0]})


class Cells:
    """A shell in which a lesson has begun, and cells are run as JupyterLab runs them, by name."""

    def __init__(self, shell: InteractiveShell) -> None:
        self.shell: Any = shell
        self.run("setup", "import labkit as lab\nlesson = lab.Lesson()\nhigh = 344737.865")

    @property
    def lesson(self) -> Any:
        return self.shell.user_ns["lesson"]

    def run(self, name: str, source: str) -> list[str]:
        self.shell.parent_header = {"metadata": {"cellId": name}}
        with capture_output() as captured:
            self.shell.run_cell(source, store_history=False).raise_error()
        assert captured.stderr == ""
        return [
            str(one.data.get("text/markdown", one.data.get("text/html")))
            for one in captured.outputs
        ]


@pytest.fixture
def cells() -> Iterator[Cells]:
    with lone_shell() as shell:
        yield Cells(shell)


def test_a_cell_changes_its_units_with_the_page(cells: Cells) -> None:
    assert cells.run("story", "%%tell the story\nIt's {high:pressure}.") == [
        "It's 50\N{NO-BREAK SPACE}psi."
    ]

    cells.lesson.use("metric")

    assert cells.lesson.told[-1].text == "It's 345\N{NO-BREAK SPACE}kPa."


def test_a_mistake_is_shown_in_its_place_and_the_page_goes_on(cells: Cells) -> None:
    (shown,) = cells.run("story", "%%tell\nAt {hihg:pressure}, <b>bold</b>")
    assert "{hihg:pressure}: nothing above is called 'hihg'; the nearest is 'high'" in shown
    assert 'role="alert"' in shown

    (shown,) = cells.run("story", "%%tell\nIt is } <b>")
    assert "</b> A brace stands alone in 'It is } &lt;b&gt;'" in shown
    assert cells.run("next", "%%tell\nStill here.") == ["Still here."]
    cells.lesson.use("metric")


PREDICTS = """
from labkit.questions.keys import lesson_8
site = lab.demo_site("three_troughs")
asked = lesson.predict(lesson_8.highest_share(lab.steady(site, sun="400 W/m^2"), site))
lesson.compare()
"""


def test_words_that_explain_wait_but_not_for_whoever_changes_them(cells: Cells) -> None:
    cells.run("before", "%%tell\nBefore.")
    cells.run("ask", PREDICTS)
    assert cells.run("after", "%%tell\nBecause of {high:pressure}.") == [""]

    assert cells.run("after", "%%tell\nBecause of {high:pressure}!") == [
        "Because of 50\N{NO-BREAK SPACE}psi!"
    ]
    assert cells.run("before", "%%tell\nBefore!") == ["Before!"]


def test_a_page_that_is_run_anew_keeps_its_secrets(cells: Cells) -> None:
    for _ in range(2):
        cells.run("setup", "lesson = lab.Lesson()")
        cells.run("ask", PREDICTS)
        assert cells.run("after", "%%tell\nBecause.") == [""]


def test_a_sheet_of_paper_is_not_printed_with_a_mistake(cells: Cells) -> None:
    cells.lesson.for_paper()

    with pytest.raises(LabkitError, match="the nearest is 'high'"):
        cells.run("story", "%%tell\nAt {hihg:pressure}")

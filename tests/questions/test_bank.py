"""The bank: a trainer changes it without Python, and a mistake in it is told in one sentence."""

import importlib
import re
import tomllib
from pathlib import Path
from typing import Any, Final

import pytest

from labkit.questions import ChoiceQuestion, NumberQuestion, mark_number
from labkit.questions.bank import BankError, entry, fixed, over_bench
from labkit.questions.keys import lesson_3, line, outcome, slips
from labkit.questions.phrase import OTHER_KINDS
from labkit.sitefile import demo_site
from labkit.text import FOLDER, LANGUAGE, OWN_WORDS, SPOKEN
from labkit.view.telling import OTHER_KINDS as WRITERS
from labkit.view.telling import render
from tests.customary import PSI

BANK: Final = FOLDER / LANGUAGE / "questions"
SUBJECTS: Final = sorted(path.stem for path in BANK.glob("*.toml"))
KEYS: Final = Path(slips.__file__).parent
LESSONS: Final = Path(__file__).parents[2] / "lessons"


def at_rest() -> NumberQuestion:
    return line.at_rest("n", rise=10.0, weight=9800.0, friction=1e4, air=9e4)


def test_a_formula_reads_what_is_typed_and_gets_a_site_s_water() -> None:
    """A column of 2.31 ft makes a psi, 6894.757 Pa, and no friction counts at rest (common practice)."""
    asked = line.at_rest("n", site=demo_site("first_line"), rise="45 ft", friction="6 psi")
    (astray,) = (slip for slip in asked.slips if slip.name == "friction where nothing flows")

    assert asked.answer / PSI == pytest.approx(45.0 / 2.31, rel=2e-3)
    assert [(one - asked.answer) / PSI for one in astray.values] == pytest.approx([6.0, -6.0])


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A trainer's own folder, laid over what is shipped."""
    monkeypatch.setenv(OWN_WORDS, str(tmp_path))
    folder = tmp_path / LANGUAGE / "questions"
    folder.mkdir(parents=True)
    return folder


def test_every_kind_that_a_sentence_may_name_can_be_written() -> None:
    assert {*WRITERS, "column"} == OTHER_KINDS


@pytest.mark.parametrize("subject", SUBJECTS)
def test_every_question_of_the_bank_is_asked(subject: str) -> None:
    """By the formula of its name, or by its key where no formula is needed."""
    table = tomllib.loads((BANK / f"{subject}.toml").read_text(encoding="utf-8"))
    asking = (*KEYS.glob("*.py"), *BANK.glob("lesson_*.toml"))
    source = "".join(path.read_text(encoding="utf-8") for path in asking)
    if subject == "slips":
        assert [name for name in table["hints"] if f'"{name}"' not in source] == []
        return
    for name in table:
        told = subject == "stories"  # each by the exercise of its name
        module = importlib.import_module(f"labkit.questions.keys.{name if told else subject}")
        if told:
            assert callable(module.exercise)
            continue
        if subject.startswith("lesson_") and name.startswith("bench"):
            page = next(LESSONS.glob(f"{int(subject[7:]):02}_*.ipynb")).read_text(encoding="utf-8")
            assert re.search(r"lesson\.(bench|surge_bench|weigh)\(", page)
            assert name == "bench" or f'asks=\\"{name}\\"' in page, name
            continue
        drawn = subject == "tank" and name in {"cures", "tighter"}
        assert drawn or hasattr(module, name) or f'"{subject}.{name}"' in source, name


def test_a_trainer_changes_a_hint_and_a_question_without_python(own: Path) -> None:
    written = """
        [at_rest]
        ask = "Water is {rise:length} up. **What does the gauge read?**"
        tolerance = 0.1
        [at_rest.slips]
        "absolute for gauge" = "The gauge knows nothing of the sky."
    """
    (own / "line.toml").write_text(written, encoding="utf-8")

    asked = at_rest()

    assert render(asked.ask, "US").replace("\N{NO-BREAK SPACE}", " ") == (
        "Water is 33 ft up. **What does the gauge read?**"
    )
    assert mark_number(asked, "188 kPa").said.words == "The gauge knows nothing of the sky."
    assert mark_number(asked, "107 kPa").is_right
    assert asked.label == "Gauge at rest", "what is not changed stays"


def test_a_trainer_adds_a_choice_without_python(own: Path) -> None:
    written = """
        [color]
        ask = "**What color is water?**"
        hint = "Look again."
        options = [
          { words = "Blue", slip = "sky for water" },
          { words = "None", why = "It is clear.", right = true },
        ]
    """
    (own / "mine.toml").write_text(written, encoding="utf-8")

    asked = fixed("mine.color", "color of water")

    assert [option.said.words for option in asked.options] == ["Look again.", "It is clear."]
    assert (asked.answer, asked.options[0].slip) == (1, "sky for water")


MISTAKES: Final = {
    "ask = 3": "line.toml, at_rest, ask: 3 must be words in quotes or a table",
    "lable = 'Gauge'": "line.toml, at_rest, lable: it is not a field here; the fields are name, ask, ",
    "tolerance = '2 %'": "line.toml, at_rest, tolerance: '2 %' must be a number such as 0.02",
    "tolerance = 2.0": "line.toml, at_rest, tolerance: it must be more than 0 and less than 1",
    "kind = 'pressur'": "line.toml, at_rest, kind: 'pressur' must be one of count, pressure, ",
    "hints = []": "line.toml, at_rest, hints: there must be at least one",
    "hints = [7]": "line.toml, at_rest, hints, 1: 7 must be words in quotes",
    "reason = 'It is {depth:length}.'": "line.toml, at_rest, reason: {depth:length} is not among its "
    "values (rise, weight, friction, air, answer)",
    "reason = 'It is {rise:lenght}.'": "line.toml, at_rest, reason: {rise:lenght} needs one of the kinds ",
    "reason = 'It is {rise}.'": "line.toml, at_rest, reason: {rise} needs one of the kinds ",
    "slips = { 'read upside down' = 'Turn it.' }": "line.toml, at_rest, slips, read upside down: the "
    "formula knows no such slip; it knows 2.31 turned over, ",
}


@pytest.mark.parametrize("written", MISTAKES)
def test_a_mistake_is_told_by_file_question_field_and_rule(written: str, own: Path) -> None:
    (own / "line.toml").write_text(f"[at_rest]\n{written}\n", encoding="utf-8")

    with pytest.raises(BankError) as told:
        at_rest()

    said = str(told.value)
    assert said.startswith(MISTAKES[written])
    assert "\n" not in said


def test_a_file_that_is_no_toml_is_told_with_its_line(own: Path) -> None:
    (own / "line.toml").write_text('[at_rest]\nask = "no end\n', encoding="utf-8")

    with pytest.raises(BankError, match=r"^line.toml: it can't be read: .*line 2"):
        at_rest()


OPTIONS: Final = {
    "options = [{ words = 'Yes', why = 'So.' }]": "one must be right = true, not 0",
    "options = [{ why = 'So.', right = true }]": "option 1, words: the sentence is missing",
    "options = [{ words = 'Yes', right = true }]": "option 1, why: the sentence is missing",
    "options = [{ words = 'Yes', right = 'yes' }]": "option 1, right: 'yes' must be true or false",
    "options = ['Yes']": "option 1: it must be a table with words",
}


@pytest.mark.parametrize("written", OPTIONS)
def test_a_mistake_in_an_option_is_told(written: str, own: Path) -> None:
    (own / "mine.toml").write_text(f"[color]\nask = 'Is it?'\n{written}\n", encoding="utf-8")

    with pytest.raises(BankError) as told:
        fixed("mine.color", "n")

    assert OPTIONS[written] in str(told.value)
    assert str(told.value).startswith("mine.toml, color")


NAMES: Final = {"ask", "name", "gauge", "size"}
"""Fields that name something: wires and pipes begin with a number, and measure nothing."""

CHECKS: Final = {
    "ask = 'line.at_rest', name = 'n', friction = '6 psi'": "line.at_rest: missing a required argument: 'rise'",
    "ask = 'line.at_rest', name = 'n', rise = 'high', friction = '6 psi'": "line.at_rest, rise: "
    "'high': it has no number; write a length as a number and a unit, such as '30 ft' (",
    "ask = 'line.at_rest', name = 'n', rise = '6 psi', friction = '6 psi'": "line.at_rest, rise: "
    "'6 psi': psi measures a pressure; write a length as a number and a unit, such as '30 ft' (",
    "ask = 'line.at_rest', name = 'n', rise = ['45 ft'], friction = '6 psi'": "line.at_rest, rise: "
    "a list: write a length as a number and a unit, such as '30 ft' (",
    "ask = 'heights.lowest_cut_in', name = 'n', heights = { mesa = '58 psi' }": "heights.lowest_cut_in, "
    "heights, mesa: '58 psi': psi measures a pressure; write a length ",
    "ask = 'screw.cut_out_after', name = 'n', turns = '2 turns'": "screw.cut_out_after, turns: "
    "'2 turns': write a number without quotes and unit",
    "ask = 'contact.polarity', name = 'n', rise = '2 ft'": "contact.polarity, rise: the question has "
    "no formula to take it",
    "ask = 'line.at_rset', name = 'n'": "line.toml, at_rset: there is no such question",
    "ask = 'lime.at_rest', name = 'n'": "lime.toml, at_rest: there is no such question",
    "name = 'n'": "lesson_3.toml, checks: each needs ask, the key of a question",
}


@pytest.mark.parametrize("written", CHECKS)
def test_a_mistake_in_what_is_asked_at_the_end_is_told(written: str, own: Path) -> None:
    (own / "lesson_3.toml").write_text(f"checks = [{{ {written} }}]\n", encoding="utf-8")

    with pytest.raises(BankError) as told:
        lesson_3.checks(demo_site("first_line"))

    assert str(told.value).startswith(CHECKS[written])


def listed(subject: str) -> list[dict[str, Any]]:
    """Return what a lesson asks at its end, as it stands in the file."""
    table = tomllib.loads((BANK / f"{subject}.toml").read_text(encoding="utf-8"))
    return list(table.get("checks", []))


TYPED: Final = [
    (subject, place, field)
    for subject in SUBJECTS
    for place, one in enumerate(listed(subject))
    for field, value in one.items()
    if field not in NAMES and re.match(r"-?[\d.]+ [a-zA-Z]", str(value))
]


@pytest.mark.parametrize(("subject", "place", "field"), TYPED)
def test_what_is_typed_of_a_check_must_measure_what_is_meant(
    subject: str, place: int, field: str, own: Path
) -> None:
    """No lesson asks for a frequency."""
    checks = listed(subject)
    checks[place][field] = "7 MHz"
    (own / f"{subject}.toml").write_text(f"checks = {toml(checks)}\n", encoding="utf-8")
    ask = importlib.import_module(f"labkit.questions.keys.{subject}").checks

    with pytest.raises(BankError) as told:
        ask(demo_site("first_line"))

    start = f"{checks[place]['ask']}, {field}: '7 MHz': MHz measures a frequency; write "
    assert str(told.value).startswith(start)


def test_a_missing_option_is_told(own: Path) -> None:
    (own / "outcome.toml").write_text(
        "[what_happens]\noptions = [{ key = 'no stop', words = 'It runs on.', why = 'So.' }]\n",
        encoding="utf-8",
    )

    with pytest.raises(BankError, match="the option with the key 'sound stop' is missing"):
        outcome.what_happens("n", verdict="sound stop")


def test_a_question_that_is_nowhere_is_told() -> None:
    with pytest.raises(BankError, match=r"^line.toml, at_rset: there is no such question"):
        entry("line.at_rset")


def pseudo(text: object) -> Any:
    """Write a text of the bank in a language that nobody speaks: what stands in braces stays."""
    if isinstance(text, dict):
        kept = ("name", "kind", "key", "slip", "tolerance", "right", "checks")
        return {key: one if key in kept else pseudo(one) for key, one in text.items()}
    if isinstance(text, list):
        return [pseudo(one) for one in text]
    return re.sub(r"(\{[^}]*\})|([a-z])", lambda found: found[1] or "ø", str(text))


def toml(value: object) -> str:
    """Write a value as TOML on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{toml(key)} = {toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if isinstance(value, int | float) else f'"{value}"'


def test_a_language_is_one_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every question of lesson 3 in another language, with the numbers and slips of this one."""
    before = lesson_3.checks(demo_site("first_line"))
    folder = tmp_path / "eo" / "questions"
    folder.mkdir(parents=True)
    for path in BANK.glob("*.toml"):
        table = pseudo(tomllib.loads(path.read_text(encoding="utf-8")))
        lines = [f"{toml(name)} = {toml(one)}" for name, one in table.items()]
        (folder / path.name).write_text("\n".join(lines), encoding="utf-8")
    monkeypatch.setenv(OWN_WORDS, str(tmp_path))
    monkeypatch.setenv(SPOKEN, "eo")

    after = lesson_3.checks(demo_site("first_line"))

    for one, other in zip(before, after, strict=True):
        assert one.name == other.name
        assert one.ask != other.ask
        assert not re.search(r"[a-np-z]{4}", re.sub(r"\{.*?\}", "", other.ask.words))
        if isinstance(one, NumberQuestion) and isinstance(other, NumberQuestion):
            assert (one.answer, one.tolerance, one.kind) == (
                other.answer,
                other.tolerance,
                other.kind,
            )
            assert [slip.values for slip in one.slips] == [slip.values for slip in other.slips]
        elif isinstance(one, ChoiceQuestion) and isinstance(other, ChoiceQuestion):
            assert [option.slip for option in one.options] == [
                option.slip for option in other.options
            ]


def test_what_stands_over_a_bench_is_a_trainer_s_to_change(own: Path) -> None:
    (own / "lesson_8.toml").write_text('[bench]\ntext = "Who drinks last?"\n', encoding="utf-8")

    assert over_bench("lesson 8", "bench") == "Who drinks last?"
    assert "willow" in over_bench("lesson 8", "bench_2")
    assert over_bench("", "bench") == over_bench("lesson 8", "nothing") == ""

"""Marking: units, tolerance, slips, hints, and typed text that cannot be read."""

import numpy as np
import pytest

from labkit.errors import LabkitError
from labkit.questions import (
    ChoiceQuestion,
    NumberQuestion,
    Option,
    Outcome,
    Slip,
    draw,
    is_unambiguous,
    learner_number,
    mark_choice,
    mark_number,
    phrase,
    rng_of,
)
from tests.customary import PSI


def asked(**changes: object) -> NumberQuestion:
    """Ask for 20 psi; 46.2 psi (20 turned over by 2.31) is a known slip."""
    given: dict[str, object] = {
        "name": "n",
        "label": "Gauge",
        "ask": phrase("What does the gauge read?"),
        "answer": 20.0 * PSI,
        "kind": "pressure",
        "slips": (Slip(name="turned over", values=(46.2 * PSI,), hint=phrase("Turned over.")),),
        "hints": (phrase("First hint."), phrase("Smaller step.")),
        "reason": phrase("That is why."),
    }
    return NumberQuestion(**(given | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("typed", ["20 psi", "20psi", " 20.0 PSI ", "137.9 kPa", "1.379 bar"])
def test_the_same_pressure_is_right_in_any_unit(typed: str) -> None:
    marked = mark_number(asked(), typed)

    assert marked.is_right
    assert marked.said.words == "That is why."


@pytest.mark.parametrize(
    ("typed", "right"),
    [("20.99 psi", True), ("19.01 psi", True), ("21.01 psi", False), ("18.99 psi", False)],
)
def test_five_percent_either_way_counts_as_right(typed: str, right: bool) -> None:
    assert mark_number(asked(), typed).is_right is right


@pytest.mark.parametrize(
    ("typed", "close"), [("20.39 psi", False), ("20.41 psi", True), ("19.5 psi", True)]
)
def test_what_is_past_the_tolerance_but_near_is_told_the_answer(typed: str, close: bool) -> None:
    said = mark_number(asked(), typed).said.words

    assert said.endswith("That is why.")
    assert said.startswith("Close enough: {the answer}; no gauge") is close


@pytest.mark.parametrize(("typed", "right"), [("4.51 psi", True), ("4.49 psi", False)])
def test_half_a_pound_is_near_where_five_percent_are_less(typed: str, right: bool) -> None:
    """Five percent of 5 psi are a quarter of a pound, finer than any gauge's marks."""
    assert mark_number(asked(answer=5.0 * PSI, slips=()), typed).is_right is right


def test_a_length_that_is_near_is_not_about_gauges() -> None:
    said = mark_number(asked(answer=30.0, kind="length", slips=()), "95 ft").said.words

    assert said == "Close enough: {the answer}. That is why."


def test_a_slip_within_five_percent_of_the_answer_is_still_a_slip() -> None:
    slip = Slip(name="close by", values=(20.9 * PSI,), hint=phrase("Not that one."))

    assert mark_number(asked(slips=(slip,)), "20.9 psi").slip == "close by"


def test_a_wrong_answer_near_a_slip_gets_no_reason_that_is_not_its_own() -> None:
    """Where a tenth off is right, a tenth off the slip is not that slip: 44 is 5 % under 46.2."""
    marked = mark_number(asked(tolerance=0.1), "44 psi")

    assert (marked.slip, marked.said.words) == ("", "First hint.")


@pytest.mark.parametrize("typed", ["46.2 psi", "46 psi", "318.5 kPa"])
def test_a_known_slip_gets_its_own_hint(typed: str) -> None:
    marked = mark_number(asked(), typed)

    assert (marked.outcome, marked.slip) == (Outcome.NOT_YET, "turned over")
    assert marked.said.words == "Turned over."


def test_other_wrong_answers_get_one_hint_at_a_time() -> None:
    said = [mark_number(asked(), "3 psi", tries=tries).said.words for tries in range(4)]

    assert said == ["First hint.", "Smaller step.", "Smaller step.", "Smaller step."]


@pytest.mark.parametrize(
    "typed",
    [
        "", "   ", "psi", "20 ft", "20 gpm", "nan psi", "1e999 psi",
        "9**9**9 psi", "20 psi; rm", "{0.__class__}", "<b>20</b>", "x" * 5000, "20\n psi\x00",
        "\N{FULLWIDTH DIGIT TWO} psi",
    ],
)  # fmt: skip
def test_what_cannot_be_read_gets_one_sentence_and_is_no_try(typed: str) -> None:
    marked = mark_number(asked(), typed)

    assert marked.outcome is Outcome.UNREAD
    said = str(marked.said.amounts["problem"])
    assert "such as '30 psi'" in said
    assert len(said) < 200
    assert len(str(marked.checked.amounts["written"])) < 60


@pytest.mark.parametrize(("typed", "said"), [("20", "20"), ("about 20", "20"), ("½", "½")])
def test_a_number_alone_is_asked_what_it_counts(typed: str, said: str) -> None:
    marked = mark_number(asked(), typed)

    assert marked.outcome is Outcome.UNREAD
    assert marked.said.amounts["problem"] == f"{said} what? Choose psi or kPa."


@pytest.mark.parametrize("typed", ["about 20 psi", "20 lb", "20 PSI.", "19 1/2 psi"])
def test_answers_are_read_as_people_write_them(typed: str) -> None:
    assert mark_number(asked(), typed).is_right


@pytest.mark.parametrize(
    ("typed", "outcome"),
    [
        ("2", "right"),
        ("3", "not yet"),
        ("two", "right"),
        ("Twice", "right"),
        ("2 times", "right"),
        ("2.0", "right"),
        ("none", "not yet"),
        ("2.5", "unread"),
        ("a few", "unread"),
    ],
)
def test_a_count_has_no_unit(typed: str, outcome: str) -> None:
    assert mark_number(asked(answer=2.0, kind="count", slips=()), typed).outcome.value == outcome


@pytest.mark.parametrize(
    ("values", "clear"),
    [((46.2,), True), ((20.0,), False), ((20.7,), False), ((20.9,), True), ((46.2, 19.5), False)],
)
def test_a_slip_that_looks_like_the_answer_is_not_clear(
    values: tuple[float, ...], clear: bool
) -> None:
    """Within 2 % of 20 and within 2 % of 20.7 both lie 20.3; nothing lies so of 20 and 20.9."""
    slip = Slip(name="s", values=tuple(value * PSI for value in values), hint=phrase("s"))

    assert is_unambiguous(asked(slips=(slip,))) is clear


def test_two_slips_that_look_alike_are_not_clear() -> None:
    slips = tuple(
        Slip(name=str(value), values=(value * PSI,), hint=phrase("s")) for value in (40.0, 41.0)
    )

    assert not is_unambiguous(asked(slips=slips))


def pair(*right: bool) -> ChoiceQuestion:
    options = tuple(
        Option(words=phrase(f"Option {n}."), said=phrase(f"Said {n}."), is_right=one, slip=str(n))
        for n, one in enumerate(right)
    )
    return ChoiceQuestion(name="c", ask=phrase("Which?"), options=options)


def test_a_choice_is_marked_by_what_its_option_says() -> None:
    question = pair(False, True, False)

    assert question.answer == 1
    assert mark_choice(question, 1).is_right
    assert mark_choice(question, 2).said.words == "Said 2."
    assert mark_choice(question, 2).slip == "2"
    assert mark_choice(question, None).outcome is Outcome.UNREAD


@pytest.mark.parametrize("right", [(False, False), (True, True)])
def test_a_choice_has_one_right_answer(right: tuple[bool, ...]) -> None:
    with pytest.raises(ValueError, match="exactly one option must be right"):
        pair(*right)


def test_a_phrase_names_all_that_it_is_given_and_no_more() -> None:
    with pytest.raises(ValueError, match=r"\['depth'\] are named, \['height'\] are given"):
        phrase("{depth} down", height=(1.0, "length"))


@pytest.mark.parametrize("typed", ["17", " 17 ", 17], ids=repr)
def test_a_learner_number_is_digits(typed: str | int) -> None:
    assert learner_number(typed) == 17


@pytest.mark.parametrize("typed", ["", "-3", "1.5", "seventeen", "1" * 10, "1e3"])
def test_anything_else_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(LabkitError, match="write your own number with digits only, such as 17"):
        learner_number(typed)


def test_dice_are_a_learners_own() -> None:
    def thrown(learner: int, exercise: int) -> list[int]:
        return [int(n) for n in rng_of(learner, exercise=exercise).integers(0, 1000, 8)]

    assert thrown(17, 1) == thrown(17, 1)
    assert thrown(17, 1) != thrown(18, 1)
    assert thrown(17, 1) != thrown(17, 2)


def test_a_draw_is_repeated_until_it_is_good() -> None:
    def throw(rng: np.random.Generator) -> int:
        return int(rng.integers(1, 7))

    assert draw(throw, rng_of(1, exercise=1), is_good=lambda eyes: eyes == 6) == 6
    with pytest.raises(LabkitError, match="tell your trainer"):
        draw(throw, rng_of(1, exercise=1), is_good=lambda eyes: eyes == 7)

"""What only exercise 1 and lesson 1 ask; what every exercise keeps to is in test_exercises."""

from math import isclose

import pytest

from labkit.engine.run import simulate
from labkit.questions import (
    ChoiceQuestion,
    NumberQuestion,
    is_unambiguous,
    mark_choice,
    mark_number,
)
from labkit.questions.keys.exercise_1 import exercise
from labkit.questions.keys.lesson_1 import checks
from labkit.sitefile import demo_site
from tests.questions import by_hand
from tests.questions.solving import Page, read

LEARNERS = range(1, 21)


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_outcome_follows_from_the_first_three_answers(learner: int) -> None:
    """The three bounds of the window, put together by hand and held against the simulation."""
    given = exercise(learner)
    switch = given.site.pressure_switch
    cut_in, cut_out = (point.to("psi").magnitude for point in (switch.cut_in, switch.cut_out))
    answers = by_hand.exercise_1(Page(given, "US"))
    rest, most, filling = (
        float(answers[name].split()[0]) for name in ("at rest", "dead head", "while filling")
    )
    assert filling < cut_out
    expected = "stuck off" if rest > cut_in else "no stop" if most < cut_out else "sound stop"

    levels = {"elm": "14 in"}
    run = simulate(given.site, "1 hour", sun="900 W/m^2", start="12:00", levels=levels)
    chosen = next(asked for asked in given.questions if isinstance(asked, ChoiceQuestion))
    words = {"sound stop": "It works", "no stop": "It never stops", "stuck off": "It stops once"}
    assert run.verdict == given.verdict == expected
    assert chosen.options[chosen.answer].words.words.startswith(words[expected])


def slip_of(asked: NumberQuestion, typed: str) -> str:
    return mark_number(asked, typed).slip


def test_slips_of_the_lesson_by_hand() -> None:
    """A trough 45 ft up: 45/2.31 = 19.5 psi; air at 4600 ft weighs 12.4 psi (ISO 2533)."""
    rest, back, array = checks(demo_site("first_line"))
    assert isinstance(rest, NumberQuestion)
    assert isinstance(back, NumberQuestion)
    assert isinstance(array, ChoiceQuestion)

    assert mark_number(rest, "19.5 psi").is_right
    assert mark_number(rest, "134.5 kPa").is_right
    assert slip_of(rest, "104 psi") == "2.31 turned over"  # 45 x 2.31
    assert slip_of(rest, "1.4 kPa") == "2.31 turned over"  # 13.7 / 9.81
    assert slip_of(rest, "45 psi") == "height read as pressure"
    assert slip_of(rest, "25.5 psi") == "friction where nothing flows"  # 19.5 + 6
    assert slip_of(rest, "31.9 psi") == "absolute for gauge"  # 19.5 + 12.4
    assert mark_number(back, "26 psi").is_right  # 48 - 22
    assert slip_of(back, "48 psi") == "cut-out for cut-in"
    assert slip_of(back, "22 psi") == "differential for cut-in"
    assert slip_of(back, "70 psi") == "added the differential"
    assert is_unambiguous(rest)
    assert is_unambiguous(back)
    assert mark_choice(array, 2).is_right
    assert mark_choice(array, 0).slip == "bigger array, more dead-head pressure"


def test_all_outcomes_are_set() -> None:
    found = {exercise(learner).verdict for learner in LEARNERS}

    assert found == {"sound stop", "no stop", "stuck off"}


@pytest.mark.parametrize("learner", LEARNERS)
def test_what_the_tank_gives_up_follows_boyle(learner: int) -> None:
    """Source: Boyle's law by hand; 12.4 psi of air at 4600 ft (ISO 2533: 85.5 kPa)."""
    given = exercise(learner)
    asked = next(asked for asked in given.questions if asked.name == "time off")
    (held,) = read(Page(given, "US").asked[asked.name], "gal")
    switch, air = given.site.pressure_switch, 12.41
    low, high = (point.to("psi").magnitude + air for point in (switch.cut_in, switch.cut_out))

    assert isclose(held, 5.0 * (low - 2.0) * (1.0 / low - 1.0 / high), abs_tol=0.006)

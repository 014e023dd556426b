"""Exercise 1, solved as a learner solves it: from the words on the page, with 2.31 ft to a psi."""

import re
from math import isclose

import pytest

from labkit.check import ChoiceQuestion, NumberQuestion, is_clear, mark_choice, mark_number
from labkit.check.keys.exercise_1 import exercise
from labkit.check.keys.lesson_1 import checks
from labkit.engine.run import simulate
from labkit.sitefile import demo_site
from labkit.view.telling import filled

LEARNERS = range(1, 21)
PSI, GPM, FEET_TO_A_PSI, KPA_TO_A_METER = 6894.757, 6.30902e-5, 2.31, 9.81
UNITS = {
    "psi": PSI, "kPa": 1e3, "ft": 0.3048, "m": 1.0, "gal": 3.785411784e-3, "L": 1e-3,
    "gpm": GPM, "L/min": 1e-3 / 60.0,
}  # fmt: skip
_READ = re.compile(r"([\d,]+(?:\.\d+)?)\s(psi|kPa|ft|gpm|gal|L/min|L|m)\b")


def read(words: str, unit: str) -> list[float]:
    """Give the numbers with a unit, in the order in which they stand on the page."""
    found = _READ.findall(words.replace("\N{NO-BREAK SPACE}", " "))
    return [float(number.replace(",", "")) for number, its in found if its == unit]


def by_hand(learner: int, system: str) -> dict[str, str]:
    """Work the five sums from what the page says, and write each answer with its unit."""
    questions = {asked.name: asked for asked in exercise(learner).questions}
    page = {name: filled(asked.ask, system) for name, asked in questions.items()}
    length, pressure, volume, flow = (
        ("ft", "psi", "gal", "gpm") if system == "US" else ("m", "kPa", "L", "L/min")
    )

    def column(height: float) -> float:
        return height / FEET_TO_A_PSI if system == "US" else height * KPA_TO_A_METER

    (rise,), (shut_off, lift, _) = read(page["at rest"], length), read(page["dead head"], length)
    friction, valve = read(page["while filling"], pressure)
    (each,), (inflow,) = read(page["refill"], volume), read(page["refill"], flow)
    (held,), (leak,) = read(page["time off"], volume), read(page["time off"], flow)
    herd = int(page["refill"].split()[0].split("\N{NO-BREAK SPACE}")[0])
    return {
        "at rest": f"{column(rise):.1f} {pressure}",
        "dead head": f"{column(shut_off - lift):.1f} {pressure}",
        "while filling": f"{column(rise) + friction + valve:.1f} {pressure}",
        "refill": f"{herd * each / inflow:.1f} min",
        "time off": f"{held / leak:.2f} min",
    }


@pytest.mark.parametrize("system", ["US", "metric"])
@pytest.mark.parametrize("learner", LEARNERS)
def test_sums_from_the_page_are_right_in_either_system(learner: int, system: str) -> None:
    answers = by_hand(learner, system)

    for asked in exercise(learner).questions:
        if isinstance(asked, NumberQuestion):
            assert mark_number(asked, answers[asked.name]).is_right, (asked.name, answers)


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_outcome_follows_from_the_first_three_answers(learner: int) -> None:
    """The three bounds of the window, put together by hand and held against the simulation."""
    given = exercise(learner)
    switch = given.site.pressure_switch
    cut_in, cut_out = (point.to("psi").magnitude for point in (switch.cut_in, switch.cut_out))
    rest, most, filling = (
        float(by_hand(learner, "US")[name].split()[0])
        for name in ("at rest", "dead head", "while filling")
    )
    assert filling < cut_out
    expected = "stuck off" if rest > cut_in else "no stop" if most < cut_out else "sound stop"

    levels = {"hill": "14 in"}
    run = simulate(given.site, "1 hour", sun="900 W/m^2", start="12:00", levels=levels)
    chosen = next(asked for asked in given.questions if isinstance(asked, ChoiceQuestion))
    words = {"sound stop": "It works", "no stop": "It never stops", "stuck off": "It stops once"}
    assert run.verdict == given.verdict == expected
    assert chosen.options[chosen.answer].words.words.startswith(words[expected])


@pytest.mark.parametrize("learner", LEARNERS)
def test_every_slip_is_known_again_and_hinted_at(learner: int) -> None:
    fed = 0
    for asked in exercise(learner).questions:
        if isinstance(asked, ChoiceQuestion):
            for place, option in enumerate(asked.options):
                marked = mark_choice(asked, place)
                assert marked.is_right is (place == asked.answer)
                assert marked.said == option.said
            continue
        assert is_clear(asked)
        for slip in asked.slips:
            for value in slip.values:
                unit, size = ("psi", PSI) if asked.kind == "pressure" else ("min", 60.0)
                marked = mark_number(asked, f"{value / size:.6f} {unit}")
                assert (marked.slip, marked.said) == (slip.name, slip.hint), (asked.name, slip)
                assert "{" not in filled(slip.hint, "metric")
                fed += 1
    assert fed >= 20


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
    assert is_clear(rest)
    assert is_clear(back)
    assert mark_choice(array, 2).is_right
    assert mark_choice(array, 0).slip == "bigger array, more dead-head pressure"


def test_the_same_number_brings_the_same_line_and_neighbors_another() -> None:
    lines = [exercise(learner) for learner in (4, 4, 5)]

    assert lines[0] == lines[1]
    assert lines[0].site != lines[2].site
    assert lines[0].verdict != lines[2].verdict


def test_all_outcomes_are_set() -> None:
    found = {exercise(learner).verdict for learner in LEARNERS}

    assert found == {"sound stop", "no stop", "stuck off"}


@pytest.mark.parametrize("learner", LEARNERS)
def test_what_the_tank_gives_up_follows_boyle(learner: int) -> None:
    """Source: Boyle's law by hand; 12.4 psi of air at 4600 ft (ISO 2533: 85.5 kPa)."""
    given = exercise(learner)
    asked = next(asked for asked in given.questions if asked.name == "time off")
    (held,) = read(filled(asked.ask, "US"), "gal")
    switch, air = given.site.pressure_switch, 12.41
    low, high = (point.to("psi").magnitude + air for point in (switch.cut_in, switch.cut_out))

    assert isclose(held, 5.0 * (low - 2.0) * (1.0 / low - 1.0 / high), abs_tol=0.006)

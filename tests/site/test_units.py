"""The door: what people type, and what it is taken for."""

import math
import time
from fractions import Fraction

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import LabkitError, UnitError
from labkit.units import (
    UNITS,
    WORDS,
    plain,
    quantity,
    si,
    ureg,
    written,
)
from tests.strategies import texts


@pytest.mark.parametrize(
    ("text", "like", "expected"),
    [
        ("1 1/4 in", "in", 0.03175),  # 1 in = 25.4 mm exactly, international inch of 1959
        ("1-1/4 in", "in", 0.03175),
        ("1¼ in", "in", 0.03175),
        ("1 ¼ in", "in", 0.03175),
        ("1⁄4 in", "in", 0.00635),  # noqa: RUF001 - the fraction sign is the point
        ("½ in", "in", 0.0127),
        ("-1 1/4 in", "in", -0.03175),
        ("−3 ft", "ft", -0.9144),  # noqa: RUF001 - so is the minus sign
        ("+3 ft", "ft", 0.9144),
        ("120ft", "ft", 36.576),
        ("  120 \t FT ", "ft", 36.576),
        (".5 m", "ft", 0.5),
        ("5. m", "ft", 5.0),
        ("1e-05 m", "ft", 1e-5),
        ("1.5E3 mm", "ft", 1.5),
        ("30 psi", "psi", 206842.7188),  # 1 psi = 6894.757293 Pa, NIST SP 811 table B.8
        ("30 PSIG", "psi", 206842.7188),
        ("2 bar", "psi", 2e5),
        ("6 gpm", "gpm", 6 * 3.785411784e-3 / 60),  # 1 gal = 231 in3
        ("24 gal/day", "gpm", 24 * 3.785411784e-3 / 86400),
        ("20 L/min", "gpm", 20e-3 / 60),
        ("3.6 m³/h", "gpm", 1e-3),
        ("15140 drops/min", "gpm", 15140 * 0.25e-6 / 60),  # USGS drip calculator: 0.25 mL
        ("620 W/m²", "W/m^2", 620.0),
        ("1 hp", "W", 745.69987),  # NIST SP 811: 550 ft lbf/s
        ("32 degF", "degF", 273.15),
        ("-40 °C", "degF", 233.15),
        ("180 deg", "deg", math.pi),
        ("1 1/2 turns", "turns", 3.0 * math.pi),
        ("1 turn", "turns", 2.0 * math.pi),
        ("40 %", "%", 0.4),
        ("40%", "%", 0.4),
        ("1.2 ft/gpm", "ft/gpm", 1.2 * 0.3048 / (3.785411784e-3 / 60)),
        ("1 m/(L/min)", "ft/gpm", 6e4),
        ("about 20 psi", "psi", 20 * 6894.757293),
        ("~20 psi.", "psi", 20 * 6894.757293),
        ("20 lb", "psi", 20 * 6894.757293),  # a gauge's pound is a pound on a square inch
        ("20 pounds per square inch", "psi", 20 * 6894.757293),
        ("20'", "ft", 20 * 0.3048),
        ("1,800 ft", "ft", 1800 * 0.3048),
        ("5 ft 6 in", "ft", 66 * 0.0254),
        ("5' 6\"", "ft", 66 * 0.0254),
        ("5\N{RIGHT SINGLE QUOTATION MARK}6\N{RIGHT DOUBLE QUOTATION MARK}", "ft", 66 * 0.0254),
        ("5 ft, 6 1/2 in.", "ft", 66.5 * 0.0254),
        ("-5 ft 6 in", "ft", -66 * 0.0254),
        ('1¼"', "in", 0.03175),
        ("1\N{EN DASH}1/4-in.", "in", 0.03175),
        ("1 and 1/4 inches", "in", 0.03175),
        ("\N{EN DASH}3 ft", "ft", -0.9144),
        ("100 F", "degF", 310.9277778),  # (100 - 32) / 1.8 + 273.15
        ("30 degrees C", "degF", 303.15),
        ("2 hrs", "s", 7200.0),
        ("8 min 36 s", "s", 516.0),
        ("1 hr. 5 min. 3 secs", "s", 3903.0),
        ("6 gallons a minute", "gpm", 6 * 3.785411784e-3 / 60),
        ("6 g.p.m.", "gpm", 6 * 3.785411784e-3 / 60),
        ("6 gal / min", "gpm", 6 * 3.785411784e-3 / 60),
        ("60 drops per minute", "gpm", 60 * 0.25e-6 / 60),
        ("1,200 gals", "gal", 1200 * 3.785411784e-3),
        ("40 percent", "%", 0.4),
        ("3 Ω", "ohm", 3.0),
    ],
)
def test_text_is_taken_for_what_it_says(text: str, like: str, expected: float) -> None:
    read = quantity(text, like)

    assert si(read) == pytest.approx(expected, rel=1e-8)
    assert written(read) == " ".join(text.split())


HOSTILE = [
    "",
    " ",
    "30",
    "ft",
    "9**9**9 ft",
    "9**9**9**9 ft",
    "ft**9**9**9",
    "nan ft",
    "inf ft",
    "-inf ft",
    "infinity ft",
    "1e400 ft",
    "1e309 ft",
    "30 psi",
    "30 ft ^^^",
    "5 ft!",
    "1 ft @ 2",
    "3 ft; 4",
    "[1,2] ft",
    "12,5 ft",
    "12,00 ft",
    "1 200 ft",
    "1_000 ft",
    "6 in 3 ft",
    "3 ft 6",
    "5 ft 3",
    "5 ft 3 psi",
    "12 to 16 ft",
    "12\N{EN DASH}16 ft",
    "± 5 ft",
    "1/0 ft",
    "1 1/0 ft",
    "1.5 1/2 ft",
    "1..5 ft",
    "--3 ft",
    "- -3 ft",
    "1 -1/4 ft",
    "１２ ft",  # noqa: RUF001 - wide digits
    "٣ ft",
    "0x10 ft",
    "1e ft",
    "5 Gal",
    "5 furlong",
    "5 ft\x00",
    "5 ft\nin",
    "__import__('os').system('true') ft",
    "9" * 1_000_000 + " ft",
    "(" * 5000 + "1" + ")" * 5000 + " ft",
    "-" * 100_000 + "1 ft",
    "😀 ft",
]


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:20]))
def test_whatever_else_is_typed_is_refused_at_once(text: str) -> None:
    began = time.process_time()

    with pytest.raises(UnitError, match="write a length as a number and a unit, such as '"):
        quantity(text, "ft")

    assert time.process_time() - began < 0.05


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("20", "it has no unit; write a pressure as a number and a unit, such as '20 psi' ("),
        ("½", "it has no unit; write a pressure as a number and a unit, such as '1/2 psi' ("),
        ("20 ft", "ft measures a length; write a pressure"),
        ("20 psy", "'psy' is no known unit; write a pressure"),
        ("12\N{EN DASH}16 psi", "write one number, not a range; write a pressure"),
        ("1,5 psi", "write 1.5 with a decimal point; write a pressure"),
        ("> 20 psi", "the mark > is no part of a quantity; write a pressure"),
        ("20 psi ± 2", "the mark ± is no part of a quantity; write a pressure"),
        ("psi", "it has no number; write a pressure"),
        ("", "nothing is written; write a pressure"),
        ("20 psi 3", "it has more numbers than units; write a pressure"),
        ("20 psi 3 kPa", "it names two amounts; write one; write a pressure"),
    ],
)
def test_what_is_refused_is_told_about_that_very_mark(text: str, said: str) -> None:
    with pytest.raises(UnitError) as caught:
        quantity(text, "psi")

    assert str(caught.value).startswith(said)


@pytest.mark.parametrize("other", [30, 30.0, True, None, [30], {"ft": 3}, b"3 ft", Fraction(1, 2)])
def test_a_bare_number_is_refused(other: object) -> None:
    with pytest.raises(UnitError, match="write a length as a number and a unit"):
        quantity(other, "ft")  # type: ignore[arg-type]


def test_a_ready_quantity_passes_as_it_is() -> None:
    given_one = ureg.Quantity(3.0, "ft")

    assert quantity(given_one, "m") is given_one
    assert quantity(pint.Quantity(3.0, "ft"), "m") == given_one
    assert isinstance(quantity(ureg.Quantity(3, "ft"), "m").magnitude, float)


def test_a_ready_quantity_in_an_unlisted_unit_is_turned_into_a_listed_one() -> None:
    """Source: 1 furlong = 660 ft, NIST Handbook 44 appendix C (survey foot: 2e-6 longer)."""
    read = quantity(ureg.Quantity(1.0, "furlong"), "ft")

    assert quantity(written(read), "ft") == read
    assert si(read) == pytest.approx(660 * 0.3048, rel=1e-5)


@pytest.mark.parametrize(
    "made",
    [
        ureg.Quantity(math.nan, "ft"),
        ureg.Quantity(math.inf, "ft"),
        ureg.Quantity(np.array([1.0, 2.0]), "ft"),
        ureg.Quantity(1j, "ft"),
        ureg.Quantity(3.0, "psi"),
        ureg.Quantity(3.0),
    ],
    ids=str,
)
def test_a_ready_quantity_is_held_to_the_same_rules(made: pint.Quantity[float]) -> None:
    with pytest.raises(UnitError):
        quantity(made, "ft")


def test_an_angle_is_no_plain_number() -> None:
    with pytest.raises(UnitError, match="an angle"):
        quantity(ureg.Quantity(3.0), "deg")


@pytest.mark.parametrize(
    ("typed", "like"), [("90 deg", "turns"), ("2 turns", "deg"), ("40 %", "turns")]
)
def test_turns_of_a_screw_are_neither_an_angle_nor_a_share(typed: str, like: str) -> None:
    with pytest.raises(UnitError):
        quantity(typed, like)


def test_a_unit_error_is_of_the_family() -> None:
    assert issubclass(UnitError, LabkitError)


@pytest.mark.parametrize("word", UNITS)
def test_each_listed_word_reads_back(word: str) -> None:
    read = quantity(f"7 {word}", word)

    assert read.units == UNITS[word]
    assert quantity(f"7 {word.upper()}", word) == read
    assert quantity(written(ureg.Quantity(7.0, UNITS[word])), word) == read


def test_no_two_units_share_a_spelling() -> None:
    assert all(
        quantity(f"1 {spelling}", word).units == UNITS[word] for spelling, word in WORDS.items()
    )


@given(text=texts("ft", -3000.0, 3000.0))
def test_written_text_reads_back_as_equal(text: str) -> None:
    read = quantity(text, "ft")

    assert written(read) == text
    assert quantity(written(read), "ft") == read


@given(number=st.floats(-1e12, 1e12), word=st.sampled_from(["ft", "in", "mm", "km"]))
def test_a_computed_quantity_is_written_so_that_it_reads_back(number: float, word: str) -> None:
    made = ureg.Quantity(number, UNITS[word])

    read = quantity(written(made), "ft")

    assert read.magnitude == number
    assert read.units == UNITS[word]


@given(number=st.floats(allow_nan=False, allow_infinity=False))
def test_plain_keeps_the_number(number: float) -> None:
    assert float(plain(number)) == number


@given(text=st.text(max_size=70))
def test_no_text_does_anything_but_read_or_be_refused(text: str) -> None:
    try:
        read = quantity(text, "psi")
    except UnitError:
        return
    assert math.isfinite(si(read))


@given(whole=st.integers(0, 999), under=st.integers(1, 64), data=st.data())
def test_a_mixed_number_is_the_sum_of_its_parts(
    whole: int, under: int, data: st.DataObject
) -> None:
    over = data.draw(st.integers(0, under))

    read = quantity(f"{whole} {over}/{under} in", "in")

    assert read.magnitude == float(whole + Fraction(over, under))

"""What may not stand in a site file: each is refused in one sentence, at once."""

import re
import time
import tomllib
from pathlib import Path

import pytest

from labkit.errors import SiteError
from labkit.sitefile import DEMO_SITES, loads


def bare(ranch: str) -> str:
    """Give the text of a demo ranch without its notes, so that lines can be put in their place."""
    text = (DEMO_SITES / f"{ranch}.toml").read_text(encoding="utf-8")
    return re.sub(r" *#.*", "", text)


ONE, THREE = bare("one_trough"), bare("three_troughs")
CASES = tomllib.loads(Path(__file__).with_name("refusals.toml").read_text(encoding="utf-8"))["case"]


def refusal(text: str) -> str:
    """Read a text that must be refused, and give the sentence."""
    began = time.perf_counter()
    with pytest.raises(SiteError) as caught:
        loads(text, file="bad.toml")
    assert time.perf_counter() - began < 1.0
    sentence = str(caught.value)
    assert sentence.startswith("bad.toml: ")
    assert "\n" not in sentence
    assert len(sentence) < 400
    return sentence.removeprefix("bad.toml: ")


def put(line: str, instead: str, text: str = ONE) -> str:
    """Put one line in place of another that must be there."""
    assert text.count(line) == 1, line
    return text.replace(line, instead)


CUT_IN = 'cut_in = "15 psi"'
WRITE_PRESSURE = "write a pressure as a number and a unit, such as '30 psi' (psi, kPa, bar, Pa)"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("15", "15"),
        ("15.0", "15.0"),
        ("true", "true"),
        ("nan", "nan"),
        ("inf", "inf"),
        ("-inf", "-inf"),
        ('"15"', "'15'"),
        ('""', "''"),
        ('"psi"', "'psi'"),
        ('"nan psi"', "'nan psi'"),
        ('"inf psi"', "'inf psi'"),
        ('"15 ft"', "'15 ft'"),
        ('"9**9**9 psi"', "'9**9**9 psi'"),
        ('"1e999 psi"', "'1e999 psi'"),
        ('"15 psi; 16 psi"', "'15 psi; 16 psi'"),
        ("1979-05-27", "1979-05-27"),
        ("[15]", "a list"),
        ("{ psi = 15 }", "a table"),
    ],
)
def test_a_pressure_that_is_none(value: str, said: str) -> None:
    sentence = refusal(put(CUT_IN, f"cut_in = {value}"))

    assert sentence == f"pressure_switch.cut_in is {said}; {WRITE_PRESSURE}"


def test_a_long_value_is_shortened() -> None:
    sentence = refusal(put(CUT_IN, f'cut_in = "{"9" * 400} psi"'))

    assert re.match(
        r"pressure_switch.cut_in is '9{48}…'; it is longer than any quantity; ", sentence
    )


def test_a_huge_number_is_not_printed() -> None:
    sentence = refusal(put(CUT_IN, f"cut_in = 0x{'f' * 400}"))

    assert sentence == f"pressure_switch.cut_in is a huge number; {WRITE_PRESSURE}"


@pytest.mark.parametrize(
    "case",
    CASES,
    ids=[f"{i} {case['sentence'].split(' is ')[0]}" for i, case in enumerate(CASES, start=1)],
)
def test_what_is_wrong_in_a_file(case: dict[str, str]) -> None:
    assert refusal(put(case["line"], case["instead"], bare(case["ranch"]))) == case["sentence"]


def test_a_tee_that_nothing_leads_on_from() -> None:
    assert refusal(THREE.replace('{ from = "upper tee"', '{ from = "lower tee"')) == (
        "pipe.upper tee.to is 'upper tee'; nothing leads on from there; lead a pipe on to a trough,"
        " or leave this one out"
    )


@pytest.mark.parametrize(
    ("before", "sentence"),
    [
        ("", "trough is missing; write each one as a table of its own, under [[trough]]"),
        (
            "trough = []\n",
            "trough is an empty list; write at least one trough, under [[trough]]",
        ),
        ("trough = [3]\n", "trough.1 is 3; write it as a table of keys and values"),
    ],
    ids=["missing", "empty", "no tables"],
)
def test_a_site_without_troughs(before: str, sentence: str) -> None:
    assert refusal(before + ONE.split("[[trough]]", maxsplit=1)[0]) == sentence


def test_more_troughs_than_can_be_computed() -> None:
    trough = "[[trough]]" + ONE.split("[[trough]]")[1]
    many = ONE + "\n".join(trough.replace('"lane"', f'"t{i}"') for i in range(200))

    assert "write 200 at most" in refusal(many)


def test_a_line_that_climbs_out_of_reach() -> None:
    steep = THREE.replace('"5 ft"', '"890 ft"').replace('"12 ft"', '"1190 ft"')
    steep = put('length = "600 ft"', 'length = "6000 ft"', steep)
    sentence = refusal(put('rise = "16 ft"', 'rise = "2000 ft"', steep))

    assert sentence == (
        "trough.lookout.pipe.rise is 2000 ft; with the runs before it, it must stay within 3000 ft of"
        " the manifold's height"
    )

"""What may not stand in a site file: each is refused in one sentence, at once."""

import re
import time
import tomllib
from pathlib import Path

import pytest

from labkit.errors import SiteError, SiteErrors
from labkit.sitefile import DEMO_SITES, loads


def bare(ranch: str) -> str:
    """Give the text of a demo ranch without its notes, so that lines can be put in their place."""
    text = (DEMO_SITES / f"{ranch}.toml").read_text(encoding="utf-8")
    return re.sub(r" *#.*", "", text)


ONE, THREE = bare("one_trough"), bare("three_troughs")
CASES = tomllib.loads(Path(__file__).with_name("refusals.toml").read_text(encoding="utf-8"))["case"]


def refusal(text: str) -> str:
    """Read a text that must be refused, and give the sentence."""
    began = time.process_time()
    with pytest.raises(SiteError) as caught:
        loads(text, file="bad.toml")
    assert time.process_time() - began < 1.0
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
        ('""', "''; nothing is written"),
        ('"psi"', "'psi'; it has no number"),
        ('"nan psi"', "'nan psi'; it has no number"),
        ('"inf psi"', "'inf psi'; it has no number"),
        ('"15 ft"', "'15 ft'; ft measures a length"),
        ('"9**9**9 psi"', "'9**9**9 psi'; the mark * is no part of a quantity"),
        ('"1e999 psi"', "'1e999 psi'"),
        ('"15 psi; 16 psi"', "'15 psi; 16 psi'; the mark ; is no part of a quantity"),
        ('"15 to 16 psi"', "'15 to 16 psi'; write one number, not a range"),
        ("1979-05-27", "1979-05-27"),
        ("[15]", "a list"),
        ("{ psi = 15 }", "a table"),
    ],
)
def test_a_pressure_that_is_none(value: str, said: str) -> None:
    sentence = refusal(put(CUT_IN, f"cut_in = {value}"))

    assert sentence == f"pressure_switch.cut_in is {said}; {WRITE_PRESSURE}"


def test_a_pressure_without_a_unit_is_given_back_with_one() -> None:
    sentence = refusal(put(CUT_IN, 'cut_in = "15"'))

    advice = WRITE_PRESSURE.replace("30 psi", "15 psi")
    assert sentence == f"pressure_switch.cut_in is '15'; it has no unit; {advice}"


@pytest.mark.parametrize(
    ("line", "instead", "as_if"),
    [
        (CUT_IN, 'cut_in = "about 15 lb."', CUT_IN),
        ('length = "1500 ft"', "length = \"1,500'\"", 'length = "1500 ft"'),
        ('kind = "cow with calf"', 'kind = "Cow-calf pairs"', 'kind = "cow with calf"'),
        ('kind = "cow with calf"', 'kind = "Dry cows"', 'kind = "dry cow"'),
        ('kind = "cow with calf"', 'kind = "600-lb growing calves"', 'kind = "growing calf 600 lb"'),
        ('kind = "solar"', 'kind = "Grid-powered"', 'kind = "mains"'),
        (
            'cut_out = "30 psi"',
            'cut_out = "30 psi"\naction = "standard"',
            'cut_out = "30 psi"\naction = "opens on rise"',
        ),
        (
            'cut_out = "30 psi"',
            'cut_out = "30 psi"\nwire = { gauge = "#18", length = "20 ft" }',
            'cut_out = "30 psi"\nwire = { gauge = "18 AWG", length = "20 ft" }',
        ),
        (
            'kind = "cow with calf"',
            'kind = "cow with calf", visits = ["7 am", "12:30 p.m.", "18:00"]',
            'kind = "cow with calf", visits = ["07:00", "12:30", "18:00"]',
        ),
        ('rated_power = "620 W"', 'rated_power = "620 watts"\nfaces = "SW"',
         'rated_power = "620 W"\nfaces = "south-west"'),
    ],
)  # fmt: skip
def test_what_people_write_is_read(line: str, instead: str, as_if: str) -> None:
    read, wanted = (loads(put(line, text)) for text in (instead, as_if))

    assert read == wanted


@pytest.mark.parametrize(
    "size", ['1¼" poly pipe, SIDR-15', "1-1/4-in. SIDR 15 poly", "1.25 inch pe sidr15"]
)
def test_a_pipe_is_found_however_its_size_is_written(size: str) -> None:
    site = loads(put('"1 1/4 in PE SIDR 15"', f"'{size}'"))

    assert site.troughs[0].pipe.row.size == "1 1/4 in PE SIDR 15"


def test_several_complaints_come_together() -> None:
    text = put(CUT_IN, 'cut_in = "15"')
    text = put('static_level = "60 ft"', 'static_lvel = "60 ft"', text)
    text = put('name = "lane"', 'name = "<b>"', text)
    text = put("head = 40", "head = -1", text)

    with pytest.raises(SiteError) as caught:
        loads(text, file="bad.toml")

    assert isinstance(caught.value, SiteErrors)
    starts = [
        "bad.toml: well.static_lvel is not a known key; the nearest known key is 'static_level'",
        "bad.toml: pressure_switch.cut_in is '15'; it has no unit; ",
        "bad.toml: trough.1.name is '<b>'; ",
        "bad.toml: trough.1.herd.head is -1; it must lie between 0 and 10000",
    ]
    lines = str(caught.value).split("\n")
    assert len(lines) == len(starts) == len(caught.value.problems)
    for line, start in zip(lines, starts, strict=True):
        assert line.startswith(start)


def test_of_very_many_complaints_only_some_are_told() -> None:
    keys = "\n".join(f"key_{n} = 1" for n in range(30))

    with pytest.raises(SiteErrors) as caught:
        loads(ONE.replace("[place]", f"{keys}\n[place]"))

    lines = str(caught.value).split("\n")
    assert len(lines) == 21
    assert lines[-1] == "and more like these"


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

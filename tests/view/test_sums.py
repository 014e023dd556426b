"""Sums in prose add up as they are written, whatever rounding does to their parts."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.questions import Phrase, phrase
from labkit.units import UNIT_SYSTEMS
from labkit.view.telling import adding_up, render
from tests.customary import PSI

WORDS = "{climb:pressure} + {rub:pressure} + {valve:pressure} = {gauge:pressure}"
SUM = ["gauge = climb + rub + valve"]


def written_out(words: str, amounts: dict[str, float]) -> Phrase:
    """Put amounts [SI] into words that say their kinds."""
    kinds = dict(re.findall(r"\{(\w+):([\w ]+)\}", words))
    given = {name: (value, kinds[name]) for name, value in amounts.items()}
    return phrase(re.sub(r":[\w ]+\}", "}", words), **given)


def numbers(text: str) -> list[float]:
    plain = text.replace(",", "").replace("\N{MINUS SIGN}", "-")
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", plain)]


def test_parts_that_rounding_would_spoil_give_way() -> None:
    """By hand: 8.66 + 32.16 + 3.96 = 44.78; rounded one by one, 8.7 + 32.2 + 4.0 = 44.9."""
    parts = {"climb": 8.66 * PSI, "rub": 32.16 * PSI, "valve": 3.96 * PSI}
    words = written_out(WORDS, parts | {"gauge": 44.78 * PSI})

    *told, total = numbers(render(adding_up(words, SUM, "US"), "US"))

    assert total == 44.8
    assert sum(told) == pytest.approx(44.8)
    assert told == pytest.approx([8.7, 32.1, 4.0])  # 32.16 lay nearest to being rounded down


@given(st.lists(st.floats(1.0, 500.0), min_size=3, max_size=3), st.sampled_from(["US", "metric"]))
def test_any_three_parts_add_up_and_none_is_off_by_a_unit(parts: list[float], system: str) -> None:
    amounts = dict(zip(("climb", "rub", "valve"), (1e3 * part for part in parts), strict=True))
    words = written_out(WORDS, amounts | {"gauge": sum(amounts.values())})

    *told, total = numbers(render(adding_up(words, SUM, system), system))

    unit, last = (PSI / 1e3, 0.1) if system == "US" else (1.0, 1.0)
    assert sum(told) == pytest.approx(total, abs=1e-6)
    for said, part in zip(told, parts, strict=True):
        assert abs(said - part / unit) < last + 1e-6


KINDS = ("pressure", "small pressure", "flow", "small flow", "volume", "small volume", "length")
signed = st.floats(-300.0, 300.0).filter(lambda value: abs(value) > 0.05)


@given(
    st.lists(signed, min_size=2, max_size=3), st.sampled_from(["US", "metric"]),
    st.sampled_from(KINDS),
)  # fmt: skip
def test_parts_of_either_sign_add_up_in_every_kind(
    shown: list[float], system: str, kind: str
) -> None:
    factor = UNIT_SYSTEMS[system][kind.removeprefix("small ")].factor
    parts = {f"part{place}": value * factor for place, value in enumerate(shown)}
    text = " ".join(f"{{{name}:{kind}}}" for name in (*parts, "total"))
    words = written_out(text, parts | {"total": sum(parts.values())})

    *told, total = numbers(
        render(adding_up(words, [f"total = {' + '.join(parts)}"], system), system)
    )

    assert sum(told) == pytest.approx(total, abs=1e-6)


@given(
    st.floats(0.05, 30.0), st.floats(0.05, 30.0), st.floats(0.05, 30.0),
    st.sampled_from(["US", "metric"]),
)  # fmt: skip
def test_a_part_of_a_small_and_of_a_great_sum(
    s: float, one: float, two: float, system: str
) -> None:
    """The table of lesson 7, with any leak: 8.0 = 3.4 + 4.6 beside 14 = 3.4 + 10.6."""
    factor = UNIT_SYSTEMS[system]["volume"].factor
    amounts = {"s": s, "d": one, "e": two, "v": s + one, "w": s + two}
    words = written_out(
        "{s:volume} {d:volume} {e:volume} {v:volume} {w:volume}",
        {name: value * factor for name, value in amounts.items()},
    )

    told = numbers(render(adding_up(words, ["v = s + d", "w = s + e"], system), system))

    assert told[0] + told[1] == pytest.approx(told[3])
    assert told[0] + told[2] == pytest.approx(told[4])


@pytest.mark.parametrize("total", [199.65, 1.05, 0.25])
def test_a_total_reads_as_it_does_elsewhere(total: float) -> None:
    words = written_out("{a:pressure} {b:pressure} {total:pressure}", {
        "a": 0.5 * total * PSI, "b": 0.5 * total * PSI, "total": total * PSI,
    })  # fmt: skip

    told = render(adding_up(words, ["total = a + b"], "US"), "US")

    assert told.split(" ")[2] == render(words, "US").split(" ")[2]


@pytest.mark.parametrize("odd", [float("inf"), float("nan")])
def test_what_cannot_be_added_is_refused(odd: float) -> None:
    words = written_out("{a:pressure} {b:pressure} {c:clock}", {"a": odd, "b": 1.0, "c": 2.0})

    for each in ("a = b", "c = b"):
        with pytest.raises(ValueError, match="nothing that can be added"):
            adding_up(words, [each], "US")


def test_a_part_of_two_sums_is_the_same_in_both() -> None:
    words = written_out(
        "{a:pressure} {b:pressure} {c:pressure} {d:pressure} {e:pressure}",
        {"a": 8660.0, "b": 1160.0, "c": 9820.0, "d": 2460.0, "e": 11120.0},
    )

    a, b, c, d, e = numbers(
        render(adding_up(words, ["c = a + b", "e = a + d"], "metric"), "metric")
    )

    assert (a, c, e) == (9.0, 10.0, 11.0)
    assert (b, d) == (1.0, 2.0)


def test_a_part_in_brackets_stays_as_it_is() -> None:
    """Rounded one by one, 8.6 + 1.6 = 10.2 reads 9 + 2 = 10."""
    words = written_out(
        "{a:pressure} {b:pressure} {c:pressure}", {"a": 8.6e3, "b": 1.6e3, "c": 10.2e3}
    )

    told = [
        numbers(render(adding_up(words, [each], "metric"), "metric"))
        for each in ("c = a + [b]", "c = [a] + b")
    ]

    assert told == [[8.0, 2.0, 10.0], [9.0, 1.0, 10.0]]


@pytest.mark.parametrize("sums", [["gauge = climb + rub"], ["climb = gauge + rub"]])
def test_what_is_no_sum_is_refused(sums: list[str]) -> None:
    amounts = {"climb": 1e4, "rub": 2e4, "valve": 3e4, "gauge": 6e4}

    with pytest.raises(ValueError, match="is not the sum of"):
        adding_up(written_out(WORDS, amounts), sums, "US")

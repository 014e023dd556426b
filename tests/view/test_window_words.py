"""What is said of an operating window: every number from the window, every case in words."""

from __future__ import annotations

import re
from math import ceil, floor
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

import attrs
import pytest

from labkit import demo_site, operating_window
from labkit.advice import bounds
from labkit.advice.bounds import Caution
from labkit.advice.card import make_card
from labkit.advice.drinking import SlowDrinking
from labkit.advice.remedies import EASIEST_FIRST, Remedy
from labkit.advice.setting import Setting, after_turns
from labkit.view.card_told import caution_lines
from labkit.view.window_told import (
    bound_words,
    caution_words,
    remedy_lines,
    remedy_words,
    setting_lines,
    slow_lines,
    turns_words,
    window_lines,
)
from tests.customary import GALLON, PSI

if TYPE_CHECKING:
    from labkit.advice.window import Window


@pytest.fixture(scope="module")
def narrow() -> Window:
    return operating_window(demo_site("three_troughs"))


@pytest.mark.parametrize("system", ["US", "metric"])
def test_the_lines_give_the_window_s_own_numbers(narrow: Window, system: str) -> None:
    text = "\n".join(window_lines(narrow, system))
    chosen = narrow.recommended

    assert chosen is not None
    mark, unit = (PSI, "psi") if system == "US" else (5000.0, "kPa")
    step = 1 if system == "US" else 5
    told = [narrow.all_open, chosen.cut_in, chosen.cut_out, chosen.precharge]
    told += [p for trough in narrow.troughs for p in (trough.static, trough.least, trough.most)]
    marks = [floor(pressure / mark + 0.5) for pressure in told]
    marks += [ceil(p / mark) for p in (narrow.room.cut_in_above, narrow.room.floor)]
    marks.append(floor(narrow.room.ceiling / mark))
    for each in marks:
        assert f"{step * each} {unit}".replace("-", "\N{MINUS SIGN}") in text
    assert not re.search(rf"\d\.\d {unit}", text.split("On the switch")[0])
    other = " psi" if system == "metric" else " kPa"
    assert other not in text


def test_how_far_a_bare_line_swings_is_said_with_its_setting() -> None:
    bare = operating_window(demo_site("one_trough").changed({"pressure_tank": None}))

    assert bare.overshoot > 5.0 * PSI
    assert f"overshoots by up to {ceil(bare.overshoot / PSI)} psi" in "\n".join(
        window_lines(bare, "US")
    )


def test_each_remedy_is_numbered_in_its_order(narrow: Window) -> None:
    lines = window_lines(narrow, "US")

    numbered = [line for line in lines if line[:1].isdigit()]
    assert [line.split(".")[0] for line in numbered] == ["1", "2", "3", "4", "5"]
    assert numbered[0].startswith("1. Give up on weak sun")
    assert numbered[1].startswith("2. A bigger float valve at lookout: at least")
    assert "level sensor" in numbered[-1]


def test_a_tank_and_one_thing_more_stand_before_another_signal(narrow: Window) -> None:
    """One remedy alone is not numbered."""
    *_, signal = narrow.remedies
    valve = next(one for one in narrow.remedies if one.kind == "bigger float valve")
    with_tank = (attrs.evolve(valve, tank=20.0 * GALLON),)
    both = cast("Window", SimpleNamespace(beside_a_tank=with_tank, remedies=(signal,)))
    one = cast("Window", SimpleNamespace(beside_a_tank=(), remedies=(signal,)))

    _, head, first, second = remedy_lines(both, "US")
    assert head == "Any one of these fixes it, the easiest first:"
    assert first.startswith("1. A pressure tank of at least 20 gal and one thing more. A bigger")
    assert second.startswith("2. Another stop signal")
    _, alone = remedy_lines(one, "US")
    assert alone.startswith("One change was found that fixes it. Another stop signal")


def test_the_switch_as_it_stands_is_judged(narrow: Window) -> None:
    assert any("As it is set now (22 psi and 47 psi): Won't stop." in line
               for line in window_lines(narrow, "US"))  # fmt: skip
    good = operating_window(demo_site("one_trough"))
    assert any("psi): Good stop." in line for line in window_lines(good, "US"))


def test_an_empty_window_is_called_empty() -> None:
    weak = demo_site("one_trough_uphill").changed({"array.rated_power": "450 W"})

    text = "\n".join(window_lines(operating_window(weak), "US"))

    assert "The window is empty" in text
    assert "Set cut-in" not in text
    assert "Caution: notch gets no water in sun under" in text


def test_every_bound_has_its_words(narrow: Window) -> None:
    names = [bounds.STATIC, bounds.RUNNING, bounds.DEAD_HEAD, bounds.TORQUE, bounds.PIPE,
             bounds.FLOAT, bounds.RELIEF]  # fmt: skip
    for name in names:
        made = attrs.evolve(narrow.bounds[0], name=name, pressure=33.0 * PSI, where="lookout")
        assert "33 psi" in bound_words(made, "US")
    flat = attrs.evolve(narrow.bounds[0], name=bounds.STATIC, pressure=0.0)
    assert "no trough is above the switch" in bound_words(flat, "US")


def test_a_pump_that_lifts_nothing_to_the_switch_is_told_without_a_number(narrow: Window) -> None:
    lifts = next(one for one in narrow.bounds if one.name == bounds.DEAD_HEAD)

    said = bound_words(attrs.evolve(lifts, pressure=0.0), "US")

    assert said == (
        "Cut-out: no setting will work, because the pump lifts no water to the switch in sun of "
        "250 W/m²."
    )


@pytest.mark.parametrize("system", ["US", "metric"])
@pytest.mark.parametrize("turns", [-0.75, 0.25, 1.75, 3.25, 5.0])
def test_what_is_told_of_a_setting_adds_up_with_a_pencil(
    turns: float, system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """30 and 50 psi less 3.5 and 4.5 psi a turn: at three quarters in 32.625 and 53.375, which show
    as 33 and 53 and must then be told 20 apart."""
    cut_in, cut_out = after_turns(turns)
    chosen = Setting(
        cut_in=cut_in, cut_out=cut_out, precharge=cut_in - 2.0 * PSI, turns=turns,
        differential_turns=0.0, margin=3.0 * PSI,
    )  # fmt: skip
    site = demo_site("one_trough")
    window = operating_window(site)
    monkeypatch.setattr(type(window), "recommended", property(lambda _: chosen))

    text = " ".join(setting_lines(window, system))

    shown = re.search(
        r"cut-in at ([\d.]+) \w+ and cut-out at ([\d.]+) \w+ by the gauge, a differential of ([\d.]+)",
        text,
    )
    charge = re.search(r"precharge to ([\d.]+) \w+ with the tank empty of water, ([\d.]+)", text)
    assert shown is not None
    assert charge is not None
    low, high, apart = (float(number) for number in shown.groups())
    assert high - low == pytest.approx(apart, abs=1e-6)
    assert low - float(charge[1]) == pytest.approx(float(charge[2]), abs=1e-6)


def test_every_remedy_and_caution_has_its_words() -> None:
    for kind in EASIEST_FIRST:
        given: tuple[str, str] | tuple[float, float] = (10.0 * GALLON, 20.0 * GALLON)
        if "pipe" in kind or kind in {"another stop signal", "leaks repaired"}:
            given = ("1 in", "2 in")
        words = remedy_words(
            Remedy(kind=kind, where="lookout", before=given[0], after=given[1]), "US"
        )
        assert "{" not in words
        assert words.endswith(".")
    for name in ("low water", "torque limit", "weak sun", "no reach", "leaks"):
        words = caution_words(Caution(name=name, where="lookout", sun=400.0), "US")
        assert "{" not in words
    assert "under 400 W/m²" in caution_words(Caution(name="weak sun", where="a", sun=400.0), "US")


@pytest.mark.parametrize(
    ("turns", "nut", "words"),
    [
        (0.0, 0.0, "range nut as it is."),
        (5.0, 0.0, "range nut 5 turns out."),
        (1.0, 0.0, "range nut 1 turn out."),
        (-0.75, 0.0, "range nut 3/4 turn in."),
        (2.24, -1.5, "range nut 2 1/4 turns out. Then the small differential nut 1 1/2 turns out."),
    ],
)  # fmt: skip
def test_turns_are_told_in_quarters(turns: float, nut: float, words: str) -> None:
    chosen = Setting(
        cut_in=1.0, cut_out=2.0, precharge=0.0, turns=turns, differential_turns=nut, margin=1.0
    )

    assert turns_words(chosen) == words


def test_slow_drinkers_are_told_where_the_motor_does_not_stand_them() -> None:
    def told(starts: int, volume: float | None) -> str:
        slow = SlowDrinking(starts=starts, most_starts=15.0, volume=volume)
        made_up = SimpleNamespace(slow_drinking=slow)
        return " ".join(slow_lines(cast("Window", made_up), "US"))

    assert told(15, None) == ""
    assert "90 times an hour" in told(90, 20.0 * GALLON)
    assert "about 15. A pressure tank of 20 gal" in told(90, 20.0 * GALLON)
    assert "No tank up to 120 gal" in told(900, None)


def test_slow_drinkers_stand_beside_the_setting_and_on_the_card(narrow: Window) -> None:
    (said,) = slow_lines(narrow, "US")

    assert said in setting_lines(narrow, "US")
    assert said in caution_lines(make_card(narrow), "US")

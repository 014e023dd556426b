"""The pair of wires: will it do, and what does a meter show at either end."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.advice.signal_loop import (
    CONTROLLER,
    OFF,
    SWITCH,
    SWITCH_JOINED,
    LoopCheck,
    farthest_pairs,
    find_short,
    loop_check,
)
from labkit.catalogue import wire_gauges
from labkit.errors import SiteError
from labkit.parts.stop_input import StopInput
from labkit.units import quantity
from labkit.view.advice_told import loop_rows
from tests.customary import FOOT

GAUGES = list(wire_gauges())
gauges = st.sampled_from(GAUGES)
feet = st.floats(5.0, 30_000.0)


def test_a_worked_pair() -> None:
    """By hand from the printed 6.39 ohm per 1000 ft (standard wire tables, 18 AWG, 20 degC): out
    and back over 2,500 ft make 2 x 2.5 x 6.39 = 31.95 ohm; a short 1,000 ft out reads 12.78 ohm
    at the controller and 19.17 ohm from the switch."""
    check = loop_check("18 AWG", "2500 ft", short_at="1000 ft")

    shown = {(r.where, r.contact, r.condition): r.ohms for r in check.readings}

    assert check.loop_resistance == pytest.approx(31.95, rel=1e-3)
    assert shown == {
        (CONTROLLER, "open", "sound"): inf,
        (CONTROLLER, "open", "cut"): inf,
        (CONTROLLER, "open", "shorted"): pytest.approx(12.78, rel=1e-3),
        (CONTROLLER, "closed", "sound"): pytest.approx(31.95, rel=1e-3),
        (CONTROLLER, "closed", "cut"): inf,
        (CONTROLLER, "closed", "shorted"): pytest.approx(12.78, rel=1e-3),
        (SWITCH, OFF, "sound"): inf,
        (SWITCH, OFF, "cut"): inf,
        (SWITCH, OFF, "shorted"): pytest.approx(19.17, rel=1e-3),
        (SWITCH_JOINED, OFF, "sound"): pytest.approx(31.95, rel=1e-3),
        (SWITCH_JOINED, OFF, "cut"): inf,
        (SWITCH_JOINED, OFF, "shorted"): pytest.approx(19.17, rel=1e-3),
    }


def test_what_the_meter_shows_in_words() -> None:
    def shown(check: LoopCheck, condition: str) -> str:
        place = check.readings.index(check.reading(CONTROLLER, "closed", condition))
        return loop_rows(check).cells[place][3]

    check = loop_check("18 AWG", "2500 ft", short_at="1000 ft")

    assert (shown(check, "sound"), shown(check, "cut")) == ("32 ohms", "open line")
    assert shown(loop_check("14 AWG", "500 ft"), "sound") == "2.5 ohms"


def test_the_input_is_a_voltage_divider() -> None:
    """Closed form: 10 V behind 900 ohm, 100 ohm across the terminals: 10 x 100/1000 = 1 V, which
    is the limit of an input that takes up to 1 V for closed."""
    known = StopInput(
        wetting_voltage="10 V", source_resistance="900 ohm", closed_below="1 V", open_above="6 V"
    )

    assert known.voltage(100.0) == pytest.approx(1.0)
    assert known.limit == pytest.approx(100.0)
    assert known.sees(99.9) == "closed"
    assert known.sees(100.1) == "in between"
    assert known.sees(1350.1) == "open"  # 10 V x 1350/2250 = 6 V
    assert known.voltage(inf) == 10.0
    assert known.sees(inf) == "open"


@given(gauge=gauges, distance=feet, more=st.floats(1.01, 1.5))
def test_a_longer_pair_has_more_resistance(gauge: str, distance: float, more: float) -> None:
    near, far = (loop_check(gauge, f"{feet!r} ft") for feet in (distance, distance * more))

    assert far.loop_resistance > near.loop_resistance
    assert near.works or not far.works


@given(distance=feet, number=st.integers(0, len(GAUGES) - 2))
def test_thinner_wire_has_more_resistance(distance: float, number: int) -> None:
    thick, thin = (loop_check(GAUGES[number + i], f"{distance!r} ft") for i in (0, 1))

    assert thin.loop_resistance > thick.loop_resistance


@given(gauge=gauges, cold=st.floats(-20.0, 90.0), warmer=st.floats(1.0, 50.0))
def test_warmer_wire_has_more_resistance(gauge: str, cold: float, warmer: float) -> None:
    cool, warm = (
        loop_check(gauge, "900 ft", temperature=f"{degrees!r} degF")
        for degrees in (cold, cold + warmer)
    )

    assert warm.loop_resistance > cool.loop_resistance


@given(gauge=gauges, distance=feet, at=st.floats(0.0, 1.0), short=st.floats(0.0, 400.0))
def test_both_ends_together_find_a_short(
    gauge: str, distance: float, at: float, short: float
) -> None:
    """Closed form: out to the short and back, plus the short's own resistance, from either end."""
    check = loop_check(gauge, f"{distance!r} ft", short_at=f"{at * distance!r} ft")
    ends = {
        end: check.reading(where, contact, "shorted").ohms + short
        for end, where, contact in (
            ("at_controller", CONTROLLER, "open"),
            ("at_switch", SWITCH, OFF),
        )
    }

    found = find_short(check, **{end: f"{ohms:.9f} ohm" for end, ohms in ends.items()})

    assert found.distance == pytest.approx(at * distance * FOOT, abs=1e-6 * check.distance + 1e-4)
    assert found.resistance == pytest.approx(short, abs=1e-6)


@given(gauge=gauges, distance=feet)
def test_a_cut_pair_looks_like_an_open_contact_and_a_chewed_one_like_a_closed(
    gauge: str, distance: float
) -> None:
    check = loop_check(gauge, f"{distance!r} ft")

    assert check.reading(CONTROLLER, "closed", "cut").drive_sees == "open"
    assert check.reading(CONTROLLER, "open", "sound").drive_sees == "open"
    if check.works:
        assert check.reading(CONTROLLER, "open", "shorted").drive_sees == "closed"
        assert check.reading(CONTROLLER, "closed", "sound").drive_sees == "closed"


@pytest.mark.parametrize("gauge", GAUGES)
def test_the_farthest_pair_just_works(gauge: str) -> None:
    farthest = farthest_pairs(temperature="50 degF")[gauge] / FOOT

    assert loop_check(gauge, f"{0.999 * farthest} ft", temperature="50 degF").works
    assert not loop_check(gauge, f"{1.001 * farthest} ft", temperature="50 degF").works
    check = loop_check(gauge, "100 ft", temperature="50 degF")
    assert check.farthest == pytest.approx(farthest * FOOT)


@pytest.mark.parametrize(
    ("gauge", "distance", "options", "sentence"),
    [
        ("12 AWG", "900 ft", {}, "signal wire: gauge is '12 AWG'; write a wire gauge from 14 AWG"),
        ("18 AWG", "900", {}, "signal wire: distance is '900'; it has no unit; write a length"),
        ("18 AWG", "0 ft", {}, "signal wire: distance is '0 ft'; it must lie between 1 ft and"),
        ("18 AWG", "90 ft", {"temperature": "300 degF"}, "temperature is '300 degF'; it must lie"),
        ("18 AWG", "90 ft", {"short_at": "100 ft"}, "short_at is '100 ft'; it must not be beyond"),
    ],
)
def test_a_pair_that_cannot_be_is_refused(
    gauge: str, distance: str, options: dict[str, str], sentence: str
) -> None:
    with pytest.raises(SiteError) as caught:
        loop_check(gauge, distance, **options)  # type: ignore[arg-type]

    assert sentence in str(caught.value)


@pytest.mark.parametrize(
    ("near", "far", "sentence"),
    [
        ("90 ohm", "5 ohm", "it would lie off the pair"),
        ("1 ohm", "2 ohm", "less than the whole pair has"),
    ],
)
def test_readings_that_fit_no_short_are_refused(near: str, far: str, sentence: str) -> None:
    """The pair of the worked example has 32 ohm."""
    check = loop_check("18 AWG", "2500 ft")

    with pytest.raises(SiteError, match=sentence):
        find_short(check, at_controller=near, at_switch=far)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"closed_below": "7 V"}, "stop input: closed_below is 7 V; it must be below open_above"),
        ({"open_above": "13 V"}, "stop input: open_above is 13 V; it must be below wetting_vol"),
        ({"source_resistance": "5 ohm"}, "stop input: source_resistance is 5 ohm; it must lie"),
        (
            {"wetting_voltage": "12"},
            "stop input: wetting_voltage is '12'; it has no unit; write a voltage",
        ),
    ],
)
def test_an_input_that_cannot_be_is_refused(fields: dict[str, str], sentence: str) -> None:
    with pytest.raises(SiteError) as caught:
        StopInput(**fields)

    assert sentence in str(caught.value)


def test_a_gauge_may_be_typed_as_people_do() -> None:
    assert loop_check(" 18 awg", "900 ft").gauge == "18 AWG"
    assert quantity("1 ohms", "ohm").magnitude == 1.0

"""The radio over the hill: clearance, losses and margin."""

from __future__ import annotations

from math import inf, log10, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.advice.radio_link import (
    RadioCheck,
    RadioGear,
    diffraction_parameter,
    free_space_loss,
    fresnel_radius,
    knife_edge_loss,
    radio_check,
)
from labkit.errors import SiteError
from tests.customary import FOOT

lengths = st.floats(50.0, 20_000.0)
frequencies = st.floats(3e7, 6e9)
shares = st.floats(0.01, 0.99)


def over_a_hill(height: float, *, antenna: float = 10.0, megahertz: float = 915.0) -> RadioCheck:
    """A mile and more of flat ground with one sharp hill [ft] a third of the way."""
    ground = [("0 ft", "0 ft"), ("1990 ft", "0 ft"), ("2000 ft", f"{height!r} ft"),
              ("2010 ft", "0 ft"), ("6000 ft", "0 ft")]  # fmt: skip
    return radio_check(
        ground,
        well_antenna=f"{antenna!r} ft",
        trough_antenna=f"{antenna!r} ft",
        gear=RadioGear(frequency=f"{megahertz!r} MHz"),
    )


def test_a_worked_path() -> None:
    """By hand, ITU forms: 6,000 ft = 1.8288 km at 915 MHz: 32.45 + 59.23 + 5.24 = 96.92 dB.

    A hill 30 ft above the ray, 2,000 ft out: F1 = 17.31 sqrt(0.6096 x 1.2192 / (0.915 x 1.8288))
    = 11.54 m; the earth bulges 0.6096 x 1.2192 / 17 = 0.044 m; h = 9.188 m; nu = sqrt 2 x 0.7963
    = 1.126; 6.9 + 20 log(sqrt(1.026^2 + 1) + 1.026) = 14.71 dB. Sent 14 + 4 - 2 = 16 dBm; received
    16 - 96.92 - 14.71 = -95.63 dBm, 9.37 dB above -105 dBm.
    """
    check = over_a_hill(40.0)

    assert check.free_space_loss == pytest.approx(96.92, abs=0.02)
    assert check.diffraction_loss == pytest.approx(14.71, abs=0.01)
    assert check.received == pytest.approx(-95.63, abs=0.02)
    assert check.margin == pytest.approx(9.37, abs=0.02)
    assert not check.works
    assert check.sight == "blocked"
    assert check.clearance == pytest.approx(-0.796, abs=0.002)
    assert check.distance[check.worst] == pytest.approx(2000.0 * FOOT)


def test_the_same_hill_seen_from_either_end() -> None:
    ground = [("0 ft", "40 ft"), ("700 ft", "90 ft"), ("2600 ft", "-10 ft"), ("3000 ft", "20 ft")]
    back = [("0 ft", "20 ft"), ("400 ft", "-10 ft"), ("2300 ft", "90 ft"), ("3000 ft", "40 ft")]

    there = radio_check(ground, well_antenna="12 ft", trough_antenna="5 ft")
    again = radio_check(back, well_antenna="5 ft", trough_antenna="12 ft")

    assert there.margin == pytest.approx(again.margin)
    assert there.clearance == pytest.approx(again.clearance)


def test_sight_in_three_words() -> None:
    """Six tenths of 11.54 m (37.9 ft) are 22.7 ft: masts of 60 ft over a hill, and its bulge."""
    assert over_a_hill(60.0 - 24.0, antenna=60.0).sight == "clear"
    assert over_a_hill(60.0 - 20.0, antenna=60.0).sight == "brushing"
    assert over_a_hill(60.0 + 1.0, antenna=60.0).sight == "blocked"


def test_level_ground_alone_gets_in_the_way_of_low_antennas() -> None:
    """A path of two points still has ground between: ten miles of it bulge, by
    hand, 8.05 x 8.05 / (12.75 x 4/3) = 3.8 m at the middle, more than antennas of 2 m see over."""
    check = radio_check(
        [("0 mi", "0 ft"), ("10 mi", "0 ft")], well_antenna="2 m", trough_antenna="2 m"
    )

    assert check.sight == "blocked"
    assert check.distance[check.worst] == pytest.approx(8046.7, rel=0.03)


def test_the_mast_that_is_asked_for_is_just_enough() -> None:
    low = over_a_hill(40.0)
    ground = [("0 ft", "0 ft"), ("1990 ft", "0 ft"), ("2000 ft", "40 ft"), ("2010 ft", "0 ft"),
              ("6000 ft", "0 ft")]  # fmt: skip
    asked = 10.0 * FOOT + low.higher_far_mast

    assert radio_check(ground, trough_antenna=f"{asked + 0.01} m").sight == "clear"
    assert radio_check(ground, trough_antenna=f"{asked - 0.1} m").sight != "clear"


@given(d=lengths, f=frequencies, share=shares)
def test_the_fresnel_zone_is_widest_in_the_middle(d: float, f: float, share: float) -> None:
    here = fresnel_radius(share * d, (1.0 - share) * d, f)

    assert here <= fresnel_radius(0.5 * d, 0.5 * d, f) * (1.0 + 1e-12)
    assert here == pytest.approx(fresnel_radius((1.0 - share) * d, share * d, f))


@given(d=lengths, f=frequencies)
def test_twice_the_distance_takes_six_decibels(d: float, f: float) -> None:
    """Closed form: the power spreads over four times the area, 20 log 2 dB."""
    more = free_space_loss(2.0 * d, f) - free_space_loss(d, f)

    assert more == pytest.approx(20.0 * log10(2.0))


@given(low=st.floats(-3.0, 30.0), more=st.floats(0.0, 30.0))
def test_a_higher_edge_never_loses_less(low: float, more: float) -> None:
    """The fit leaves a step of up to 0.05 dB where it ends, at nu = -0.78."""
    assert knife_edge_loss(low + more) >= knife_edge_loss(low) - 1e-9
    assert 0.0 <= knife_edge_loss(low)


@given(height=st.floats(0.0, 200.0), more=st.floats(0.1, 100.0))
def test_a_higher_hill_never_leaves_more_margin(height: float, more: float) -> None:
    assert over_a_hill(height + more).margin <= over_a_hill(height).margin + 1e-9


@given(height=st.floats(0.0, 200.0), antenna=st.floats(1.0, 60.0), more=st.floats(0.1, 60.0))
def test_higher_masts_never_leave_less_clearance(
    height: float, antenna: float, more: float
) -> None:
    low, high = (over_a_hill(height, antenna=feet) for feet in (antenna, antenna + more))

    assert high.margin >= low.margin - 1e-9


def test_at_the_foot_of_a_mast_there_is_no_edge() -> None:
    assert diffraction_parameter(-1.0, 0.0, 100.0, 9e8) == -inf
    assert diffraction_parameter(1.0, 0.0, 100.0, 9e8) == inf


def test_arrays_fit_together() -> None:
    """The ground of the picture is the ground that was given, plus the earth's bulge."""
    check = over_a_hill(40.0)

    at = np.searchsorted(check.distance, 2000.0 * FOOT)
    assert check.ground[at] == pytest.approx(40.0 * FOOT + 0.0437, abs=1e-3)
    assert check.ground[0] == check.ground[-1] == 0.0
    assert check.fresnel[0] == check.fresnel[-1] == 0.0
    assert check.ray[0] == pytest.approx(10.0 * FOOT)
    assert check.fresnel.max() == pytest.approx(sqrt(0.32764 * 1828.8 / 4.0), rel=1e-3)


@pytest.mark.parametrize(
    ("ground", "sentence"),
    [
        ([("0 ft", "0 ft")], "number of points is 1; write 2 to 2000 points"),
        ([("0 ft", "0 ft"), ("0 ft", "9 ft")], "distance of point 2 is '0 ft'; each point must be"),
        (
            [("0 ft", "0 ft"), ("1 ft", "0 ft"), ("6 in", "0 ft")],
            "distance of point 3 is '6 in'; each point must be",
        ),
        (
            [("0 ft", "0 ft"), ("900", "9 ft")],
            "distance of point 2 is '900'; it has no unit; write a length",
        ),
        ([("0 ft", "0 ft"), ("900 ft",)], "point 2 is a list; write a distance and a height"),
        ([("0 ft", "0 ft"), ("1 ft", "0 ft")], "the path must be at least 1 m long"),
    ],
)
def test_a_ground_that_cannot_be_is_refused(ground: list[tuple[str, str]], sentence: str) -> None:
    with pytest.raises(SiteError) as caught:
        radio_check(ground)

    assert sentence in str(caught.value)


def test_an_antenna_that_cannot_be_is_refused() -> None:
    with pytest.raises(SiteError, match="radio path: well_antenna is '-3 ft'; it must lie"):
        radio_check([("0 ft", "0 ft"), ("900 ft", "0 ft")], well_antenna="-3 ft")
    with pytest.raises(SiteError, match="radio gear: frequency is 5 MHz; it must lie between"):
        RadioGear(frequency="5 MHz")

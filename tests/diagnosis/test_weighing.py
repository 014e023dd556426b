"""The statistics of a diagnosis, held to closed forms and to scipy's own distributions."""

import numpy as np
import pytest
from scipy.stats import entropy, multivariate_normal, norm

from labkit.diagnosis.suspects import SOUND, Case
from labkit.diagnosis.visit import READINGS
from labkit.diagnosis.weighing import (
    GAUGE,
    MISREAD,
    NONE_OF_THESE,
    PRIORS,
    _entropy,
    _fit,
    _spread,
    _Table,
    as_read,
    next_tests,
    weigh,
)
from tests.customary import PSI
from tests.diagnosis.playing import particle

WORN = Case(faults=(("worn pump", ""),))
LEAK = Case(faults=(("buried leak", "lane"),))
CHECK = Case(faults=(("bad check valve", ""),))


def test_gauge_readings_share_one_error() -> None:
    """Source: the multivariate normal of scipy, its covariance written out."""
    one = particle(Case(), gauge_at_the_stop=40 * PSI, gauge_after_ten_minutes=38 * PSI)
    read = {("gauge at the stop", ""): 42 * PSI, ("gauge after ten minutes", ""): 39.5 * PSI}
    sd = READINGS["gauge at the stop"].error
    covariance = GAUGE**2 * np.ones((2, 2)) + sd**2 * np.eye(2)

    log, _ = _fit(_Table([one]), read)

    expected = multivariate_normal([40 * PSI, 38 * PSI], covariance).logpdf([42 * PSI, 39.5 * PSI])
    assert log[0] == pytest.approx(expected, rel=1e-9)


def test_a_gauge_reading_that_a_suspect_would_not_leave_is_far_off() -> None:
    """As far as a word that differs: minus twice the logarithm of the chance to misread."""
    silent = particle(Case(), fall_open=0.0)

    _, distance = _fit(_Table([silent]), {("gauge at the stop", ""): 42 * PSI})

    assert distance[0] == pytest.approx(-2.0 * np.log(MISREAD))


def test_one_flow_is_a_normal_one() -> None:
    gpm = 6.30902e-5
    one = particle(Case(), bucket=6.0 * gpm)
    reading = READINGS["bucket"]
    sd = float(np.hypot(reading.error, reading.share * 6.5 * gpm))

    log, distance = _fit(_Table([one]), {("bucket", one.line.troughs[0].name): 6.5 * gpm})

    assert log[0] == pytest.approx(norm(6.0 * gpm, sd).logpdf(6.5 * gpm), rel=1e-9)
    assert distance[0] == pytest.approx((0.5 * gpm / sd) ** 2)


def test_a_word_counts_by_bayes() -> None:
    """Two suspects alike beforehand: the odds become those of the word."""
    ones = [particle(LEAK, stop="stops"), particle(CHECK, stop="keeps running")]

    chances = weigh(ones, {("stop", ""): "stops"}).chances()

    others = len(READINGS["stop"].words) - 1
    odds = (1.0 - MISREAD) / (MISREAD / others)
    assert chances["buried leak"] / chances["bad check valve"] == pytest.approx(odds)


def test_nothing_read_leaves_the_chances_as_they_were() -> None:
    ones = [particle(Case()), particle(LEAK), particle(LEAK), particle(CHECK)]

    chances = weigh(ones, {}).chances()

    assert chances["buried leak"] == pytest.approx(chances["bad check valve"])
    assert sum(chances.values()) == pytest.approx(1.0)
    assert chances[SOUND] == pytest.approx(0.25 / 0.90)  # the shares given out: 0.25, 0.62, 0.03


def test_pairs_that_were_not_tried_keep_their_share() -> None:
    """Three faults make three pairs, whichever of them are drawn."""
    both = Case(faults=(*CHECK.faults, *LEAK.faults))
    single, pair = PRIORS["one fault"] / 3.0, PRIORS["two faults"] / 3.0

    weights = weigh([particle(case) for case in (LEAK, CHECK, WORN, both)], {}).weights

    assert weights[3] / weights[0] == pytest.approx(pair / single)


def test_the_kernel_narrows_with_the_fifth_root_of_the_particles() -> None:
    """Source: the rule for a kernel's width in one dimension; at ten it is half their spread."""
    ten = np.tile([1.0, 3.0], 5)
    many = np.tile(ten, 32)

    assert _spread(ten) == pytest.approx(0.5)
    assert _spread(many) == pytest.approx(0.25)
    assert _spread(np.append(ten, np.nan)) == pytest.approx(0.5), "one that shows nothing"
    assert _spread(np.array([1.0, 3.0, np.nan])) == 0.0, "two say nothing of a spread"
    assert _spread(np.array([1.0, 2.0, 3.0])) == pytest.approx(
        0.5 * (2.0 / 3.0) ** 0.5 * (10.0 / 3.0) ** 0.2
    )


def test_a_reading_that_no_suspect_shows_speaks_for_none_of_these() -> None:
    ones = [particle(Case(), gauge_at_the_stop=40 * PSI, fall_open=0.0)]

    chances = weigh(ones, {("gauge at the stop", ""): 75 * PSI, ("fall open", ""): 30 * PSI})

    assert next(iter(chances.chances())) == NONE_OF_THESE


def test_an_hour_means_an_hour_or_more() -> None:
    waits, comes = particle(Case(), stop_to_start=3600.0), particle(LEAK, stop_to_start=240.0)

    chances = weigh([waits, comes], {("stop to start", ""): 3600.0}).chances()
    log, distance = _fit(_Table([waits]), {("stop to start", ""): 3600.0})

    assert chances["buried leak"] < 1e-3 * chances[SOUND]
    assert np.exp(log) == pytest.approx(1.0 - MISREAD), "a chance, not a density"
    assert distance == 0.0


def test_the_next_test_is_the_one_that_tells_them_apart() -> None:
    alike: dict[str, float | str] = {"stop": "stops", "gauge_at_the_stop": 40 * PSI}
    ones = [
        particle(LEAK, **alike, fall_shut_off=0.0, fall_open=20 * PSI),
        particle(CHECK, **alike, fall_shut_off=20 * PSI, fall_open=20 * PSI),
    ]
    weighed = weigh(ones, {("stop", ""): "stops"})

    first, second = next_tests(weighed, {}, [("open line", ""), ("shut off", "")])

    assert (first.key, second.key) == ("shut off", "open line")
    assert first.bits == pytest.approx(1.0, abs=0.05)  # one yes-or-no question settled
    assert second.bits < 0.02


def test_a_test_is_done_once_all_that_it_reads_is_read() -> None:
    """At the stop there are two things to read; a gauge alone leaves the pump to be listened for."""
    ones = [
        particle(LEAK, stop="stops", gauge_at_the_stop=40 * PSI),
        particle(CHECK, stop="keeps running", gauge_at_the_stop=40 * PSI),
    ]
    gauge, word = ("gauge at the stop", ""), ("stop", "")

    def asked(read: dict[tuple[str, str], float | str]) -> list[str]:
        return [one.key for one in next_tests(weigh(ones, read), read, [("stop", "")])]

    assert asked({gauge: 40 * PSI}) == asked({word: "stops"}) == ["stop"]
    assert asked({gauge: 40 * PSI, word: "stops"}) == []


def test_the_entropy_of_chances_is_scipys_and_one_that_is_ruled_out_adds_nothing() -> None:
    chances = np.array([0.5, 0.2, 0.3])

    assert _entropy(chances) == pytest.approx(entropy(chances, base=2))
    assert _entropy(np.append(chances, 0.0)) == pytest.approx(_entropy(chances))


def test_a_value_is_read_with_the_error_of_its_instrument() -> None:
    """Mean and spread of many readings; the gauge's own error is added to gauges alone."""
    rng = np.random.default_rng(8)
    for key, value, off in (("gauge at the stop", 40 * PSI, 2 * PSI), ("bucket", 3e-4, 0.0)):
        reading = READINGS[key]
        read = np.array([as_read(value, key, rng, 2 * PSI) for _ in range(4000)], dtype=float)
        sd = float(np.hypot(reading.error, reading.share * value))
        assert read.mean() == pytest.approx(value + off, abs=4 * sd / 4000**0.5)
        assert read.std() == pytest.approx(sd, rel=0.05)
    assert as_read("stops", "stop", rng) == "stops"
    assert as_read(3600.0, "stop to start", rng) == 3600.0
    assert min(float(as_read(0.0, "bucket", rng)) for _ in range(20)) == 0.0

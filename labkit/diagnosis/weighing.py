"""What was read, weighed against what each suspect would show: chances, and the next test.

A suspect's evidence is the mean likelihood of the readings over its particles (Monte Carlo), with
the errors of the instruments widened to a kernel between the particles. All gauge readings share
the error of the one gauge.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np
from scipy.special import logsumexp
from scipy.stats import norm

from labkit.diagnosis.suspects import SOUND
from labkit.diagnosis.visit import READINGS, TESTS, WAITS
from labkit.units.customary import PSI

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from typing import TypeAlias

    from numpy.typing import NDArray

    from labkit.arrays import Floats
    from labkit.diagnosis.suspects import Particle
    from labkit.diagnosis.visit import Reading, Shown

    Channel: TypeAlias = tuple[str, str]
    Read: TypeAlias = Mapping[Channel, Shown]

NONE_OF_THESE: Final = "none"

PRIORS: Final = {SOUND: 0.25, NONE_OF_THESE: 0.03, "one fault": 0.62, "two faults": 0.10}
"""Chances before anything was read (a judgement; every fault of the box counts alike)."""

GAUGE: Final = 0.9 * PSI
"""Standard error that all readings of one gauge share [Pa] (a judgement: a cheap gauge is good to
two or three percent of its dial)."""

MISREAD: Final = 0.03
"""Chance that a word is written down wrongly, or that a line behaves otherwise than computed."""

_WIDE: Final = {"pressure": 6e5, "flow": 1.2e-3, "time": 5.0, "length": 100.0, "power": 1500.0}
"""Over what a reading may lie for a cause not in the list [SI; of a time, its logarithm]."""

_KERNEL: Final = 0.5
"""Width of the kernel between particles, as a share of their spread, at ten of them."""


_FAINTEST: Final = 600.0
"""Logarithm by which the best particle lies at most under all together: far less is no number at
all, and which of them comes nearest could not be told."""


@attrs.frozen(kw_only=True, eq=False)
class Weighed:
    """Particles with their chances."""

    particles: tuple[Particle, ...]  # everything that was tried
    weights: Floats  # chance of each; with `none` they sum to 1, shape (n,)
    none: float  # chance that it is none of these
    # how badly the best particle fits: its squared distance from the readings [standard errors]
    distance: float

    def chances(self) -> dict[str, float]:
        """Return the chance of each cause, sound and none of these included, the likeliest first.

        Two faults together count for each of them.
        """
        found: dict[str, float] = defaultdict(float)
        for particle, weight in zip(self.particles, self.weights, strict=True):
            for key in {key for key, _ in particle.case.faults} or {SOUND}:
                found[key] += float(weight)
        found[NONE_OF_THESE] = self.none
        return dict(sorted(found.items(), key=lambda item: -item[1]))


def weigh(particles: Sequence[Particle], read: Read) -> Weighed:
    """Weigh particles by what was read."""
    by_case: dict[object, list[int]] = defaultdict(list)
    for i, particle in enumerate(particles):
        by_case[particle.case].append(i)
    likelihood, distance = np.full(len(particles), -np.inf), np.full(len(particles), np.inf)
    for members in by_case.values():
        fit, far = _fit(_Table([particles[i] for i in members]), read)
        likelihood[members], distance[members] = fit, far
    prior = _priors(particles, by_case)
    log = np.log(prior) + likelihood
    none = float(np.log(PRIORS[NONE_OF_THESE]) + _log_wide(read))
    total = float(logsumexp(np.append(log, none)))
    log += max(total - float(log.max()) - _FAINTEST, 0.0)
    return Weighed(
        particles=tuple(particles),
        weights=np.exp(log - total),
        none=float(np.exp(none - total)),
        distance=float(distance.min()),
    )


def _priors(particles: Sequence[Particle], by_case: Mapping[object, Sequence[int]]) -> Floats:
    """Return each particle's chance beforehand, shared by cause, by place and by particle."""
    places: dict[str, int] = defaultdict(int)
    counts: dict[int, int] = defaultdict(int)
    for members in by_case.values():
        case = particles[members[0]].case
        if not places[case.key]:
            counts[len(case.faults)] += 1
        places[case.key] += 1
    counts[2] = max(counts[1] * (counts[1] - 1) // 2, 1)  # those not tried keep their share
    prior = np.empty(len(particles))
    share = {0: PRIORS[SOUND], 1: PRIORS["one fault"], 2: PRIORS["two faults"]}
    for members in by_case.values():
        case = particles[members[0]].case
        many = counts[len(case.faults)]
        prior[members] = share[len(case.faults)] / many / places[case.key] / len(members)
    return prior


class _Table:
    """What some particles show, a column for each channel, made when it is first asked for."""

    def __init__(self, particles: Sequence[Particle]) -> None:
        self._particles = particles
        self._shown: dict[Channel, NDArray[np.object_]] = {}
        self._numbers: dict[Channel, tuple[Floats, float]] = {}

    def __len__(self) -> int:
        return len(self._particles)

    def shown(self, channel: Channel) -> NDArray[np.object_]:
        """Return words or numbers, None where there is nothing to read."""
        if channel not in self._shown:
            column = [one.shown.get(channel) for one in self._particles]
            self._shown[channel] = np.array(column, dtype=object)
        return self._shown[channel]

    def numbers(self, channel: Channel) -> tuple[Floats, float]:
        """Return values, not a number where there are none; and the kernel's width."""
        if channel not in self._numbers:
            column = self.shown(channel).tolist()
            found = np.array(
                [np.nan if one is None or isinstance(one, str) else one for one in column]
            )
            self._numbers[channel] = found, _spread(found)
        return self._numbers[channel]


def _fit(table: _Table, read: Read) -> tuple[Floats, Floats]:
    """Return the log likelihood of the readings for each particle of a case, and its distance.

    The gauge's shared error is a normal one beside those of each reading, so the covariance of the
    gauge readings is diagonal plus a constant; its inverse is known in closed form (Sherman and
    Morrison).
    """
    log, distance = np.zeros(len(table)), np.zeros(len(table))
    off, variances = [], []
    for channel, value in read.items():
        reading = READINGS[channel[0]]
        if isinstance(value, str):
            fit, far = _word_fit(table.shown(channel) == value, len(reading.words))
            log, distance = log + fit, distance + far
            continue
        numbers, spread = table.numbers(channel)
        if reading.is_gauge:
            off.append(value - numbers)
            variances.append(reading.error**2 + spread**2)
            continue
        if reading.kind == "time":
            fit, far = _time_fit(reading, numbers, value)
        else:
            scale = reading.share * np.fmax(np.abs(numbers), abs(value))
            variance = reading.error**2 + scale**2 + spread**2
            fit, far = _normal_fit(value - numbers, variance, reading.kind)
        log, distance = log + fit, distance + far
    if off:
        fit, far = _gauge_fit(np.array(off), np.array(variances)[:, None])
        log, distance = log + fit, distance + far
    return log, distance


_FAR: Final = -2.0 * float(np.log(MISREAD))
"""Squared distance of a word that differs, or of a reading that a suspect would not leave."""


def _word_fit(same: NDArray[np.bool_], words: int) -> tuple[Floats, Floats]:
    """Return log likelihood and distance of a word."""
    other = float(np.log(MISREAD / max(words - 1, 1)))
    return np.where(same, float(np.log1p(-MISREAD)), other), np.where(same, 0.0, _FAR)


def _normal_fit(off: Floats, variance: Floats, kind: str) -> tuple[Floats, Floats]:
    """Return log likelihood and distance of a reading with a normal error."""
    seen = np.isfinite(off)
    squared = off**2 / variance
    log = -0.5 * (squared + np.log(2.0 * np.pi * variance))
    return np.where(seen, log, _missing(kind)), np.where(seen, squared, _FAR)


def _time_fit(reading: Reading, shown: Floats, value: float) -> tuple[Floats, Floats]:
    """Return log likelihood and distance of a wait, by logarithms, for waits run over decades.

    A wait of an hour means an hour or more: its likelihood is a chance, not a density.
    """
    log_shown, log_value = np.log(shown + _HASTE), np.log(value + _HASTE)
    sd = np.hypot(reading.share + reading.error / (value + _HASTE), _spread(log_shown))
    if value < WAITS:
        return _normal_fit(log_value - log_shown, sd**2, "time")
    seen, z = np.isfinite(shown), (log_shown - log_value) / sd
    waits = shown >= WAITS
    log = np.where(waits, np.log1p(-MISREAD), np.fmax(norm.logcdf(z), np.log(MISREAD / 2.0) - 10.0))
    far = np.where(waits, 0.0, z**2)
    return np.where(seen, log, _missing("time")), np.where(seen, far, _FAR)


_HASTE: Final = 20.0
"""Seconds under which waits are no longer told from each other by their logarithm [s]."""


def _gauge_fit(off: Floats, variance: Floats) -> tuple[Floats, Floats]:
    """Return log likelihood and distance of gauge readings (readings, particles) with one bias."""
    seen = np.isfinite(off)
    w, r = np.where(seen, 1.0 / variance, 0.0), np.where(seen, off, 0.0)
    s, b = w.sum(axis=0), (w * r).sum(axis=0)
    squared = (w * r * r).sum(axis=0) - b * b / (1.0 / GAUGE**2 + s)
    log_det = np.where(seen, np.log(2.0 * np.pi * variance), 0.0).sum(axis=0)
    missing = (~seen).sum(axis=0)
    log = -0.5 * (squared + log_det + np.log1p(GAUGE**2 * s)) + missing * _missing("pressure")
    return log, squared + missing * _FAR


def _spread(shown: Floats) -> float:
    """Return the kernel's width for a reading of some particles."""
    seen = shown[np.isfinite(shown)]
    return float(_KERNEL * np.std(seen) * (10.0 / seen.size) ** 0.2) if seen.size > 2 else 0.0


def _missing(kind: str) -> float:
    """Return the log likelihood of a reading where the suspect would leave nothing to read."""
    return float(np.log(MISREAD / _WIDE[kind]))


def _log_wide(read: Read) -> float:
    """Return the log likelihood of readings for a cause that is not in the list."""
    wide = [
        float(len(READINGS[key].words)) if isinstance(value, str) else _WIDE[READINGS[key].kind]
        for (key, _), value in read.items()
    ]
    return -float(np.log(wide).sum())


@attrs.frozen(kw_only=True)
class NextTest:
    """A test not done yet, and what it is worth."""

    # the test, and its trough or an empty name
    key: str
    where: str
    bits: float  # how much it tells about the cause, on the average [bits]
    minutes: float  # what it takes


_SEED: Final = 5
_DRAWS: Final = 48
"""How often a test's reading is drawn."""


def next_tests(
    weighed: Weighed, read: Read, tests: Iterable[tuple[str, str]]
) -> tuple[NextTest, ...]:
    """Rank tests by what each tells about the cause for its minutes and its danger.

    What a test would read is drawn from the particles as they are weighed now, and weighed again:
    the mean fall of the entropy over the causes is what it tells (expected information gain).
    """
    rng = np.random.default_rng(_SEED)
    weights = weighed.weights / max(weighed.weights.sum(), 1e-300)
    alive = np.flatnonzero(weights > 1e-4 * weights.max())
    particles = [weighed.particles[i] for i in alive]
    weights = weights[alive] / weights[alive].sum()
    causes, members = np.unique([one.case.key for one in particles], return_inverse=True)
    before = _entropy(_by_cause(members, weights, causes.size))
    table, log_weights, found = _Table(particles), np.log(weights), []
    for key, where in tests:
        test = TESTS[key]
        channels = [(name, where) for name in test.reads]
        if all(channel in read for channel in channels):
            continue
        after, known = 0.0, {}
        for i in rng.choice(weights.size, size=_DRAWS, p=weights):
            would = {
                channel: as_read(particles[i].shown[channel], channel[0], rng)
                for channel in channels
                if channel in particles[i].shown
            }
            told = tuple(would.items())
            if told not in known:  # words come again and again
                log = log_weights + _fit(table, would)[0]
                again = np.exp(log - log.max())
                known[told] = _entropy(_by_cause(members, again / again.sum(), causes.size))
            after += known[told] / _DRAWS
        found.append(
            NextTest(key=key, where=where, bits=max(before - after, 0.0), minutes=test.minutes)
        )
    return tuple(sorted(found, key=lambda one: -one.bits / (one.minutes + TESTS[one.key].risk)))


def as_read(value: Shown, key: str, rng: np.random.Generator, off: float = 0.0) -> Shown:
    """Read one value with the error of its instrument."""
    reading = READINGS[key]
    if isinstance(value, str):
        return value
    if reading.kind == "time" and value >= WAITS:
        return WAITS
    sd = float(np.hypot(reading.error, reading.share * value))
    return max(float(value + rng.normal() * sd + (off if reading.is_gauge else 0.0)), 0.0)


def _by_cause(members: NDArray[np.intp], weights: Floats, causes: int) -> Floats:
    return np.bincount(members, weights=weights, minlength=causes).astype(np.float64)


def _entropy(chances: Floats) -> float:
    """Return the entropy of some chances [bits]."""
    positive = chances[chances > 0.0]
    return float(-(positive * np.log2(positive)).sum())

"""Cases of diagnosis, played by script or made up.

A fault is hidden, tests are done as asked, the answer held to what was hidden.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

import labkit as lab
from labkit.diagnosis import NONE_OF_THESE, SOUND, TESTS
from labkit.diagnosis.reasoning import Lineup, line_up
from labkit.diagnosis.suspects import Case, Particle, draw, paired, single_cases
from labkit.diagnosis.visit import READINGS
from labkit.diagnosis.weighing import GAUGE, as_read, next_tests
from labkit.site import Site

FIRST_TESTS = ("fill", "stop")
SURE = 0.93
"""Chance at which a careful person stops testing."""
MOST_TESTS = 12


class Played(NamedTuple):
    """One case: what was hidden, the chances told at the end, and the minutes spent."""

    hidden: tuple[str, ...]
    told: dict[str, float]
    minutes: float

    @property
    def rank(self) -> int:
        """Place of the best-placed hidden cause among those told, from 0."""
        order = list(self.told)
        return min(order.index(key) for key in self.hidden)


def particle(case: Case, **shown: float | str) -> Particle:
    """One way a case may be; names of readings with underscores, read once on a line."""
    site = lab.demo_site("one_trough")
    keys = {key.replace("_", " "): value for key, value in shown.items()}
    places = {key: (site.troughs[0].name if READINGS[key].at_trough else "") for key in keys}
    return Particle(
        case=case, sizes=(), line=site, sun=800.0,
        shown={(key, places[key]): value for key, value in keys.items()},
    )  # fmt: skip


def site_of(name: str, changes: dict[str, Any]) -> Site:
    """Return a demo ranch, changed."""
    return lab.demo_site(name).changed(changes)


def hidden_lines(lineup: Lineup, seed: int, *, pairs: int) -> list[Particle]:
    """Draw lines with a fault or two in them, or none, apart from the lineup's own."""
    cases = single_cases(lineup.site)
    rng = np.random.default_rng(seed)
    both: list[Case] = []
    while len(both) < pairs:
        first, second = rng.choice(len(cases), 2, replace=False)
        case = paired(cases[int(first)], cases[int(second)])
        if case is not None and len(case.faults) == 2:
            both.append(case)

    def lines(some: Sequence[Case], count: int) -> list[Particle]:
        return draw(lineup.site, some, trough=lineup.trough, sun=lineup.sun, count=count, seed=seed)

    return [*lines(cases, 2), *lines([Case()], 8), *lines(both, 1)]


def play(lineup: Lineup, line: Particle, seed: int) -> tuple[Lineup, Played]:
    """Do the first tests, then those that are asked for, until the answer is sure or none helps."""
    rng = np.random.default_rng(seed)
    off = rng.normal() * GAUGE
    shown = {read: as_read(one, read[0], rng, off) for read, one in line.shown.items()}
    read: dict[tuple[str, str], float | str] = {}
    done: set[tuple[str, str]] = set()
    minutes = 0.0

    def do(key: str, where: str) -> None:
        nonlocal minutes
        done.add((key, where))
        minutes += TESTS[key].minutes
        for name in TESTS[key].reads:
            if (name, where) in shown:
                read[name, where] = shown[name, where]

    told: dict[str, float] = {}
    for key in FIRST_TESTS:
        do(key, lineup.trough if TESTS[key].at_trough else "")
    for _ in range(MOST_TESTS):
        lineup, weighed = lineup.consider(read)
        told = weighed.chances()
        if max(told.values()) > SURE and next(iter(told)) != NONE_OF_THESE:
            break
        left = [test for test in lineup.tests() if test not in done]
        best = next(iter(next_tests(weighed, read, left)), None)
        if best is None or best.bits < 0.01:
            break
        do(best.key, best.where)
    hidden = tuple(key for key, _ in line.case.faults) or (SOUND,)
    return lineup, Played(hidden, told, minutes)


def play_site(site: Site, count: int, seed: int) -> list[Played]:
    """Play cases on one line: a fifth of them sound, a tenth with two faults."""
    lineup = line_up(site, seed=seed)
    lines = hidden_lines(lineup, seed + 1, pairs=max(count // 10, 1))
    rng = np.random.default_rng(seed + 2)
    sound = [line for line in lines if not line.case.faults]
    single = [line for line in lines if len(line.case.faults) == 1]
    both = [line for line in lines if len(line.case.faults) == 2]
    played = []
    for number in range(count):
        pool = sound if number % 5 == 0 else both if number % 10 == 1 else single
        line = pool[int(rng.integers(len(pool)))]
        lineup, one = play(lineup, line, seed * 1000 + number)
        played.append(one)
    return played

"""The range screw and the differential nut of a pressure switch, counted in quarter turns."""

from collections.abc import Iterator
from typing import Final

import attrs
import numpy as np

from labkit.advice import rules
from labkit.errors import LabkitError
from labkit.text import sentence

_MOST_NUT: Final = round(rules.MOST_NUT_TURNS / rules.QUARTER)


@attrs.frozen(kw_only=True)
class Screw:
    """Where screw and nut of one switch stand."""

    preset: tuple[float, float]  # cut-in and cut-out of this very switch as it came [Pa gauge]
    quarters: int = 0  # quarter turns of the range screw; out, which lowers both points, counts up
    nut: int = 0  # quarter turns of the smaller nut; in, which raises cut-out alone, counts up

    @property
    def cut_in(self) -> float:
        """Where the switch resets [Pa gauge]."""
        return self.preset[0] - rules.PER_TURN[0] * rules.QUARTER * self.quarters

    @property
    def cut_out(self) -> float:
        """Where the switch trips [Pa gauge]."""
        nut = rules.PER_TURN_OF_DIFFERENTIAL * rules.QUARTER * self.nut
        return self.preset[1] - rules.PER_TURN[1] * rules.QUARTER * self.quarters + nut

    def turned(self, *, quarters: int = 0, nut: int = 0) -> "Screw":
        """Turn it further, or raise LabkitError where thread or spring ends."""
        after = attrs.evolve(self, quarters=self.quarters + quarters, nut=self.nut + nut)
        if problem := after.problem:
            raise LabkitError(sentence("rig", problem))
        return after

    @property
    def problem(self) -> str:
        """Why a switch cannot be set so, as a key of the words; empty if it can."""
        into, out = (round(turns / rules.QUARTER) for turns in rules.MOST_TURNS)
        if not -into <= self.quarters <= out:
            return "stud-ends"
        if abs(self.nut) > _MOST_NUT:
            return "thread-ends"
        if self.cut_in < rules.LEAST_CUT_IN:
            return "spring-slack"
        if self.cut_out - self.cut_in < rules.LEAST_DIFFERENTIAL:
            return "no-closer"
        return ""

    def every(self, *, has_nut: bool) -> Iterator["Screw"]:
        """Return every way in which it can be set."""
        into, out = (round(turns / rules.QUARTER) for turns in rules.MOST_TURNS)
        nuts = range(-_MOST_NUT, _MOST_NUT + 1) if has_nut else (self.nut,)
        for quarters in range(-into, out + 1):
            for nut in nuts:
                one = attrs.evolve(self, quarters=quarters, nut=nut)
                if not one.problem:
                    yield one


def from_the_box(rng: np.random.Generator) -> Screw:
    """Take a switch from its box: near the label, but never quite at it."""
    off = rules.SPRING_SPREAD * float(rng.uniform(-1.0, 1.0))
    return Screw(preset=(rules.PRESET[0] + off, rules.PRESET[1] + off))

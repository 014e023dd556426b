"""What every sheet of questions needs: the exercise, how it is drawn, and readings of a site."""

from collections.abc import Callable, Sequence
from typing import TypeVar

import attrs
import numpy as np

from labkit.engine.fluid import water_at
from labkit.engine.run import simulate
from labkit.engine.steady import Steady
from labkit.parts import MANIFOLD, CentrifugalPump
from labkit.questions import Question
from labkit.questions.bank import Value, story
from labkit.questions.draw import draw, learner_number, rng_of
from labkit.questions.marking import NumberQuestion, is_unambiguous
from labkit.questions.phrase import Phrase
from labkit.site import Site
from labkit.sun import Sun
from labkit.trace import Trace
from labkit.units import quantity, si

Wanted = TypeVar("Wanted")


@attrs.frozen(kw_only=True)
class Exercise:
    """What one learner is given."""

    learner: int
    site: Site
    story: Phrase
    verdict: str
    questions: tuple[Question, ...]


@attrs.frozen(kw_only=True)
class Draft:
    """A line that was drawn, and what is asked about it; worked out only as far as it suits."""

    site: Site
    verdict: str
    does: Callable[[], bool]  # whether it does what was wanted, with nothing close
    asks: Callable[[], Sequence[Question]]
    # what the story tells beside the line's own numbers
    tells: Callable[[], dict[str, Value]] = dict


def exercise(
    number: int, outcomes: Sequence[Wanted], thrown: Callable[[np.random.Generator, Wanted], Draft]
) -> Callable[[int | str], Exercise]:
    """Return what makes an exercise for a learner's number; neighbors get different outcomes."""

    def make(learner: int | str) -> Exercise:
        own = learner_number(learner)
        wanted = outcomes[own % len(outcomes)]
        return drawn_for(number, own, lambda rng: thrown(rng, wanted))

    return make


def drawn_for(number: int, own: int, thrown: Callable[[np.random.Generator], Draft]) -> Exercise:
    """Return an exercise, thrown until it suits, for a learner's own number."""
    rng = rng_of(own, exercise=number)
    drawn = draw(thrown, rng, is_good=lambda one: one.does() and are_clear(one.asks()))
    return Exercise(
        learner=own,
        site=drawn.site,
        story=story(f"exercise_{number}", **(told(drawn.site) | drawn.tells())),
        verdict=drawn.verdict,
        questions=tuple(drawn.asks()),
    )


def weight_of_water(site: Site) -> float:
    """Return the weight of the water in a site's line [N/m3]."""
    return water_at(site.place).weight


def are_clear(asked: Sequence[Question]) -> bool:
    """Whether no answer to any of the questions can be taken for two things."""
    return all(is_unambiguous(one) for one in asked if isinstance(one, NumberQuestion))


def to_si(number: float, unit: str) -> float:
    """Return a number of a unit in SI, such as 45 of ``"ft"``."""
    return si(quantity(f"{number} {unit}", unit))


def shut_off_head(site: Site) -> float:
    """Return the pump's shut-off head [m]."""
    if not isinstance(site.pump, CentrifugalPump):
        raise TypeError("only a centrifugal pump has a shut-off head")
    return si(site.pump.shut_off_head)


def losses(site: Site, settled: Steady) -> tuple[float, float, float]:
    """Return what climb, friction and float valve take in a settled line of one trough [Pa]."""
    trough = site.troughs[0]
    climb, valve = weight_of_water(site) * si(trough.pipe.rise), settled.pressure[trough.name]
    return climb, settled.pressure[MANIFOLD] - climb - valve, valve


def cycle(trace: Trace) -> tuple[float, float]:
    """Return how long the pump rests and runs once the line swings, or nothing if it does not."""
    starts, stops = trace.times("pump starts"), trace.times("pump stops")
    if len(starts) < 3 or len(stops) < 2:
        return 0.0, 0.0
    return round(starts[1] - stops[0]), round(stops[1] - starts[1])


def an_hour(site: Site, sun: Sun | str, level: str) -> Trace:
    """Run an hour from a level of the first trough that leaves it some filling to do."""
    return simulate(site, "1 hour", sun=sun, start="12:00", levels={site.troughs[0].name: level})


def told(site: Site) -> dict[str, Value]:
    """Return what stories tell of a line: its first trough and pipe, well, switch and tank."""
    trough, switch, tank = site.troughs[0], site.pressure_switch, site.pressure_tank
    return {
        "rise": si(trough.pipe.rise),
        "length": si(trough.pipe.length),
        "size": trough.pipe.size,
        "volume": si(trough.volume),
        "lift": si(site.well.static_level),
        "elevation": si(site.place.elevation),
        "cut_in": si(switch.cut_in),
        "cut_out": si(switch.cut_out),
        "tank": 0.0 if tank is None else si(tank.volume),
    }


def set_at(cut_in: int, cut_out: int) -> dict[str, str]:
    """Return what sets a line's switch [psi], the tank's air two pounds under cut-in."""
    return {
        "pressure_switch.cut_in": f"{cut_in} psi",
        "pressure_switch.cut_out": f"{cut_out} psi",
        "pressure_tank.precharge": f"{cut_in - 2} psi",
    }


def pump_of(shut_off: int) -> dict[str, str]:
    """Return what gives a line's pump a shut-off head [ft], its rated head two thirds of that."""
    return {
        "pump.shut_off_head": f"{shut_off} ft",
        "pump.rated_head": f"{round(0.66 * shut_off)} ft",
    }

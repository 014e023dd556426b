"""What a surge did, in plain sentences."""

from math import isfinite
from typing import Final

import numpy as np

from labkit.engine.layout import PUMP_NODE
from labkit.engine.surge_options import BY_THE_FLOAT, VALVE
from labkit.engine.surge_record import WORKING_SHARE, RunSurge, Spot, Surge
from labkit.language import say
from labkit.parts import MANIFOLD
from labkit.text import Words

WORDS: Final = Words("surge")  # American English, in the trade's terms, keyed by what it means


_WORTH_A_WORD: Final = 2e-4  # water run back that is worth a word [m3]
_DEEP: Final = 3.0  # depth under the gauge that explains much of a pressure [m]


def surge_sentence(surge: Surge, system: str = "US") -> str:
    """Say what a surge did: the words under its picture, and for one who does not see it."""
    return " ".join(surge_lines(surge, system))


def surge_alt(surge: Surge, system: str = "US") -> str:
    """Return the words that stand for the picture to one who does not see it."""
    return f"{WORDS['picture']} {surge_sentence(surge, system)}"


def surge_lines(surge: Surge, system: str) -> list[str]:
    """Say what a surge did, a sentence a line."""
    lines = [_cause(surge), _jump(surge, system), _highest(surge, system)]
    run = surge.tightest
    lines.append(
        WORDS["margin" if run.margin >= 0.0 else "over"].format(
            pipe=pipe_words(run),
            margin=say(abs(run.margin), "pressure", system),
            rating=say(run.rating, "pressure", system),
            size=run.size,
        )
    )
    lines += _overworked(surge)
    lines.append(_switch(surge, system))
    if surge.lowest.pressure < 0.0:
        low = say(surge.lowest.pressure, "pressure", system)
        where = place_words(surge, surge.lowest, system)
        on_map = any(run.end == surge.lowest.run for run in surge.path())
        seen = "" if on_map else WORDS["off the map"]
        lines.append(WORDS["suction"].format(pressure=low, where=where, seen=seen))
    if surge.boils:
        lines.append(WORDS["boils"])
    if surge.balance.returned > _WORTH_A_WORD:
        volume = say(surge.balance.returned, "volume", system)
        lines.append(WORDS["returned"].format(volume=volume))
    if isfinite(surge.lock_time):
        lines.append(WORDS["locked"].format(time=say(surge.lock_time, "time", system)))
    return lines


def _highest(surge: Surge, system: str) -> str:
    """Say where the pressure is highest, and what a column of water standing there weighs of it."""
    spot = surge.highest
    run = next(run for run in surge.runs if run.end == spot.run)
    depth = -float(np.interp(spot.distance, run.distance, run.elevation))
    return WORDS["highest low down" if depth > _DEEP else "highest"].format(
        pressure=say(spot.pressure, "pressure", system),
        where=place_words(surge, spot, system),
        depth=say(depth, "length", system),
        column=say(surge.weight * depth, "pressure", system),
    )


def _overworked(surge: Surge) -> list[str]:
    """Say which pipe works above the rule of thumb without any wave, the worst of them."""
    run = max(surge.runs, key=lambda run: run.working_pressure / run.rating)
    if run.keeps_working_share:
        return []
    share = f"{run.working_pressure / run.rating:.0%}"
    limit = f"{WORKING_SHARE:.0%}"
    return [WORDS["hard"].format(pipe=pipe_words(run), share=share, limit=limit)]


def _switch(surge: Surge, system: str) -> str:
    """Say when the wave is at the switch, and whether it trips."""
    key = "trips early" if surge.trips_early else "trips" if surge.trips_switch else "no trip"
    over = 2.0 * surge.arrival + min(surge.closing_time, surge.arrival)  # the first wave is by
    if key == "trips" and surge.event == VALVE and surge.trip_time > over:
        key = "trips later" if surge.site.pressure_tank is None else "trips into tank"
    begun = "arrival" if surge.arrival > 0.0 else "born there"
    return WORDS[begun].format(time=say(surge.arrival, "time", system)) + WORDS[key].format(
        time=say(surge.trip_time, "time", system),
        settled=say(surge.settled_pressure, "pressure", system),
    )


def place_words(surge: Surge, spot: Spot, system: str) -> str:
    """Say where a spot is: at a node, or how far along a pipe."""
    run = next(run for run in surge.runs if run.end == spot.run)
    near = 0.51 * abs(run.distance[1] - run.distance[0])
    for node in (run.end, run.start):
        if abs(surge.distance[node] - spot.distance) <= near:
            return WORDS["at"].format(node=node_words(node))
    distance = say(spot.distance, "length", system)
    return WORDS["between"].format(distance=distance, node=node_words(run.end))


def node_words(node: str) -> str:
    """Call a node what it is called in a sentence."""
    key = {MANIFOLD: MANIFOLD, PUMP_NODE: "pump in the well"}.get(node)
    return WORDS[key] if key else node


def pipe_words(run: RunSurge) -> str:
    """Call a run of pipe what it is called at the start of a sentence."""
    if run.start == PUMP_NODE:
        return WORDS["drop pipe"]
    return WORDS["pipe"].format(node=node_words(run.end))


def _cause(surge: Surge) -> str:
    """Say what set off the wave."""
    key = surge.event
    if key == VALVE and surge.closing == BY_THE_FLOAT:
        key = "valve shuts by its float"
    elif key == VALVE and surge.closing_time == 0.0:
        key = "valve shuts at once"
    return WORDS[key].format(trough=surge.trough, time=say(surge.closing_time, "time", "US"))


def _jump(surge: Surge, system: str) -> str:
    """Say how the pressure changes where the wave is made."""
    shuts = surge.event == VALVE
    place = surge.trough if shuts else MANIFOLD
    series = surge.pressure[place]
    return WORDS["jump" if shuts else "fall"].format(
        place=node_words(place),
        before=say(float(series[0]), "pressure", system),
        peak=say(float(series.max()), "pressure", system),
        low=say(float(series.min()), "pressure", system),
    )

"""Technicians by script: one who knows the trade and nothing but the readings, and blind ones."""

import contextlib
from typing import TYPE_CHECKING

from labkit.advice.bounds import limits
from labkit.advice.line import Line
from labkit.advice.setting import Room, settings
from labkit.errors import LabkitError
from labkit.parts import MANIFOLD
from labkit.rigs import Handover, Rig, hand_over
from labkit.units import si
from tests import customary

if TYPE_CHECKING:
    from labkit.drills import Value

PSI = customary.PSI
FACTORY = (30.0, 50.0)
PER_TURN = (3.5, 4.5)
"""What the label and the lesson say of the switch [psi]."""
RATING_TO_SPARE = 2.0
LATE = 15.5 * 3600.0
"""When the strong sun of a day is over [s after midnight]."""


def read(rig: Rig, name: str = "gauge") -> float:
    """Give what the last line of the log says, in psi or as it stands."""
    value = next(one for one in rig.log[-1].values if one.name == name).value
    assert not isinstance(value, str)
    return value / PSI if name in ("gauge", "own gauge", "air") else value


def word(rig: Rig, name: str) -> str:
    (found,) = (one.value for one in rig.log[-1].values if one.name == name)
    assert isinstance(found, str)
    return found


def clicks(rig: Rig, kind: str) -> list[float]:
    """Give the gauge at each click of the switch that was heard so far, in psi."""
    found: list[Value] = [one.gauge for entry in rig.log for one in entry.heard if one.kind == kind]
    return [float(value.value) / PSI for value in found]


def up(rig: Rig, *, but: str = "") -> Rig:
    """Hold every float up but one, which is pushed down first: a pump may run that nothing stops."""
    wanted = {t.name: "always open" if t.name == but else "always shut" for t in rig.site.troughs}
    if but:
        rig = roomy(rig, but)
    for name, position in sorted(wanted.items(), key=lambda one: one[1]):
        if rig.position(name) != position:
            rig = rig.act("float", name, state=position)
    return rig


def roomy(rig: Rig, where: str) -> Rig:
    """Let a trough run out that has no room for a float held down for a while."""
    trough = rig.site.trough(where)
    is_full = float(rig.trace.level[where][-1]) > 0.4 * si(trough.depth)
    return rig.act("plug", where) if is_full else rig


def free(rig: Rig) -> Rig:
    for trough in rig.site.troughs:
        rig = rig.act("float", trough.name, state="floats")
    return rig


def until(rig: Rig, least: float) -> Rig:
    """Wait for a sun [W/m2], as one waits for a cloud to pass or for noon, or for another day."""
    for _ in range(400):
        if rig.log and read(rig, "sun") >= least:
            return rig
        rig = rig.act("wait", amount=3.0) if rig.clock < LATE else rig.act("day")
    raise AssertionError("no such sun came")


def enough(rig: Rig) -> float:
    """Give a sun near the day's best [W/m2]: the sheet says what a clear noon gives."""
    return 0.9 * float(rig.scene.standing.sun.behind(0.0).irradiance.max())


def strong(rig: Rig) -> Rig:
    """Wait, controller off, until the sun is near the day's best."""
    if read(rig, "sun") >= enough(rig):
        return rig
    waited = until(rig.act("power", state="off"), enough(rig))
    return waited.act("power", state="on")


def settled(rig: Rig) -> Rig:
    """Wait until the needle has stood still for six minutes: four readings in a row alike."""
    seen = [read(rig)]
    for _ in range(40):
        rig = rig.act("wait", amount=2.0)
        seen = [*seen[-3:], read(rig)]
        if len(seen) == 4 and max(seen) - min(seen) < 1.5:
            break
    return rig


def suns(rig: Rig) -> list[float]:
    """Give the sun at each of the last things done."""
    return [float(next(v.value for v in e.values if v.name == "sun")) for e in rig.log[-4:]]


def opened(rig: Rig) -> Rig:
    """Controller off, pressure let off: what comes before any fitting is opened."""
    return rig.act("power", state="off").act("bleed")


def closed(rig: Rig) -> Rig:
    return rig.act("refill").act("power", state="on")


def filling_and_rest(rig: Rig) -> tuple[Rig, float, float]:
    """Read each trough while it fills alone in strong sun, then pump off; note the highest."""
    running, static = [], []
    for trough in rig.site.troughs:
        for _ in range(10):
            rig = settled(up(strong(rig), but=trough.name))
            if trough.pipe.profile:
                rig = filled_beyond(rig, trough.name)
            # under two psi an empty line is still filling; a cloud may have passed meanwhile
            if read(rig) > 2.0 and min(suns(rig)) >= enough(rig):
                break
        running.append(read(rig))
        rig = settled(rig.act("power", state="off"))
        static.append(read(rig))
        rig = rig.act("power", state="on")
    rig = rig.act("sheet", "filling", amount=max(running) * PSI).act(
        "sheet", "static", amount=max(static) * PSI
    )
    return rig, max(running), max(static)


def filled_beyond(rig: Rig, where: str) -> Rig:
    """Wait behind high ground until the needle climbs: the pipe beyond it fills first."""
    first = read(rig)
    for _ in range(12):
        if read(rig) > first + 2.0:
            break
        rig = roomy(rig, where).act("wait", amount=8.0)
    return settled(rig)


def dead_head(rig: Rig, running: float) -> tuple[Rig, float]:
    """Read where the gauge ends in weak sun with every float up, started from a float down.

    The cloths are hung in clear sun: under a cloud they would let too much through once it passes.
    Behind high ground the pipe fills first, and the gauge stands at no more than it `running` had.
    """
    has_crest = any(trough.pipe.profile for trough in rig.site.troughs)
    down = rig.site.troughs[0].name
    for _ in range(40):
        rig = strong(up(rig, but=down).act("cloth", amount=0.0))
        try:
            rig = rig.act("cloth", amount=rig.window.sun.least)
            if read(rig, "bare sun") < enough(rig):
                continue
            rig = settled(up(rig))
            for _ in range(12 if has_crest else 0):
                if word(rig, "pump") != "runs" or read(rig) > running + 2.0:
                    break
                rig = settled(rig.act("wait", amount=3.0))
        except LabkitError:
            rig = (
                rig.act("wait", amount=3.0)
                if rig.clock < LATE
                else rig.act("day").act("power", state="on")
            )
            continue
        for _ in range(8):  # a cloud over the cloths passes; of more sun the check valve would tell
            if _is_weak(rig):
                return rig.act("sheet", "dead head", amount=read(rig) * PSI), read(rig)
            if max(suns(rig)) > 1.1 * rig.window.sun.least:
                break
            rig = settled(rig)
    return rig.act("sheet", "dead head", amount=read(rig) * PSI), read(rig)


def _is_weak(rig: Rig) -> bool:
    """Say whether the pump runs, and the sun was as weak as it should be while the needle rested."""
    least = rig.window.sun.least
    return word(rig, "pump") == "runs" and all(abs(sun - least) < 0.1 * least for sun in suns(rig))


def rating(rig: Rig) -> float:
    """Give what the as-built sheet says the line stands, at the gauge, in psi."""
    line = Line.of(rig.window.site)
    weight, heights = line.plant.weight, line.layout.elevations
    return (
        min(one.pressure + weight * (heights[one.node] - heights[MANIFOLD]) for one in limits(line))
        / PSI
    )


def turn_to(rig: Rig, cut_in: float, cut_out: float, at: tuple[float, float]) -> Rig:
    """Turn from two points to two others [psi], with the nuts that there are."""
    if rig.has_nut:
        quarters = round(4.0 * (at[0] - cut_in) / PER_TURN[0])
        moved = at[1] - PER_TURN[1] * quarters / 4.0
        nut = round(4.0 * (cut_out - moved) / 2.5)
        rig = rig.act("nut", amount=nut) if nut else rig
    else:
        quarters = round(4.0 * (at[1] - cut_out) / PER_TURN[1])
    return rig.act("screw", amount=quarters) if quarters else rig


def heard_lately(rig: Rig, kind: str, since: int) -> bool:
    return any(notice.kind == kind for entry in rig.log[since:] for notice in entry.heard)


def cycled(rig: Rig, where: str) -> Rig:
    """Let it run in strong sun, then every float up until it stops, and note the highest.

    Once more where a cloud came in between.
    """
    for _ in range(8):
        rig = up(strong(rig), but=where)
        for _ in range(8):
            if word(rig, "pump") == "runs":
                break
            rig = rig.act("wait", amount=1.0)
        since = len(rig.log)
        rig = up(rig)
        for _ in range(15):
            if heard_lately(rig, "switch trips", since):
                break
            rig = rig.act("wait", amount=2.0)
        if min(suns(rig)) >= enough(rig):
            break
    return rig.act("sheet", "peak", amount=max(clicks(rig, "highest")[-1:], default=0.0) * PSI)


def back(rig: Rig, where: str) -> Rig:
    """Push a float down until the switch clicks back and the pump starts."""
    since = len(rig.log)
    rig = up(rig, but=where)
    for _ in range(15):
        if heard_lately(rig, "switch resets", since) and word(rig, "pump") == "runs":
            break
        rig = rig.act("wait", amount=1.0)
    return up(rig)


def by_the_book(rig: Rig) -> tuple[Rig, str]:
    """Work the lesson's order by readings alone; give the line, and a remedy where none fits."""
    if rig.site.relief_valve is not None:
        rig = rig.act("relief")
    rig = opened(rig).act("pair", state="off").act("test gauge")
    rig, floor, low = filling_and_rest(closed(rig))
    rig, ceiling = dead_head(rig, floor)
    ceiling = min(ceiling, rating(rig) - RATING_TO_SPARE)
    rig = rig.act("power", state="off").act("pair", state="on")
    rig = rig.act("cloth", amount=0.0).act("power", state="on")
    room = Room(cut_in_above=low * PSI, floor=floor * PSI, ceiling=ceiling * PSI)
    chosen = next(settings(room, (FACTORY[1] - FACTORY[0]) * PSI), None)
    if chosen is None:
        return free(rig), "more array"
    cut_in, cut_out = chosen.cut_in / PSI, chosen.cut_out / PSI
    rig = turn_to(rig, cut_in, cut_out, FACTORY)
    highest = max(rig.site.troughs, key=lambda t: rig.site.elevation(t.name)).name
    for _ in range(3):
        rig = back(cycled(rig, highest), highest)
        seen = (clicks(rig, "switch resets")[-1:], clicks(rig, "switch trips")[-1:])
        if not all(seen):
            break
        (under,), (over,) = seen
        aim = rig
        with contextlib.suppress(LabkitError):  # thread or spring ends: as near as it goes
            aim = turn_to(rig, cut_in, cut_out, (under, over))
        if abs(over - cut_out) <= 2.0 or aim is rig:
            break
        rig = aim
    if rig.air is not None:
        under = clicks(rig, "switch resets")[-1]
        rig = closed(opened(rig).act("air", amount=(under - 2.0) * PSI))
    return free(back(cycled(rig, highest), highest)), ""


def careful(rig: Rig) -> Handover:
    return hand_over(*by_the_book(rig))


def blind(rig: Rig, cut_in: float, cut_out: float) -> Handover:
    """Turn to a common setting by the count, write down what is common, hand over."""
    with contextlib.suppress(LabkitError):
        rig = turn_to(rig, cut_in, cut_out, FACTORY)
    for reading, usual in (("static", 9.0), ("filling", 30.0), ("dead head", 50.0), ("peak", 45.0)):
        rig = rig.act("sheet", reading, amount=usual * PSI)
    if rig.air is not None:
        rig = closed(opened(rig).act("air", amount=(cut_in - 2.0) * PSI))
    return hand_over(rig)


def blind_with_motions(rig: Rig, cut_in: float, cut_out: float) -> Handover:
    """Do as the lesson says, one thing after the other, without a look at any gauge."""
    if rig.site.relief_valve is not None:
        rig = rig.act("relief")
    where = rig.site.troughs[0].name
    rig = closed(opened(rig).act("pair", state="off").act("test gauge"))
    rig = up(rig, but=where).act("power", state="off").act("power", state="on")
    rig = up(rig.act("cloth", amount=rig.window.sun.least)).act("cloth", amount=0.0)
    rig = rig.act("power", state="off").act("pair", state="on").act("power", state="on")
    return blind(free(back(cycled(turn_to(rig, cut_in, cut_out, FACTORY), where), where)), *FACTORY)

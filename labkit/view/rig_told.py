"""What is said on the page of the commissioning rig, in the units that the learner reads."""

from typing import Final

from labkit.advice.bounds import limits
from labkit.advice.line import Line
from labkit.advice.rules import PER_TURN, PER_TURN_OF_DIFFERENTIAL, PRESET
from labkit.advice.window import Window
from labkit.drills.doing import seen
from labkit.parts import MANIFOLD
from labkit.questions import Amount
from labkit.rigs import PRICES, Entry, Handover, Hint, Reading, Rig
from labkit.rigs.readings import noon
from labkit.rigs.scoring import FREE_MINUTES, MINUTES_A_POINT
from labkit.text import sentence
from labkit.text.shared import WORDS
from labkit.units import si
from labkit.view import field_numbers
from labkit.view.field_numbers import at_most, gauge
from labkit.view.telling import format_amount

_MOST_HEARD: Final = 4
_ALSO: Final = {
    "own gauge": ("read-own", "own"), "contact": ("read-contact", "contact"),
    "air": ("read-air", "air"), "flow": ("read-flow", "flow"), "opens at": ("read-relief", "opens"),
    "bare sun": ("read-bare", "sun"),
}  # fmt: skip
"""Readings that only some actions bring: their sentence, and what it calls them."""


def say(key: str, **values: str | float) -> str:
    """Return a sentence of the rig; spaces in its name stand for dashes."""
    return sentence("rig", key.replace(" ", "-"), **values)


def amount(value: float, kind: str, system: str) -> str:
    """Write an amount."""
    return format_amount(Amount(value, kind), system)


def story(rig: Rig, system: str) -> list[str]:
    """Tell the line as its builder left it, and what is to be done."""
    site = rig.window.site
    pump = "pump-displacement" if rig.has_displacement_pump else "pump-centrifugal"
    job = say(
        "job",
        title=site.title,
        lift=amount(si(site.well.static_level), "length", system),
        pump=say(pump),
    )
    troughs = [line for trough in site.troughs for line in _trough_lines(rig, trough.name, system)]
    label = say(
        "label",
        low=amount(PRESET[0], "pressure", system),
        high=amount(PRESET[1], "pressure", system),
        per_low=amount(PER_TURN[0], "pressure", system),
        per_high=amount(PER_TURN[1], "pressure", system),
    )
    parts = [say(f"stop-{site.drive.stop_when}"), label]
    if rig.has_nut:
        nut = amount(PER_TURN_OF_DIFFERENTIAL, "pressure", system)
        parts.append(say("nut", per_nut=nut))
    if site.pressure_tank is not None:
        air = si(site.pressure_tank.precharge)
        parts.append(say("tank", air=amount(air, "pressure", system)))
    parts.append(say("rating", rating=at_most(weakest(rig), system)))
    parts.append(say("noon", noon=amount(noon(rig), "irradiance", system)))
    least = amount(rig.window.sun.least, "irradiance", system)
    return [" ".join([job, *troughs, say("helper")]), " ".join(parts), say("goal", least=least)]


def _trough_lines(rig: Rig, name: str, system: str) -> list[str]:
    """Tell how far and how high a trough is, and what ground lies between."""
    site = rig.window.site
    pipe = site.trough(name).pipe
    height = site.elevation(name)
    rise = "level" if abs(height) < 0.2 else "above" if height > 0.0 else "below"
    far = amount(site.distances()[name], "length", system)
    told = [
        say("trough", name=name, far=far, rise=rise, height=amount(abs(height), "length", system))
    ]
    if pipe.profile:
        crest = max(Line.of(site).layout.elevations.values())
        told.append(say("crest", name=name, height=amount(crest, "length", system)))
    return told


def weakest(rig: Rig) -> float:
    """Return the least that any part of the line stands, at the gauge [Pa]."""
    line = Line.of(rig.window.site)
    weight, heights = line.plant.weight, line.layout.elevations
    level = heights[MANIFOLD]
    return min(one.pressure + weight * (heights[one.node] - level) for one in limits(line))


def price(key: str) -> str:
    """Write what a thing costs in minutes."""
    return f"{PRICES[key]:g}"


def turns_words(quarters: int) -> str:
    """Write quarter turns with their direction, such as ``"3 1/2 turns looser"``."""
    said = f"{field_numbers.quarters(quarters) or '0'} turn{'' if abs(quarters) <= 4 else 's'}"
    return say("turned-out" if quarters >= 0 else "turned-in", turns=said)


def done(entry: Entry, system: str) -> str:
    """Say what was done."""
    key = f"did-{entry.key}"
    if entry.key in ("float", "cloth", "power", "pair", "air"):
        key += f"-{entry.state}"
    quarters = round(entry.amount)
    reading = say(f"sheet-{entry.where}") if entry.key == "sheet" else ""
    return say(
        key,
        where=entry.where,
        minutes=f"{entry.amount:g}",
        turns=turns_words(-quarters if entry.key == "nut" else quarters),
        pressure=amount(entry.amount, "pressure", system),
        sun=amount(entry.amount, "irradiance", system),
        reading=reading[:1].lower() + reading[1:],
    )


def heard(entry: Entry, system: str) -> str:
    """Say what was heard meanwhile; no more than a few things of it."""
    said = [
        say(one.kind, gauge=value_words(one.gauge.value, "pressure", system)) for one in entry.heard
    ]
    if "ran over" in entry.slips:
        said.insert(0, say("runs-over"))
    if len(said) > _MOST_HEARD:
        said = [*said[:_MOST_HEARD], say("more", count=len(said) - _MOST_HEARD)]
    return "; ".join(said) or say("nothing")


def value_words(value: float | str, kind: str, system: str) -> str:
    """Write something read."""
    return seen(value) if isinstance(value, str) else amount(value, kind, system)


def read_words(entry: Entry, system: str) -> dict[str, str]:
    """Write everything that was read, by its name."""
    return {one.name: value_words(one.value, one.kind, system) for one in entry.values}


def others(entry: Entry, system: str) -> str:
    """Say what only this action brought to light."""
    read = read_words(entry, system)
    return " ".join(say(key, **{as_: read[n]}) for n, (key, as_) in _ALSO.items() if n in read)


def last_read(entry: Entry, system: str) -> str:
    """Say what was read at last."""
    read = read_words(entry, system)
    said = say("read", gauge=read["gauge"], pump=read["pump"], sun=read["sun"])
    return f"{said} {others(entry, system)}".strip()


def states(rig: Rig, system: str) -> list[str]:
    """Say how floats, nuts, cloths, controller and valves are."""
    depths = {trough.name: si(trough.depth) for trough in rig.site.troughs}
    floats = "; ".join(
        say(
            "state-float",
            where=name,
            held=say(f"held-{rig.position(name)}"),
            level=amount(float(rig.trace.level[name][-1]), "small length", system),
            depth=amount(depth, "small length", system),
        )
        for name, depth in depths.items()
    )
    turned = turns_words(rig.screw.quarters) if rig.screw.quarters else say("as-came")
    said = [say("state-floats", floats=floats), say("state-nut", turns=turned)]
    if rig.screw.nut:
        said.append(say("state-small", turns=turns_words(-rig.screw.nut)))
    if rig.air is not None:
        said.append(say("state-air", air=amount(rig.air, "pressure", system)))
    if rig.is_shaded:
        said.append(say("state-cloth"))
    if not rig.is_on:
        said.append(say("state-off"))
    if not rig.is_paired:
        said.append(say("state-pair"))
    if rig.is_bled:
        said.append(say("state-bled"))
    return said


def hint_words(told: Hint, system: str) -> str:
    """Say a hint."""
    named = {one.name: amount(one.value, "pressure", system) for one in told.pressures}
    return say(f"hint-{told.key}", where=told.where, **named)


def undone_words(rig: Rig) -> str:
    """Say what must be put right before anybody leaves."""
    said = [
        say(f"undone-{key}")
        if key in ("cloth", "pair", "refill", "power")
        else say("undone-float", where=key)
        for key in rig.undone
    ]
    return say("problem-undone", what="; ".join(said))


def verdict_name(verdict: str) -> str:
    """Write a verdict's name alone, in small letters."""
    name = WORDS[verdict].split(":")[0].rstrip(".")
    return f"{name[:1].lower()}{name[1:]}"


def remedy_words(kinds: tuple[str, ...]) -> str:
    """List remedies."""
    return "; ".join(say(f"remedy-{kind}") for kind in kinds)


def why(left: Handover) -> dict[str, str]:
    """Say how each part's points come about."""
    right = sum(one.is_right for one in left.readings)
    minutes = say(
        "why-minutes", minutes=f"{left.minutes:g}", free=f"{FREE_MINUTES:g}",
        per=f"{MINUTES_A_POINT:g}",
    )  # fmt: skip
    return {
        "readings": say("why-readings", right=right, all=len(left.readings)),
        "procedure": say("why-procedure", count=len(left.slips)),
        "outcome": _why_outcome(left),
        "minutes": minutes if left.works else say("why-no-minutes"),
    }


def _why_outcome(left: Handover) -> str:
    verdict, remedies = verdict_name(left.judged.verdict), remedy_words(left.remedies)
    if not left.remedy:
        if left.remedies and not left.works:
            return say("why-hopeless", verdict=verdict.capitalize(), remedies=remedies)
        return say("why-works", verdict=verdict)
    if left.works:
        return say("why-remedy-right")
    if left.remedies:
        return say("why-remedy-wrong", remedies=remedies)
    return say("why-remedy-needless")


def answer_words(window: Window, system: str) -> str:
    """Say in a line what is right for a line: the setting, or what it needs instead."""
    chosen = window.recommended
    if chosen is None:
        return remedy_words(tuple(one.kind for one in window.remedies))
    return say("answer", low=gauge(chosen.cut_in, system), high=gauge(chosen.cut_out, system))


def left_at(left: Handover, system: str) -> str:
    """Say what setting was left, and how far the nearest limit is."""
    return say(
        "left-at",
        low=gauge(left.cut_in, system),
        high=gauge(left.cut_out, system),
        margin="past" if left.margin < 0.0 else "in",
        by=gauge(abs(left.margin), system),
    )


def reading_row(one: Reading, rig: Rig, system: str) -> list[str]:
    """Write a reading: its name, what was written, what the line had, and how it came out."""
    had = "; ".join(dict.fromkeys(gauge(p, system) for p in one.taken[-3:]))
    least = amount(rig.window.sun.least, "irradiance", system)
    if one.is_right:
        result = say("right")
    elif not one.taken:
        result = say("not-taken", how=say(f"how-{one.name}", least=least))
    elif one.written is None:
        result = say("not-written")
    else:
        result = say("wrong-reading")
    wrote = "" if one.written is None else amount(one.written, "pressure", system)
    return [say(f"sheet-{one.name}"), wrote, had, result]

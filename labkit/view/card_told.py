"""The settings card in words: rows and lines for the page, each number with its unit."""

from functools import partial
from typing import Final

from labkit.advice.card import MIDDLING, Card
from labkit.advice.proving import Proof
from labkit.advice.rules import PRESET, RATING_SHARE, ROOM, UNDER_CUT_IN
from labkit.advice.setting import steps_of
from labkit.errors import shortened
from labkit.faults import FAULTS
from labkit.language import say
from labkit.parts import DisplacementPump
from labkit.questions import Amount
from labkit.text import Words
from labkit.units import FlowAt, leak_size, si
from labkit.units.customary import PSI
from labkit.view.field_numbers import (
    at_least,
    at_most,
    bucket,
    gap,
    gauge,
    lapse,
    right_by,
    size,
    watch,
)
from labkit.view.telling import format_amount
from labkit.view.window_told import alert_lines as window_alerts
from labkit.view.window_told import (
    remedy_words,
    slow_lines,
    source_words,
    steps_source,
    turns_words,
)

CARD_WORDS: Final = Words("card")  # American English, about the eighth grade, in the trade's terms


def card_phrase(card: Card, key: str) -> str:
    """Return a phrase of a card; a pump on the mains knows neither array nor noon."""
    on_mains = CARD_WORDS.get(f"{key}, mains") if card.site.drive.kind == "mains" else None
    return on_mains or CARD_WORDS[key]


MOST_TROUGHS: Final = 4
"""Troughs with a row of their own: those with the highest gauge, so that one sheet will do."""
_NO_WATER: Final = 1e-7
_LONGEST: Final = 14


def setting_facts(card: Card, units: str) -> list[tuple[str, str, str]]:
    """Return the settings, each with its name and how far off still counts as right."""
    chosen, words = card.setting, CARD_WORDS
    off_in, off_out = card.window.off_by
    facts = [
        (
            words["cut-in"],
            gauge(chosen.cut_in, units),
            right_by(off_in, chosen.cut_in, units, words),
        ),
        (
            words["cut-out"],
            gauge(chosen.cut_out, units),
            right_by(off_out, chosen.cut_out, units, words),
        ),
        (words["differential"], gap(chosen.cut_in, chosen.cut_out, units), ""),
    ]
    if card.site.pressure_tank is not None:
        charge = chosen.precharge
        facts.append(
            (words["precharge"], gauge(charge, units), right_by(PSI, charge, units, words))
        )
    return facts


def setting_steps(card: Card, units: str) -> list[str]:
    """Return the steps of setting, by the gauge first, then the room that is left."""
    words, chosen = CARD_WORDS, card.setting
    charge = gauge(chosen.precharge, units)
    tank = [words["how 2"].format(p=charge)] if card.site.pressure_tank is not None else []
    turns = words["how 4"].format(turns=turns_words(chosen))
    both = card.window.site.drive.listens_to == "either"
    prove = words["how 5, sensors" if both else "how 5"]
    return [words["how 1"], *tank, words["how 3"], turns, prove, _room(card, units)]


def _room(card: Card, units: str) -> str:
    room = card.window.room
    low, high = (gauge(each, units) for each in (card.haze.push, card.noon.push))
    return CARD_WORDS["room"].format(
        static=at_least(room.cut_in_above, units),
        floor=at_least(room.floor, units),
        ceiling=at_most(room.ceiling, units),
        push=CARD_WORDS["push"].format(low=low, high=high) if low != high else high,
    )


def proof_rows(card: Card, units: str) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return the heads and the rows of the steps that prove the setting."""
    words = CARD_WORDS
    solar = card.site.drive.kind == "solar"
    proofs = (card.noon, card.haze) if solar else (card.noon,)
    heads = tuple(
        words[key].format(sun=say(proof.sun, "irradiance", units))
        for key, proof in zip(("noon", "haze"), proofs, strict=False)
    )
    heads = heads if solar else (words["any time"],)
    name = _named(card.trough)
    order = sorted(card.noon.gauge, key=lambda one: (one != card.trough, -card.noon.gauge[one]))
    if len(order) > MOST_TROUGHS:
        order = order[: MOST_TROUGHS - 1]  # one row is for the rest
    shown = [trough.name for trough in card.site.troughs if trough.name in order]

    def read(proof: Proof, trough: str) -> str:
        key = "gauge and flow" if proof.flow[trough] > _NO_WATER else "no water"
        pressure, flow = max(proof.gauge[trough], 0.0), proof.flow[trough]
        return words[key].format(gauge=gauge(pressure, units), flow=bucket(flow, units))

    rows = [
        (
            words["filling"].format(name=_named(trough)),
            *(read(proof, trough) for proof in proofs),
            words["ok gauge and flow"].format(by=gauge(0.5 * ROOM, units)),
        )
        for trough in shown
    ]
    left = len(card.site.troughs) - len(shown)
    if left:
        rows.append((words["more troughs"].format(count=left), *("" for _ in proofs), ""))
    static = next(t.static for t in card.window.troughs if t.name == card.trough)
    rest, by = gauge(max(static, 0.0), units), gauge(0.5 * ROOM, units)
    ok_gauge, ok_time = words["ok gauge"].format(by=by), words["ok time"]
    rows += [
        (words["lift"], *(watch(proof.stops_after) for proof in proofs), ok_time),
        (words["peak"], *(gauge(proof.peak, units) for proof in proofs), ok_gauge),
        (words["holds"], *(gauge(proof.later, units) for proof in proofs), ok_gauge),
        (words["back"].format(name=name), *(watch(proof.back_after) for proof in proofs), ok_time),
        (words["rest"].format(name=name), *(rest for _ in proofs), ok_gauge),
    ]
    return (words["step"], *heads, words["ok"]), rows


def sign_rows(card: Card, units: str) -> list[tuple[str, str, str]]:
    """Return the rows of "if you see this, do that"."""
    rows = []
    for telltale in card.telltales:
        said = {name: _amount(*amount, units) for name, amount in telltale.amounts.items()}
        said |= {"name": _named(telltale.where), "charge": gauge(card.setting.precharge, units)}
        causes = ", ".join(FAULTS[cause].key for cause in telltale.causes)
        keys = (telltale.key, f"{telltale.key} do")
        see, do = (card_phrase(card, key).format(**said) for key in keys)
        rows.append((see, causes, do))
    return rows


def alert_lines(card: Card, units: str) -> list[str]:
    """Return what must be known before anybody turns a nut."""
    lines = window_alerts(card.window, units)
    if card.setting.is_narrow and card.window.remedies:
        remedy = remedy_words(card.window.remedies[0], units)
        lines.insert(1, CARD_WORDS["to widen"].format(remedy=f"{remedy[:1].lower()}{remedy[1:]}"))
    return lines


def caution_lines(card: Card, units: str) -> list[str]:
    """Return what may hurt or mislead."""
    words = CARD_WORDS
    lines = []
    if card.site.drive.kind == "solar":
        sun = say(card.stops_from, "irradiance", units)
        lines.append(words["weak sun stop"].format(sun=sun))
    if card.site.relief_valve is not None:
        opens = gauge(si(card.site.relief_valve.opens_at), units)
        lines.append(words["relief"].format(opens=opens))
    lines += [card_phrase(card, "live"), words["holds pressure"]]
    if isinstance(card.site.pump, DisplacementPump):
        lines.append(words["displacement"])
    lines += slow_lines(card.window, units)
    return [*lines, words["lids"], words["codes"]]


def assumption_lines(card: Card, units: str) -> list[str]:
    """Return what the numbers rest on, each with where it comes from."""
    from labkit import __version__  # noqa: PLC0415 - the face is complete by now

    words, site = CARD_WORDS, card.site
    steps = steps_of(card.site.pressure_switch)
    turn_in, turn_out, nut = (say(each, "pressure", units) for each in steps)
    low, high = (gauge(each, units) for each in PRESET)
    judged, limit = card.window.judged, card.site.drive.most_starts
    leak = FAULTS["buried leak"].size_at(card.site, card.trough, MIDDLING)
    water = words["water"].format(
        temperature=say(si(site.place.water_temperature), "temperature", units),
        column=format_amount(Amount(card.weight, "column"), units),
        elevation=say(si(site.place.elevation), "length", units),
    )
    lines = [
        card_phrase(card, "as stated"),
        water,
        words[site.friction].format(c=f"{site.hazen_williams_c:g}"),
        words["sun range"] if site.drive.kind == "solar" else "",
        words["preset"].format(
            low=low, high=high, per_in=turn_in, per_out=turn_out, per_nut=nut,
            source=steps_source(card.site),
        ),
        words["starts"].format(
            starts=judged.starts, most=f"{judged.most_starts:g}",
            source=source_words(is_measured=limit is not None),
        ) if judged else "",
        words["ok means"].format(by=gauge(0.5 * ROOM, units)),
        words["under"].format(under=gauge(UNDER_CUT_IN, units)) if site.pressure_tank else "",
        words["rating"].format(share=f"{RATING_SHARE:.0%}"),
        card_phrase(card, "faults").format(leak=_leak_words(leak, units)),
        words["made by"].format(version=__version__),
    ]  # fmt: skip
    return [line for line in lines if line]


def _leak_words(leak: str, units: str) -> str:
    found = leak_size(leak)
    if not isinstance(found, FlowAt):
        return size(si(found.diameter), "small length", units)
    return f"{size(si(found.flow), 'flow', units)} at {gauge(si(found.pressure), units)}"


def _named(trough: str) -> str:
    return shortened(trough, _LONGEST)


def _amount(value: float, kind: str, units: str) -> str:
    if kind == "time":
        return watch(value)
    if kind == "lapse":
        return lapse(value)
    return {"pressure": gauge, "flow": bucket}.get(kind, partial(size, kind=kind))(
        value, units=units
    )

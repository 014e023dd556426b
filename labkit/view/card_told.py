"""The settings card in words: rows and lines for the page, each number with its unit."""

from math import isfinite
from typing import TYPE_CHECKING, Final

from labkit.advice.rules import (
    PER_TURN,
    PER_TURN_OF_DIFFERENTIAL,
    PRESET,
    RATING_SHARE,
    ROOM,
    UNDER_CUT_IN,
)
from labkit.advice.telltale import MIDDLING
from labkit.check import Amount
from labkit.errors import shortened
from labkit.faults import FAULTS
from labkit.parts import DisplacementPump
from labkit.units import FlowAt, leak_size, si
from labkit.view.card_words import CARD_WORDS, card_phrase
from labkit.view.language import say, say_gap
from labkit.view.telling import written_amount
from labkit.view.window_told import remedy_words, screw_words, turned

if TYPE_CHECKING:
    from labkit.advice.card import Card
    from labkit.advice.proving import Proof
    from labkit.advice.telltale import Telltale

MOST_TROUGHS: Final = 4
"""Troughs with a row of their own: those with the highest gauge, so that one sheet will do."""
_NO_WATER: Final = 1e-7
_LONGEST: Final = 14


def setting_facts(card: "Card", units: str) -> list[tuple[str, str]]:
    """Give the settings, each with its name."""
    chosen, words = card.setting, CARD_WORDS
    facts = [
        (words["cut-in"], _p(chosen.cut_in, units)),
        (words["cut-out"], _p(chosen.cut_out, units)),
        (words["differential"], say_gap(chosen.cut_in, chosen.cut_out, "pressure", units)),
    ]
    if card.site.pressure_tank is not None:
        facts.append((words["precharge"], _p(chosen.precharge, units)))
    return [*facts, (words["screw"], turned(chosen.turns, more="out", less="in"))]


def setting_steps(card: "Card", units: str) -> list[str]:
    """Give the steps of setting, then the room that is left."""
    words, chosen = CARD_WORDS, card.setting
    charge = _p(chosen.precharge, units)
    tank = [words["how 2"].format(p=charge)] if card.site.pressure_tank is not None else []
    screw = words["how 3"].format(screw=screw_words(chosen, units))
    return [words["how 1"], *tank, screw, words["how 4"], _room(card, units)]


def _room(card: "Card", units: str) -> str:
    room = card.window.room
    low, high = (_p(each, units) for each in (card.haze.push, card.noon.push))
    push = CARD_WORDS["push"].format(low=low, high=high) if low != high else high
    return CARD_WORDS["room"].format(
        static=_p(room.cut_in_above, units),
        floor=_p(room.floor, units),
        ceiling=_p(room.ceiling, units),
        margin=_p(card.setting.margin, units),
        push=push,
    )


def proof_rows(card: "Card", units: str) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Give the heads and the rows of the steps that prove the setting."""
    words = CARD_WORDS
    solar = card.site.drive.kind == "solar"
    proofs = (card.noon, card.haze) if solar else (card.noon,)
    heads = tuple(
        words[key].format(sun=say(proof.sun, "irradiance", units))
        for key, proof in zip(("noon", "haze"), proofs, strict=False)
    )
    heads = heads if solar else (words["any time"],)
    name = _named(card.trough)
    shown = _shown(card)
    rows = [
        (
            words["filling"].format(name=_named(trough)),
            *(_gauge_and_flow(proof, trough, units) for proof in proofs),
        )
        for trough in shown
    ]
    left = len(card.site.troughs) - len(shown)
    if left:
        rows.append((words["more troughs"].format(count=left), *("" for _ in proofs)))
    static = next(t.static for t in card.window.troughs if t.name == card.trough)
    rest = _p(max(static, 0.0), units)
    rows += [
        (words["lift"], *(_time(proof.stops_after) for proof in proofs)),
        (words["peak"], *(_p(proof.peak, units) for proof in proofs)),
        (words["holds"], *(_p(proof.later, units) for proof in proofs)),
        (words["back"].format(name=name), *(_time(proof.back_after) for proof in proofs)),
        (words["rest"].format(name=name), *(rest for _ in proofs)),
    ]
    return (words["step"], *heads), rows


def _shown(card: "Card") -> list[str]:
    """Choose the troughs with rows of their own, in the site's order; one row is for the rest."""
    gauge, all_of_them = card.noon.gauge, len(card.site.troughs) <= MOST_TROUGHS
    order = sorted(gauge, key=lambda name: (name != card.trough, -gauge[name]))
    kept = order if all_of_them else order[: MOST_TROUGHS - 1]
    return [trough.name for trough in card.site.troughs if trough.name in kept]


def _gauge_and_flow(proof: "Proof", trough: str, units: str) -> str:
    gauge, flow = _p(max(proof.gauge[trough], 0.0), units), proof.flow[trough]
    key = "gauge and flow" if flow > _NO_WATER else "no water"
    return CARD_WORDS[key].format(gauge=gauge, flow=say(flow, "flow", units))


def sign_rows(card: "Card", units: str) -> list[tuple[str, str, str]]:
    """Give the rows of "if you see this, do that"."""
    return [_sign(card, telltale, units) for telltale in card.telltales]


def _sign(card: "Card", telltale: "Telltale", units: str) -> tuple[str, str, str]:
    said = {name: _amount(*amount, units) for name, amount in telltale.amounts.items()}
    said |= {"name": _named(telltale.where), "charge": _p(card.setting.precharge, units)}
    causes = ", ".join(FAULTS[cause].key for cause in telltale.causes)
    see, do = (
        card_phrase(card, key).format(**said) for key in (telltale.key, f"{telltale.key} do")
    )
    return see, causes, do


def caution_lines(card: "Card", units: str) -> list[str]:
    """Give what may hurt or mislead."""
    words = CARD_WORDS
    lines = []
    if card.setting.is_narrow:
        remedies = card.window.remedies
        remedy = remedy_words(remedies[0], units) if remedies else ""
        lines.append(words["narrow"].format(by=_p(0.5 * ROOM, units), remedy=remedy).strip())
    if card.site.drive.kind == "solar":
        sun = say(card.stops_from, "irradiance", units)
        lines.append(words["weak sun stop"].format(sun=sun))
    lines += [card_phrase(card, "live"), words["holds pressure"]]
    if isinstance(card.site.pump, DisplacementPump):
        lines.append(words["displacement"])
    return [*lines, words["lids"], words["codes"]]


def assumption_lines(card: "Card", units: str) -> list[str]:
    """Give what the numbers rest on, each with where it comes from."""
    from labkit import __version__  # noqa: PLC0415 - the face is complete by now

    words, site = CARD_WORDS, card.site
    turn_in, turn_out = (_p(each, units) for each in PER_TURN)
    low, high = (_p(each, units) for each in PRESET)
    water = words["water"].format(
        temperature=say(si(site.place.water_temperature), "temperature", units),
        column=written_amount(Amount(card.weight, "column"), units),
        elevation=say(si(site.place.elevation), "length", units),
    )
    lines = [
        card_phrase(card, "as stated"),
        water,
        words[site.friction].format(c=site.hazen_williams_c),
        words["sun range"] if site.drive.kind == "solar" else "",
        words["preset"].format(
            low=low, high=high, per_in=turn_in, per_out=turn_out,
            per_nut=_p(PER_TURN_OF_DIFFERENTIAL, units),
        ),
        words["under"].format(under=_p(UNDER_CUT_IN, units)) if site.pressure_tank else "",
        words["rating"].format(share=RATING_SHARE),
        words["off by"].format(by=_p(0.5 * ROOM, units)),
        card_phrase(card, "faults").format(leak=_leak(card, units)),
        words["made by"].format(version=__version__),
    ]  # fmt: skip
    return [line for line in lines if line]


def _leak(card: "Card", units: str) -> str:
    """Say how big the leaks of the signs are."""
    size = leak_size(FAULTS["buried leak"].size_at(card.site, card.trough, MIDDLING))
    if not isinstance(size, FlowAt):
        return _amount(si(size.diameter), "small length", units)
    return f"{_amount(si(size.flow), 'flow', units)} at {_p(si(size.pressure), units)}"


def _named(trough: str) -> str:
    return shortened(trough, _LONGEST)


def _p(pascals: float, units: str) -> str:
    return _amount(pascals, "pressure", units)


def _amount(value: float, kind: str, units: str) -> str:
    return _time(value) if kind == "time" else say(value, kind, units).replace(".0 ", " ")


def _time(seconds: float) -> str:
    """Say a time as on a watch; one that does not come within an hour, so."""
    return say(seconds, "time", "US") if isfinite(seconds) else "over an hour"

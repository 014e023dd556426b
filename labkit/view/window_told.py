"""The operating window in plain words: what to mind first, the setting, its limits, the cures."""

from typing import TYPE_CHECKING, Final

import attrs

from labkit.advice.rules import LEAST_CUT_IN, PRESET, ROOM, TANK_SIZES
from labkit.advice.setting import steps_of
from labkit.language import say, say_time
from labkit.text.shared import WINDOW_WORDS, WORDS
from labkit.units import si
from labkit.units.customary import GALLON, MINUTE
from labkit.view.field_numbers import at_least, at_most, gap, gauge, quarters, right_by, size
from labkit.view.judge_words import judged_words, starts_words

if TYPE_CHECKING:
    from labkit.advice.bounds import Bound, Caution
    from labkit.advice.remedies import Remedy
    from labkit.advice.setting import Setting
    from labkit.advice.window import Window
    from labkit.site import Site


def window_lines(window: "Window", system: str = "US") -> list[str]:
    """Tell a window, a sentence or two a line: what to mind comes first."""
    words = WINDOW_WORDS
    low, high = (say(sun, "irradiance", system) for sun in (window.sun.low, window.sun.high))
    solar = window.site.drive.kind == "solar"
    lines = [
        words["title"].format(site=window.site.title),
        (words["range"] if solar else words["mains"]).format(low=low, high=high),
        "",
        *alert_lines(window, system),
    ]
    if not window.is_by_switch:
        return [*lines, words["level sensor"], own_words(window, system)]
    return [
        *lines,
        *setting_lines(window, system),
        own_words(window, system),
        "",
        *(bound_words(bound, system) for bound in deciding(window)),
        "",
        *trough_lines(window, system),
        *remedy_lines(window, system),
    ]


def reason_lines(window: "Window", system: str = "US") -> list[str]:
    """Tell why there is no setting, and what would open the window."""
    if not window.is_by_switch:
        return [WINDOW_WORDS["level sensor"]]
    return [
        *alert_lines(window, system),
        *setting_lines(window, system),
        *(bound_words(bound, system) for bound in deciding(window)),
        *remedy_lines(window, system)[1:],
    ]


def alert_lines(window: "Window", system: str) -> list[str]:
    """Tell what must be known first: a narrow window, no tank, what no setting can mend."""
    said = [caution_words(caution, system) for caution in window.cautions]
    lines = [WINDOW_WORDS["mind"].format(what=words) for words in said]
    chosen = window.recommended
    if chosen is not None and chosen.is_narrow:
        lines.insert(0, WINDOW_WORDS["narrow"].format(by=gauge(0.5 * ROOM, system)))
    return lines + tank_lines(window, system)


def tank_lines(window: "Window", system: str) -> list[str]:
    """Tell what it costs to have no tank, and what size cures it."""
    bare = window.no_tank
    if bare is None:
        return []
    said = WINDOW_WORDS["no tank"].format(starts=starts_words(bare.starts))
    if bare.is_quiet:
        return [f"{said} {WINDOW_WORDS['no tank needed']}"]
    largest = size(TANK_SIZES[-1] * GALLON, "volume", system)
    if bare.volume is None:
        return [f"{said} {WINDOW_WORDS['no tank cures'].format(volume=largest)}"]
    volume = size(bare.volume, "volume", system)
    return [f"{said} {WINDOW_WORDS['tank cures'].format(volume=volume, less=bare.starts_with)}"]


def slow_lines(window: "Window", system: str) -> list[str]:
    """Tell what stock that drink slowly make of a setting, where the motor does not stand it."""
    slow = window.slow_drinking
    if slow is None or slow.is_bearable:
        return []
    said = WINDOW_WORDS["slow"].format(starts=slow.starts, most=f"{slow.most_starts:g}")
    key = "slow cured" if slow.volume is not None else "slow uncured"
    volume = TANK_SIZES[-1] * GALLON if slow.volume is None else slow.volume
    cure = WINDOW_WORDS[key].format(volume=size(volume, "volume", system))
    return [f"{said} {cure}"]


def remedy_lines(window: "Window", system: str) -> list[str]:
    """Tell the remedies, the easiest first, after an empty line; nothing where none is wanted."""
    found = (*window.beside_a_tank, *window.remedies)
    if not found:
        wants = window.is_by_switch and window.recommended is None
        return ["", WINDOW_WORDS["no remedy"]] if wants else []
    told = [remedy_words(remedy, system) for remedy in found]
    if len(told) == 1:
        return ["", WINDOW_WORDS["remedy"].format(what=told[0])]
    numbered = [f"{number}. {words}" for number, words in enumerate(told, 1)]
    return ["", WINDOW_WORDS["remedies"], *numbered]


def deciding(window: "Window") -> list["Bound"]:
    """Return the bounds worth telling: the tightest from below, and each kind from above."""
    found = [window.tightest("cut-in", "above"), window.tightest("cut-out", "above")]
    upper = sorted((b for b in window.bounds if b.side == "below"), key=lambda b: b.pressure)
    return [bound for bound in (*found, *upper) if bound is not None]


def bound_words(bound: "Bound", system: str) -> str:
    """Tell one bound."""
    sun = ""
    if bound.sun is not None and bound.name in {"running", "dead head"}:
        key = "from sun" if bound.name == "running" else "in sun"
        sun = WINDOW_WORDS[key].format(sun=say(bound.sun, "irradiance", system))
    if bound.name == "static" and bound.pressure <= 0.0:
        return WINDOW_WORDS["no static"].format(least=at_least(LEAST_CUT_IN, system))
    if bound.name == "dead head" and bound.pressure <= 0.0:
        return WINDOW_WORDS["no dead head"].format(sun=sun)
    pressure = (at_least if bound.side == "above" else at_most)(bound.pressure, system)
    crest = WINDOW_WORDS["over crest"] if bound.crest else ""
    return WINDOW_WORDS[bound.name].format(p=pressure, where=bound.where, sun=sun, crest=crest)


def trough_lines(window: "Window", system: str) -> list[str]:
    """Tell what the switch sees of each trough, and of all together."""

    def p(pascals: float) -> str:
        return gauge(pascals, system)

    lines = []
    for trough in window.troughs:
        key = "trough alike" if p(trough.least) == p(trough.most) else "trough"
        lines.append(
            WINDOW_WORDS[key].format(
                name=trough.name, static=p(trough.static), least=p(trough.least),
                most=p(trough.most),
            )
        )  # fmt: skip
        if trough.crest is not None:
            lines.append(
                WINDOW_WORDS["crest"].format(static=p(trough.static), low=p(trough.at_first))
            )
    low, high = (p(pressure) for pressure in window.dead_head)
    key = "all open alike" if low == high else "all open"
    return [*lines, WINDOW_WORDS[key].format(p=p(window.all_open), low=low, high=high)]


def setting_lines(window: "Window", system: str) -> list[str]:
    """Tell the setting to choose and how to get there, or why there is none."""
    chosen, words = window.recommended, WINDOW_WORDS
    if chosen is None:
        return _none_lines(window, system)
    points = (chosen.cut_in, chosen.cut_out)
    off_in, off_out = (
        right_by(off, point, system, words)
        for off, point in zip(window.off_by, points, strict=True)
    )
    lines = [
        words["setting"].format(
            cut_in=gauge(chosen.cut_in, system),
            cut_out=gauge(chosen.cut_out, system),
            differential=gap(chosen.cut_in, chosen.cut_out, system),
        ),
        words["right if"].format(off_in=off_in, off_out=off_out),
    ]
    if window.site.pressure_tank is not None:
        under = gap(chosen.precharge, chosen.cut_in, system)
        lines.append(words["precharge"].format(p=gauge(chosen.precharge, system), under=under))
    overshoot = at_least(max(window.overshoot, 0.0), system)
    margin = words["margin"].format(margin=at_most(chosen.margin, system), overshoot=overshoot)
    lines.append(margin)
    if window.judged is not None and window.judged.starts is not None:
        lines.append(words["starts"].format(starts=window.judged.starts))
    lines += slow_lines(window, system)
    steps = steps_of(window.site.pressure_switch)
    per_in, per_out, _ = (say(step, "pressure", system) for step in steps)
    low, high = (gauge(p, system) for p in PRESET)
    turns = words["turns"].format(
        low=low, high=high, per_in=per_in, per_out=per_out,
        source=steps_source(window.site), turns=turns_words(chosen),
    )  # fmt: skip
    return [*lines, f"{turns} {words['gauge']}"]


def _none_lines(window: "Window", system: str) -> list[str]:
    """Tell why no setting is recommended."""
    words, refused = WINDOW_WORDS, window.judged
    if refused is not None:
        cut_in, cut_out = (gauge(p, system) for p in refused.site.pressure_switch.points)
        what = judged_words(refused, system)
        return [words["refused"].format(what=what, cut_in=cut_in, cut_out=cut_out)]
    low = window.room.lowest_cut_out(window.differential)
    edges = {"low": at_least(low, system), "high": at_most(window.room.ceiling, system)}
    return [words["empty"], words["empty by"].format(**edges)]


def turns_words(chosen: "Setting") -> str:
    """Tell the turns of the range nut, and of the small one where it takes both."""
    turns = WINDOW_WORDS["range nut"].format(turns=turned(chosen.turns, more="out", less="in"))
    if round(4.0 * chosen.differential_turns) == 0:
        return turns
    nut = turned(chosen.differential_turns, more="in", less="out")
    return f"{turns} {WINDOW_WORDS['nut'].format(turns=nut)}"


def steps_source(site: "Site") -> str:
    """Tell where the steps of a site's switch come from."""
    pairs = zip(steps_of(site.pressure_switch), steps_of(None), strict=True)
    return source_words(is_measured=any(abs(own - usual) > 1.0 for own, usual in pairs))


def source_words(*, is_measured: bool) -> str:
    """Tell whether a number is the site's own."""
    return WINDOW_WORDS["measured" if is_measured else "common"]


def turned(turns: float, *, more: str, less: str) -> str:
    """Write turns in quarters with their direction, such as ``"3 1/2 turns out"``."""
    count = round(4.0 * abs(turns))
    if count == 0:
        return WINDOW_WORDS["no turn"]
    key = "one turn" if count <= 4 else "more turns"
    amount = WINDOW_WORDS[key].format(turns=quarters(count))
    return WINDOW_WORDS[more if turns > 0.0 else less].format(turns=amount)


def own_words(window: "Window", system: str) -> str:
    """Tell what the line comes to as the site has it."""
    switch = window.site.pressure_switch
    what = judged_words(window.own, system)
    if not window.is_by_switch:
        return WINDOW_WORDS["own by level"].format(what=what)
    cut_in, cut_out = (gauge(si(point), system) for point in (switch.cut_in, switch.cut_out))
    return WINDOW_WORDS["own"].format(cut_in=cut_in, cut_out=cut_out, what=what)


_MEASURES: Final = {
    "smaller differential": "pressure",
    "crisper float valve": "small length",
    "bigger float valve": "flow",
    "tank": "volume",
    "more array": "power",
    "weak sun left out": "irradiance",
}


def remedy_words(remedy: "Remedy", system: str) -> str:
    """Tell one remedy; a size that is bought is the least that will do."""

    def amount(value: float | str) -> str:
        if isinstance(value, str):
            return value
        kind = _MEASURES[remedy.kind]
        return gauge(value, system) if kind == "pressure" else size(value, kind, system)

    if remedy.tank:
        tank, alone = size(remedy.tank, "volume", system), attrs.evolve(remedy, tank=0.0)
        return WINDOW_WORDS["with tank"].format(tank=tank, what=remedy_words(alone, system))
    before, after = amount(remedy.before), amount(remedy.after)
    key = "whole way" if remedy.kind == "bigger pipe" and remedy.where is None else remedy.kind
    return WINDOW_WORDS[key].format(
        before=before,
        after=after,
        where=remedy.where,
        instead=WINDOW_WORDS["instead"].format(before=before) if remedy.before else "",
        at=WINDOW_WORDS["at trough"].format(where=remedy.where) if remedy.where else "",
    )


def caution_words(caution: "Caution", system: str) -> str:
    """Tell one thing that no setting can mend."""
    key = "locks" if caution.name == "torque limit" else caution.name
    sun = say(caution.sun, "irradiance", system) if caution.sun is not None else WORDS["not known"]
    if caution.name == "late stop" and caution.sun is None:
        key = "late anytime"
    lasts = say_time(round(caution.lasts / MINUTE) * MINUTE)
    return WINDOW_WORDS[key].format(where=caution.where, sun=sun, lasts=lasts)

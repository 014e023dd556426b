"""The operating window in plain words: its bounds, the setting to choose, what would open it."""

from typing import TYPE_CHECKING, Final

from labkit.advice.rules import LEAST_CUT_IN, PRESET, ROOM
from labkit.units import si
from labkit.view.language import say, say_gap
from labkit.view.window_words import WINDOW_WORDS
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.advice.bounds import Bound
    from labkit.advice.cautions import Caution
    from labkit.advice.remedy import Remedy
    from labkit.advice.setting import Setting
    from labkit.advice.window import Window

_FRACTIONS: Final = {0: "", 1: "1/4", 2: "1/2", 3: "3/4"}


def window_lines(window: "Window", system: str = "US") -> list[str]:
    """Tell a window, a sentence or two a line.

    Parameters
    ----------
    window : Window
        The window.
    system : {"US", "metric"}
        Whose units.
    """
    words = WINDOW_WORDS
    low, high = (say(sun, "irradiance", system) for sun in (window.sun.low, window.sun.high))
    solar = window.site.drive.kind == "solar"
    lines = [
        words["title"].format(site=window.site.title),
        (words["range"] if solar else words["mains"]).format(low=low, high=high),
        "",
        *(bound_words(bound, system) for bound in deciding(window)),
        "",
        *trough_lines(window, system),
        "",
        *setting_lines(window, system),
        own_words(window, system),
    ]
    return [*lines, *remedy_lines(window, system), *_minded(window, system)]


def reason_lines(window: "Window", system: str = "US") -> list[str]:
    """Tell why a window is empty, and what would open it."""
    return [
        *setting_lines(window, system),
        *(bound_words(bound, system) for bound in deciding(window)),
        *remedy_lines(window, system)[1:],
        *_minded(window, system),
    ]


def remedy_lines(window: "Window", system: str) -> list[str]:
    """Tell the remedies, the least work first, after an empty line; nothing if there are none."""
    if not window.remedies:
        return []
    told = [remedy_words(remedy, system) for remedy in window.remedies]
    numbered = [f"{number}. {words}" for number, words in enumerate(told, 1)]
    return ["", WINDOW_WORDS["remedies"], *numbered]


def _minded(window: "Window", system: str) -> list[str]:
    """Tell what no setting can mend."""
    said = [caution_words(caution, system) for caution in window.cautions]
    return [WINDOW_WORDS["mind"].format(what=words) for words in said]


def deciding(window: "Window") -> list["Bound"]:
    """Give the bounds worth telling: the tightest from below, and each kind from above."""
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
        return WINDOW_WORDS["no static"].format(least=say(LEAST_CUT_IN, "pressure", system))
    if bound.name == "dead head" and bound.pressure <= 0.0:
        return WINDOW_WORDS["no dead head"].format(sun=sun)
    pressure = say(bound.pressure, "pressure", system)
    return WINDOW_WORDS[bound.name].format(p=pressure, where=bound.where, sun=sun)


def trough_lines(window: "Window", system: str) -> list[str]:
    """Tell what the switch sees of each trough, and of all together."""

    def p(pascals: float) -> str:
        return say(pascals, "pressure", system)

    lines = []
    for trough in window.troughs:
        key = "trough alike" if p(trough.least) == p(trough.most) else "trough"
        lines.append(
            WINDOW_WORDS[key].format(
                name=trough.name, static=p(trough.static), least=p(trough.least),
                most=p(trough.most),
            )
        )  # fmt: skip
    low, high = (p(pressure) for pressure in window.dead_head)
    key = "all open alike" if low == high else "all open"
    return [*lines, WINDOW_WORDS[key].format(p=p(window.all_open), low=low, high=high)]


def setting_lines(window: "Window", system: str) -> list[str]:
    """Tell the setting to choose and how to get there, or that there is none."""
    chosen, words = window.recommended, WINDOW_WORDS
    if chosen is None:
        low = window.room.lowest_cut_out(window.differential)
        edges = {
            "low": say(low, "pressure", system),
            "high": say(window.room.ceiling, "pressure", system),
        }
        return [words["empty"], words["empty by"].format(**edges)]
    lines = [
        words["setting"].format(
            cut_in=say(chosen.cut_in, "pressure", system),
            cut_out=say(chosen.cut_out, "pressure", system),
            differential=say_gap(chosen.cut_in, chosen.cut_out, "pressure", system),
        )
    ]
    if window.site.pressure_tank is not None:
        charge = say(chosen.precharge, "pressure", system)
        under = say_gap(chosen.precharge, chosen.cut_in, "pressure", system)
        lines.append(words["precharge"].format(p=charge, under=under))
    lines.append(f"{screw_words(chosen, system)} {words['gauge']}")
    nearest = window.room.nearest(chosen.cut_in, chosen.cut_out)
    margin = say_gap(*nearest, "pressure", system)
    overshoot = say(window.overshoot, "pressure", system)
    lines.append(words["margin"].format(margin=margin, overshoot=overshoot))
    if chosen.is_narrow:
        lines.append(words["narrow"].format(by=say(0.5 * ROOM, "pressure", system)))
    return lines


def screw_words(chosen: "Setting", system: str) -> str:
    """Tell the turns of the screw, and of the nut where it takes both."""
    low, high = (say(p, "pressure", system).replace(".0 ", " ") for p in PRESET)
    turns = turned(chosen.turns, more="out", less="in")
    screw = WINDOW_WORDS["turns"].format(turns=turns, low=low, high=high)
    if round(4.0 * chosen.differential_turns) == 0:
        return screw
    nut = turned(chosen.differential_turns, more="in", less="out")
    return f"{screw} {WINDOW_WORDS['nut'].format(turns=nut)}"


def turned(turns: float, *, more: str, less: str) -> str:
    """Write turns in quarters with their direction, such as ``"3 1/2 turns out"``."""
    quarters = round(4.0 * abs(turns))
    if quarters == 0:
        return WINDOW_WORDS["no turn"]
    whole, rest = divmod(quarters, 4)
    count = " ".join(part for part in (str(whole) if whole else "", _FRACTIONS[rest]) if part)
    amount = WINDOW_WORDS["one turn" if quarters <= 4 else "more turns"].format(turns=count)
    return WINDOW_WORDS[more if turns > 0.0 else less].format(turns=amount)


def own_words(window: "Window", system: str) -> str:
    """Tell what the switch does as the site has it."""
    switch = window.site.pressure_switch
    cut_in, cut_out = si(switch.cut_in), si(switch.cut_out)
    verdict = window.predicts(cut_in, cut_out)
    key = "own sound" if verdict == "sound stop" else "own bad"
    return WINDOW_WORDS[key].format(
        cut_in=say(cut_in, "pressure", system),
        cut_out=say(cut_out, "pressure", system),
        what=WINDOW_WORDS.get(verdict, ""),
    )


_MEASURES: Final = {
    "smaller differential": "pressure",
    "bigger float valve": "flow",
    "tank": "volume",
    "more array": "power",
    "weak sun left out": "irradiance",
}


def remedy_words(remedy: "Remedy", system: str) -> str:
    """Tell one remedy."""

    def amount(value: float | str) -> str:
        if isinstance(value, str):
            return value
        return say(value, _MEASURES[remedy.kind], system)

    before, after = amount(remedy.before), amount(remedy.after)
    key = "whole way" if remedy.kind == "bigger pipe" and remedy.where is None else remedy.kind
    instead = WINDOW_WORDS["instead"].format(before=before) if remedy.before else ""
    return WINDOW_WORDS[key].format(before=before, after=after, where=remedy.where, instead=instead)


def caution_words(caution: "Caution", system: str) -> str:
    """Tell one thing that no setting can mend."""
    key = "locks" if caution.name == "torque limit" else caution.name
    sun = say(caution.sun, "irradiance", system) if caution.sun is not None else WORDS["not known"]
    return WINDOW_WORDS[key].format(where=caution.where, sun=sun)

"""The operating window in plain words: its bounds, the setting to choose, what would open it."""

from typing import TYPE_CHECKING, Final

from labkit.advice.rules import LEAST_CUT_IN, PRESET, ROOM, UNDER_CUT_IN
from labkit.units import si
from labkit.view.language import say
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.advice.bounds import Bound
    from labkit.advice.cautions import Caution
    from labkit.advice.remedy import Remedy
    from labkit.advice.setting import Setting
    from labkit.advice.window import Window

WINDOW_WORDS: Final[dict[str, str]] = {
    "title": "{site}: where the pressure switch must stand",
    "range": "for a sun of {low} to {high}",
    "mains": "for a pump on the mains",
    # bounds
    "static": "Cut-in above {p}: with the pump off, the water standing up to {where} still weighs "
    "that much on the switch. Lower, and the pump never comes back.",
    "no static": "Cut-in: no trough lies above the switch, so no standing water holds it up. The "
    "spring itself wants {least} or more.",
    "running": "Cut-out above {p}: the switch sees that much while only {where} fills{sun}. Lower, "
    "and the pump stops before the trough is full.",
    "dead head": "Cut-out below {p}: with every float shut the pump pushes no higher{sun}. Higher, "
    "and it never stops.",
    "torque limit": "Cut-out below {p}: past that the pump pushes too hard on the shut line and "
    "the drive locks itself out.",
    "pipe rating": "Cut-out below {p}: the climb after the stop must leave the pipe to {where} "
    "under 72% of its rating, for surge.",
    "float holds": "Cut-out below {p}: past that the pressure forces the float valve at {where} "
    "open.",
    "relief valve": "Cut-out below {p}: past that the relief valve opens and water is lost.",
    "from sun": " (in a sun of {sun} or more)",
    "in sun": " in a sun of {sun}",
    # the troughs
    "trough": "{name}: {static} at rest, {least} to {most} while it fills.",
    "trough alike": "{name}: {static} at rest, {most} while it fills.",
    "all open": "All floats open: {p}. All shut: {low} to {high}.",
    "all open alike": "All floats open: {p}. All shut: {high}.",
    # the setting
    "setting": "Set cut-in {cut_in} and cut-out {cut_out}, which are {differential} apart.",
    "precharge": "Charge the tank to {p} with no water in it: {under} under cut-in.",
    "turns": "From a switch that comes set at {low} and {high}: range screw {turns}.",
    "nut": "Then the small differential nut {turns}.",
    "out": "{turns} out",
    "in": "{turns} in",
    "no turn": "as it is",
    "one turn": "{turns} turn",
    "more turns": "{turns} turns",
    "gauge": "Trust the gauge, not the count: no two springs are alike.",
    "margin": "The nearest limit is {margin} away; the stop overshoots by up to {overshoot}.",
    "narrow": "The window is narrow: a gauge or a switch may be off by {by}.",
    "empty": "The window is empty: no setting stops the pump in every sun and fills every trough.",
    "empty by": "Cut-out would have to lie above {low} and below {high} at once.",
    # the switch as it stands
    "own sound": "As it stands ({cut_in} and {cut_out}) the switch stops the pump soundly.",
    "own bad": "As it stands ({cut_in} and {cut_out}): {what}",
    "stuck off": "stuck off. The pressure never falls to cut-in.",
    "false stop": "false stop. It stops while a trough still fills.",
    "no stop": "no stop. In the weakest sun the pressure never reaches cut-out.",
    "safety stop": "safety stop. The drive locks itself out before cut-out.",
    "over pressure": "too high for the pipe, a float or the relief valve.",
    # the picture
    "picture title": "{site}: room for the switch",
    "pressure axis": "Pressure at the switch ({unit})",
    "height axis": "Height of water that weighs as much ({unit})",
    "row filling": "only {name} fills",
    "row shut": "every float shut",
    "row pipe rating": "pipe to {where}, 72%",
    "row float holds": "float at {where} holds",
    "row relief valve": "relief valve opens",
    "row torque limit": "torque limit",
    "key": "diamond: pump off, float open   bars: weakest to strongest sun   shaded: room for "
    "cut-out",
    "key none": "diamond: pump off, float open   bars: weakest to strongest sun   crossed: where "
    "the two bounds overlap",
    "room": "Cut-out between {low} and {high}",
    "no room": "No room: {low} is over {high}",
    "point cut-in": "cut-in {p}",
    "point cut-out": "cut-out {p}",
    "alt": "Picture of the pressures that bound the switch. ",
    # remedies
    "remedies": "Any one of these gives it room, the least work first:",
    "smaller differential": "Bring cut-in and cut-out closer together: {before} apart now, "
    "{after} will do.",
    "bigger float valve": "A bigger float valve at {where}: {after} where it passes {before} now.",
    "tank": "A pressure tank of {after}{instead}.",
    "instead": " in place of {before}",
    "more array": "A bigger array: {after} in place of {before}.",
    "stronger pipe": "Stronger pipe to {where}: {after} in place of {before}.",
    "bigger pipe": "Bigger pipe to {where}: {after} in place of {before}.",
    "whole way": "Bigger pipe all the way: {after} in place of {before}.",
    "weak sun left out": "Let the weak sun go: count only on sun from {after} up. In weaker sun "
    "the pump then pushes on against the shut line.",
    "another stop signal": "Another stop signal: a level sensor in the trough, by wire or radio, "
    "needs no window.",
    # cautions
    "low water": "with every float open the pump draws the well down to its intake.",
    "locks": "while {where} fills, the pump pushes too hard and the drive locks itself out.",
    "weak sun": "{where} gets no water in a sun under {sun}.",
    "no reach": "the pump cannot lift water to {where} in any of this sun.",
    "never starts": "as the switch is made and wired, the drive is told to stop even at no "
    "pressure, so the pump never starts: look at the switch's action, its contact and its wires.",
    "never stops": "as the switch is made and wired, it cannot tell the drive to stop: look at "
    "its action, its contact, its wires and its nipple.",
    "mind": "Mind: {what}",
}
"""Phrases of the window, keyed as in `labkit.view.words`."""

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
            differential=say(chosen.differential, "pressure", system),
        )
    ]
    if window.site.pressure_tank is not None:
        charge, under = (say(p, "pressure", system) for p in (chosen.precharge, UNDER_CUT_IN))
        lines.append(words["precharge"].format(p=charge, under=under))
    lines.append(f"{screw_words(chosen, system)} {words['gauge']}")
    margin, overshoot = (
        say(each, "pressure", system) for each in (chosen.margin, window.overshoot)
    )
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

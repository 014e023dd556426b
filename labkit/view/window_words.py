"""Phrases of the operating window, keyed as in `labkit.view.words`."""

from typing import Final

WINDOW_WORDS: Final[dict[str, str]] = {
    "title": "{site}: where the pressure switch must stand",
    "range": "for a sun of {low} to {high}",
    "mains": "for a pump on the mains",
    # bounds
    "static": "Cut-in above {p}: with the pump off, the water standing up to {where} still weighs "
    "that much on the switch. Lower, and the pump never comes back.",
    "no static": "Cut-in: no trough lies above the switch, so no standing water holds it up. The "
    "spring itself wants {least} or more.",
    "running": "Cut-out above {p}: the switch sees that much when only {where} fills and its float "
    "begins to close{sun}. Lower, and the pump stops before the trough is full.",
    "dead head": "Cut-out below {p}: with every float shut the pump pushes no higher{sun}. Higher, "
    "and it never stops.",
    "no dead head": "Cut-out: no setting will do, for the pump lifts no water to the switch{sun}.",
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
    "trough": "{name}: {static} at rest, {least} to {most} while it fills, the most when its float "
    "begins to close.",
    "trough alike": "{name}: {static} at rest, {most} while it fills.",
    "all open": "All floats wide open: {p}. All shut: {low} to {high}.",
    "all open alike": "All floats wide open: {p}. All shut: {high}.",
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
    "no stop": "no stop. In the weakest sun the pressure never reaches cut-out; strong sun alone "
    "proves nothing.",
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
    "key": "diamond: pump off, float open   {bars}shaded: room for cut-out",
    "key none": "diamond: pump off, float open   {bars}crossed: where the two bounds overlap",
    "bars": "bars: from the weakest sun ({low}) to the strongest ({high})   ",
    "weakest sun": "weakest sun",
    "weakest sun at": "weakest sun, {p}",
    "strongest sun": "strongest sun",
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
    "leaks": "with every float shut the line still loses water, so the pump comes back by itself, "
    "again and again: mend the leak, the float's seat or the check valve.",
    "no reach": "the pump cannot lift water to {where} in any of this sun.",
    "never starts": "as the switch is made and wired, the drive is told to stop even at no "
    "pressure, so the pump never starts: look at the switch's action, its contact and its wires.",
    "never stops": "as the switch is made and wired, it cannot tell the drive to stop: look at "
    "its action, its contact, its wires and its nipple.",
    "mind": "Mind: {what}",
}
"""See `labkit.view.window_told` for what is put in the braces."""

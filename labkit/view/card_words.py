"""Phrases of the settings card, keyed as in `labkit.view.words`."""

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from labkit.advice.card import Card

CARD_WORDS: Final[dict[str, str]] = {
    "title": "Settings card: {site}",
    "range": "Worked out for a sun of {low} to {high} on the array.",
    "mains": "Worked out for a pump on the mains.",
    "fill in": "Date: ____________   Gauge checked: ______   By: ______________",
    # settings
    "set": "Set it",
    "cut-in": "Cut-in",
    "cut-out": "Cut-out",
    "differential": "Differential",
    "precharge": "Tank charge (empty)",
    "screw": "Range screw",
    "how": "How",
    "how 1": "Drive off and locked off. Let the pressure off; drain the tank.",
    "how 2": "Charge the tank to {p}.",
    "how 3": "{screw}",
    "how 4": "Prove it (right). Trust the gauge, not the count of turns: no two springs are alike.",
    "room": "Room: cut-in above {static}, cut-out between {floor} and {ceiling}. The nearest limit "
    "is {margin} away. With no switch the pump would push to {push}.",
    "push": "{low} in haze, {high} at noon",
    # proving
    "prove": "Prove it: what gauge, bucket and watch show",
    "step": "Step",
    "noon": "Noon, {sun}",
    "haze": "Haze, {sun}",
    "any time": "Any time",
    "you read": "You read",
    "filling": "Only {name} filling: gauge, flow",
    "gauge and flow": "{gauge}, {flow}",
    "no water": "{gauge}, no water",
    "more troughs": "({count} more: see labkit window)",
    "lift": "Every float lifted: trips after",
    "peak": "Highest gauge on the way",
    "holds": "Pump off, ten minutes on: gauge",
    "back": "{name}'s float down: pump back after",
    "rest": "Drive off, {name} run out: gauge",
    # signs
    "signs": "If you see this, do that",
    "see": "You see",
    "suspect": "Suspect",
    "do": "Do",
    "runs on": "Floats up, the gauge goes past {past} on its way to {top}, and the pump runs on.",
    "runs on do": "Meter the contact at the switch, the pair off, then the pair at the "
    "controller. Not alike: mend the pair. Alike: the nipple or the switch.",
    "stays off": "Good sun, a float down, the gauge under {cut_in}, and the pump stands still.",
    "stays off do": "Meter the contact at the switch, the pair off, then the pair at the "
    "controller. Not alike: mend the pair. Alike: fit the action that the drive asks for.",
    "stalls": "Clear noon, floats up: the gauge stands still at {at} or thereabouts, short of "
    "{cut_out}, and the pump hums. It should be able to push to {push}.",
    "stalls do": "Wash the array and look for shade. If that is not it, the pump is worn. Do not "
    "chase it with the screw.",
    "short of water": "Clear noon, the float at {name} down: the bucket catches {under} or less. "
    "It should be {good}.",
    "short of water do": "Look at the array for dust and shade, sound the well at rest and "
    "pumping; only then think of the pump.",
    "stops early": "Clear noon, the float at {name} down: the gauge stands over {over} (it should "
    "be {good}), or the switch trips.",
    "stops early do": "Look for a valve half shut, a clogged strainer at the float, or smaller "
    "pipe: read its print (the next size down gives {high}).",
    "never back": "A float is down and dry, and the gauge stands at {stands} and falls no "
    "more. The pump never starts.",
    "never back do": "That is the weight of the standing water. Set cut-in back to {cut_in}.",
    "falls shut in": "Drive off, the valve at the manifold shut: the gauge falls by {fall} in "
    "about {takes}. It should hold.",
    "falls shut in do": "Nothing but the check valve can lose water there: fit a new one.",
    "falls open": "It holds with that valve shut; with it open, floats lifted, the gauge falls by "
    "{fall} in about {takes}.",
    "falls open do": "Lift the float and look: a drip into the trough is its seat. Dry: the leak "
    "is in the ground. Close in on it with valves.",
    "back at once": "The float at {name} goes down, and the pump is back within {waits}. It should "
    "take about {good}.",
    "back at once do": "Drive off, drain the tank, read its air: {charge}. If the air valve spits "
    "water, fit a new tank.",
    # signs on the mains
    "stays off, mains": "A float down, the gauge under {cut_in}, and the pump stands still.",
    "stalls, mains": "Floats up: the gauge stands still at {at} or thereabouts, short of "
    "{cut_out}, and the pump hums. It should be able to push to {push}.",
    "stalls do, mains": "The pump is worn. Do not chase it with the screw.",
    "short of water, mains": "The float at {name} down: the bucket catches {under} or less. It "
    "should be {good}.",
    "short of water do, mains": "Sound the well at rest and pumping; only then think of the pump.",
    "stops early, mains": "The float at {name} down: the gauge stands over {over} (it should be "
    "{good}), or the switch trips.",
    # cautions
    "cautions": "Take care",
    "live": "Panels are live in daylight, and so may the controller be. Meter the signal pair "
    "only; leave the rest, and all work in the well, to licensed people.",
    "live, mains": "The starter is live until its feed is locked off, and so may the signal pair "
    "be. Leave both, and all work in the well, to licensed people.",
    "holds pressure": "The line holds its pressure after the pump has stopped: let it off before "
    "you open anything.",
    "displacement": "This pump can burst a shut line: never work it with the relief valve shut "
    "off, missing or untried.",
    "lids": "Lids are heavy. Never climb into a tank or a well pit alone. Keep hoses out of the "
    "water, so that nothing is sucked back.",
    "codes": "The makers' instructions and local codes go before this card.",
    "weak sun stop": "In a sun under {sun} the pump pushes on below cut-out, floats up. Dawn, dusk "
    "and smoke do that; nothing is broken.",
    "narrow": "The room is narrow: less than {by} either way. {remedy}",
    # assumptions
    "assumed": "Taken for granted, and where it comes from",
    "as stated": "Well, pump, array, pipe, floats and tank as the site file states them.",
    "as stated, mains": "Well, pump, pipe, floats and tank as the site file states them.",
    "water": "Water at {temperature}; {column}. Air pressure of {elevation} (standard atmosphere).",
    "Darcy-Weisbach": "Friction by Darcy-Weisbach.",
    "Hazen-Williams": "Friction by Hazen-Williams, C = {c:g}.",
    "preset": "The switch comes set at {low} and {high}; a turn of the range screw moves them by "
    "{per_in} and {per_out} (common practice), of the small nut cut-out by {per_nut} (consumer "
    "pages: 2 to 3 psi).",
    "under": "Tank charged {under} under cut-in (Water Systems Council, Pressure Tanks, 2007).",
    "rating": "Pipe kept under {share:.0%} of its rating in water as warm, for surge, which is "
    "not computed here (Missouri Livestock Watering Systems Handbook, ch. 5, 1997).",
    "off by": "Gauge or switch may be {by} off (common practice).",
    "sun range": "Noon and haze are the ends of the range of sun reckoned with (common practice).",
    "faults": "Signs: each fault was put into this very line, at a middling size ({leak} for "
    "leaks), at noon, and run. Those that do not show are left out.",
    "faults, mains": "Signs: each fault was put into this very line, at a middling size ({leak} "
    "for leaks), and run. Those that do not show are left out.",
    "made by": "Made with labkit {version}. Numbers are computed; the gauge on site decides.",
    # the sketch
    "sketch": "Grade lines: how high the water would climb in an open hose",
    "running line": "running at noon, {name} filling",
    "running line, mains": "running, {name} filling",
    "static line": "at rest, {name}'s float down",
    "height axis": "Height above the gauge ({unit})",
    "distance axis": "Way along the pipe ({unit})",
    "trip": "cut-out {p}",
    "reset": "cut-in {p}",
    "well": "well: water {depth} down",
    "sketch alt": "Ground along the pipe with troughs {troughs}. Running at noon with {name} "
    "filling the grade line falls from {high} at the gauge to {low} at the trough; at rest it lies "
    "level at {static}.",
    "sketch alt, mains": "Ground along the pipe with troughs {troughs}. Running with {name} "
    "filling the grade line falls from {high} at the gauge to {low} at the trough; at rest it lies "
    "level at {static}.",
    "trough at": "{name} at {height}",
    # no card
    "no card": "There is no card for {site}: {why}",
}
"""American English, about the eighth grade, in the trade's terms."""


def card_phrase(card: "Card", key: str) -> str:
    """Give a phrase of a card; a pump on the mains knows neither array nor noon."""
    on_mains = CARD_WORDS.get(f"{key}, mains") if card.site.drive.kind == "mains" else None
    return on_mains or CARD_WORDS[key]

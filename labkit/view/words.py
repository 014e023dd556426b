"""Every phrase that the pictures and benches show, keyed by what it means.

Numbers and units are formatted apart and put in the braces, so that a second language needs only a
second catalogue.
"""

from typing import Final

WORDS: Final[dict[str, str]] = {
    # numbers
    "not known": "not known",
    "noon": "noon",
    "midnight": "midnight",
    # the sentence
    "period": "In {time} ",
    "no start": "the pump did not start",
    "one start": "the pump started once",
    "many starts": "the pump started {count} times",
    "shortest run": "shortest run {time}",
    "highest pressure": "highest pressure {pressure}",
    # verdicts
    "safety stop": "Safety stop: the drive locked itself out to save the pump.",
    "stuck off": "Stuck off: a trough called for water, but the pressure never fell to cut-in.",
    "no stop": "No stop: every float was shut and the pump pushed on, but the pressure never "
    "reached cut-out.",
    "false stop": "False stop: the pressure reached cut-out while a float was still wide open.",
    "cycling": "Cycling: with every float shut the pump stopped and started again and again.",
    "sound stop": "Sound stop: the floats shut, the pressure rose to cut-out and the pump stopped.",
    "still filling": "Still filling: the pump was not told to stop before the run ended.",
    "at rest": "At rest: nothing called for the pump.",
    # more precise ones
    "no stop over": "No stop: the pump pushed on while water ran over the rim of a trough; the "
    "pressure never reached cut-out.",
    # the same where the drive listens to a level sensor
    "stuck off by level": "Stuck off: a trough called for water, but the drive was held off.",
    "no stop by level": "No stop: no trough could take more water, and the pump pushed on untold.",
    "false stop by level": "False stop: the drive was told to stop while a trough still called "
    "for water.",
    "cycling by level": "Cycling: no trough called for water, yet the pump stopped and started "
    "again and again.",
    "sound stop by level": "Sound stop: no trough called for water any more and the pump stopped.",
    # flags
    "flag suction": "Somewhere the line was sucked empty: a real one would draw in air there, "
    "and run differently until it is pushed out again.",
    "flag velocity": "The water on its way to {where} reached {value}; more than {limit} is a "
    "common design limit.",
    "flag pressure": "The pipe to {where} had to hold {value}; at this water temperature it is "
    "rated for {limit}.",
    "flag drop pipe": "The drop pipe in the well had to hold {value}; at this water temperature "
    "it is rated for {limit}.",
    "flag starts": "The motor had {value} hard starts within an hour; about {limit} is the limit "
    "(common practice; the maker's figure rules).",
    # panels
    "pressure title": "Pressure at the switch ({unit})",
    "flow title": "Flow ({unit})",
    "level title": "Water in the troughs ({unit})",
    "line title": "The line: height above the manifold ({unit})",
    "distance title": "Distance along the pipe ({unit})",
    "time title": "Time from the start ({unit})",
    "clock title": "Time of day",
    "cut-out": "cut-out {pressure}\n({height} of water)",
    "cut-in": "cut-in {pressure}\n({height} of water)",
    "pump": "pump",
    "into troughs": "troughs",
    "leak": "leak",
    "sun": "sun",
    "drive": "drive",
    "contact": "contact",
    "closed": "closed",
    "open": "open",
    "mixed": "on and off",
    "full": "full",
    # the line
    "grade line": "grade line",
    "manifold": "manifold",
    "well": "well: water {depth} down",
    "float shut": "float shut",
    "taking": "taking {flow}",
    # the moment
    "moment": "At {clock}, {time} into the run",
    "moment pressure": "Pressure {pressure}, the weight of {height} of water",
    "moment drive": "Drive {state} at {share} of full speed, contact {contact}",
    "trough filling": "{name}: {level}, float open, taking {flow}",
    "trough shut": "{name}: {level}, float shut",
    "trough held open": "{name}: {level}, valve held open, taking {flow}",
    "trough held shut": "{name}: {level}, valve held shut",
    "trough dripping": "{name}: {level}, float shut but letting {flow} by",
    # the bench
    "moment slider": "Moment (min into the run)",
    "reset": "Reset",
    "reset done": "Back to the start of the bench. ",
    "less": "A step less: {name}",
    "more": "A step more: {name}",
    "units": "Units",
    "US": "US",
    "metric": "Metric",
    "preparing": "Preparing the engine (first start only) …",
    "problem": "This setting cannot be run: {what}",
    "kept": " The picture still shows the last good run.",
    "unexpected": "something went wrong inside ({what}). Press Reset; if it comes back, "
    "restart the lesson.",
    "picture": "Pressure trace and drawing of the line",
    "question": "Question: ",
    "locked": "Make your prediction first; then the sliders unlock.",
    # controls
    "irradiance": "Sun on the array",
    "head": "Rise to the far trough",
    "switch differential": "Switch differential",
    "leak size": "Line leak at {pressure}",
    "cut-out control": "Cut-out",
    "cut-in control": "Cut-in",
    "tank volume": "Pressure tank",
    "float leak": "Float leak at {pressure}",
    "check-valve leak": "Check-valve leak at {pressure}",
    "pipe length": "Pipe to the far trough",
    "haze": "Haze takes",
    "lift": "Depth to the water",
    "pump kind": "Pump",
    "centrifugal": "centrifugal",
    "positive displacement": "positive displacement",
    "pipe size": "Pipe size",
    "where stock drink": "Where stock drink",
    "height of": "Height of {trough}",
    "pipe to": "Pipe to {trough}",
    "float at": "Float valve at {trough}",
    # what happened
    "pump starts": "pump starts",
    "pump stops": "pump stands still",
    "drive told to stop": "drive told to stop",
    "switch trips": "switch trips at cut-out",
    "switch resets": "switch resets at cut-in",
    "float shuts": "float at {where} shuts",
    "float opens": "float at {where} opens",
    "drive rests": "sun too weak, drive rests",
    "drive wakes": "sun strong enough, drive wakes",
    "low water": "well drawn down to the pump, drive locks out",
    "torque limit": "pump pushes too hard, drive locks out",
    "trough empty": "{where} runs empty",
    "trough overflows": "{where} runs over",
    "suction": "line under suction at {where}",
    "sensor says full": "level sensor in {where} says full",
    "sensor says room": "level sensor in {where} says room",
    "radio falls silent": "radio from {where} has fallen silent",
    "radio is heard again": "radio from {where} is heard again",
    # charts
    "gauge": "Gauge at the well",
    "highest gauge": "Highest the gauge can go",
    "flow": "Flow",
    "give and ask": "What the pump gives, what the line asks",
    "dead head and sun": "Every float shut: how far can it climb?",
    "pump full sun": "pump, full sun",
    "line asks": "line, floats open",
    "filling point": "filling",
    "dead head point": "floats shut",
    "sun now": "sun now",
    "reaches": "so the switch trips",
    "stays under": "so the switch never trips",
    "pump chart": "Two panels on one scale of pressure. Left: the pump's curve falls with flow, "
    "the line's curve rises. With {sun} on the array they meet at {filling} and {flow}. With every "
    "float shut the gauge can climb to {dead_head}; cut-out is {cut_out}, {stops}. Right: the "
    "highest pressure against the sun. For a centrifugal pump it falls with the sun; for a "
    "positive-displacement pump it hardly does.",
    "way along": "Way along the pipe",
    "height up": "Height above the manifold",
    "grade title": "The grade line: how high the water would climb in an open hose",
    "trips here": "cut-out {pressure}: the switch trips here",
    "grade name": "{size}: gauge {gauge}, {flow}",
    "grade chart": "The grade line from the manifold to the trough with {sun} on the array; "
    "cut-out is {cut_out}.",
    "grade chart line": "With {size} the gauge stands at {gauge} while {flow} flow, {stops}.",
    "above cut-out": "above cut-out: the pump stops while the trough fills",
    "below cut-out": "below cut-out: it fills",
    "heights title": "Where the troughs stand, and the grade line",
    "shares title": "What each trough takes",
    "nothing": "nothing",
    "trough takes": "{name}, {height} above the manifold: {flow}",
    "troughs chart": "With {sun} on the array the gauge stands at {gauge}. {troughs}. At right the "
    "flow into each trough against the sun.",
    # questions
    "percent": "{share} percent",
    "column rule": "{pressure} is the weight of {height} of water",
    "check": "Check",
    "keep": "Keep my prediction",
    "predicted": "Kept: {answer}. It comes back below, beside what the run did.",
    "right": "Right.",
    "not yet": "Not yet.",
    "unread": "Not marked.",
    "you said": "You said",
    "run showed": "The run showed",
    "no prediction": "*(no prediction yet)*",
    "same": "Same. Your picture of the line agrees with the run here.",
    "differs": "They differ. Good: here is something to find out. Go back to the bench and look "
    "at that moment again.",
    "not shown": "*(comes with your prediction)*",
    "chart waits": "*(A picture that follows your sliders comes here, with your predictions.)*",
    "learner": "My number",
    "deal": "Give me my line",
    "score": "{right} of {all} right so far.",
    "keeps": "Your answers are kept in the file {file} beside the lessons. It is yours: read it, "
    "delete it to start over, or hand it to your trainer.",
    "recalled": "You had this right on an earlier visit: {answer}.",
}
"""American English, about the eighth grade, in the trade's terms."""

"""The phrases that tell how the points of the commissioning rig come about."""

from typing import Final

POINT_WORDS: Final[dict[str, str]] = {
    "room": "Room to the nearest limit",
    "air": "Air of the tank",
    "tries": "Settings tried",
    "minutes": "Minutes",
    "rule days": "Each day counts {day} points if the pump stops when the floats are shut, does "
    "not stop while a trough fills, and comes back when stock drink.",
    "rule room": "Room counts up to {room}: all for {enough} or more between your setting and the "
    "nearest limit, or for the most that this switch can have; half as much room, half the points.",
    "rule air": "The tank's air counts {air} if it is within {off} of {under} under cut-in.",
    "rule tries": "Tries count {tries}: {free} settings of the switch are free, and turns in a row "
    "are one setting; each more costs {each}.",
    "rule minutes": "Minutes count {minutes}: {free} are free, then every {per} cost a point.",
    "rule works": "Tries and minutes count only for a line that works on both days. Hints are "
    "free.",
    "why day": "All or nothing: {verdict}.",
    "why room": "Yours is {margin}, and {enough} or more earns all.",
    "why past": "A limit is passed by {past}.",
    "why air": "Yours is {air}; right is {under} under cut-in, give or take {off}.",
    "why no tank": "The line has no tank.",
    "why tries": "You tried {tries}; {free} are free, each more costs {each}.",
    "why minutes": "You took {minutes}; {free} are free, then every {per} cost a point.",
    "why not": "Nothing, for the line does not work on both days.",
}
"""Phrases of the points, keyed as in `labkit.view.words`."""

"""What the page for one's own site says, and the site file that it begins with."""

from typing import Final

EXAMPLE: Final = """\
# Lines that begin with # are notes. Change the values and keep the quotes and the units.
title = "Willow Bend"

[place]
latitude = "39.5 deg"            # north is positive
longitude = "-104.0 deg"         # west is negative
elevation = "5000 ft"

[well]
static_level = "70 ft"           # from the gauge down to the water, pump off
drawdown = "0.5 ft/gpm"          # how far it falls for each gallon a minute
intake_depth = "130 ft"          # where the pump hangs

[array]
rated_power = "800 W"            # what the panels' plates add up to
tilt = "38 deg"

[pump]
kind = "centrifugal"             # or "positive displacement"
shut_off_head = "230 ft"         # these three stand on the pump's curve
rated_flow = "8 gpm"
rated_head = "150 ft"

[drive]
kind = "solar"                   # or "mains"

[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"

[pressure_tank]                  # leave these three lines out if there is none
volume = "5 gal"
precharge = "28 psi"

# For a line with tees, write a [[pipe]] with from, to, length, size and rise for each run
# between them, and say in each trough's pipe from which tee it comes.
# For more troughs, write the rest once more for each.
[[trough]]
name = "bend"
volume = "1200 gal"
depth = "30 in"
pipe = { from = "manifold", length = "1800 ft", size = "1 1/4 in PE SIDR 15", rise = "25 ft" }
float_valve = { flow = "12 gpm at 20 psi" }   # as its maker states it
herd = { head = 30, kind = "cow with calf" }
"""
"""An invented ranch with a note beside each thing that people ask about."""

OWN_WORDS: Final[dict[str, str]] = {
    "upload": "Choose a site file",
    "text": "Site file",
    "read": "Work it out",
    "example": "Back to the example",
    "typed": "your site file",
    "good": "Read: {title}. {troughs}, the farthest at the end of {far} of pipe; the water stands "
    "{deep} down in the well.",
    "one trough": "One trough",
    "many troughs": "{count} troughs",
    "shown": "What follows on the page is about this site.",
    "waits": "Press “Work it out” and what follows on the page will be about this site.",
    "problem": "{what} What follows on the page is still about {title}.",
    "no part": "For {part}, {why}",
    "part waits": "*(This comes with your predictions, or with a ranch of your own.)*",
    "working": "Working: {part} …",
    "window": "the window",
    "map": "the map of settings",
    "budget": "the water of the year",
    "methods": "the ways to say stop",
    "card": "the card",
    "no map": "There is no map for this site: {why}",
    "no budget": "There is no water budget for this site: {why}",
    "no methods": "The ways to say stop cannot be compared for this site: {why}",
    "no window": "There is no window for this site: {why}",
    "card frame": "Settings card of {title}, as it prints",
    "card data": "The card, to keep or to print: {link}.",
    "download": "download {file}",
    "save page": "Save it beside the lessons",
    "save pdf": "Save it as a PDF",
    "saved": "Saved as {file}, beside the lessons. Open it from the list at the left, or print it.",
    "not saved": "Nothing was saved. {why}",
    "on paper": "The site file that this page works with:",
}
"""Phrases of the page for one's own site, keyed as in `labkit.view.words`."""

"""What the page for one's own site says, and the site file that it begins with."""

from typing import Final

from labkit.text import Words

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

OWN_WORDS: Final = Words("own")
"""Phrases of the page for one's own site, keyed as in `labkit.view.words`."""

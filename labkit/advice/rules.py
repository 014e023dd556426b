"""Rules of the trade that the advice leans on, SI, each with where it comes from."""

from typing import Final

from labkit.units.customary import PSI

RATING_SHARE: Final = 0.72
"""Share of a pipe's rating that standing and working pressure may use where surge is not computed
(Missouri Livestock Watering Systems Handbook, ch. 5, 1997, after ASAE S376.1)."""

UNDER_CUT_IN: Final = 2.0 * PSI
"""How far under cut-in a tank is charged (Water Systems Council, "Pressure Tanks", 2007)."""

PRESET: Final = (30.0 * PSI, 50.0 * PSI)
"""Cut-in and cut-out of the usual switch as it leaves the factory (common practice)."""

PER_TURN: Final = (3.5 * PSI, 4.5 * PSI)
"""How far one turn of the range nut moves cut-in and cut-out of the usual switch (common practice);
a site's own steps stand in its switch."""

PER_TURN_OF_DIFFERENTIAL: Final = 2.5 * PSI
"""How far one turn of the smaller nut moves cut-out alone (common practice: 2 to 3 psi)."""

QUARTER: Final = 0.25
"""Turns are counted in quarters: closer than that nobody turns a nut (common practice)."""

MOST_TURNS: Final = (6.0, 8.0)
"""Turns in and out from the preset that the spring's stud allows (from memory)."""

MOST_NUT_TURNS: Final = 3.0
"""Turns of the smaller nut either way that its thread allows (from memory)."""

SPRING_SPREAD: Final = 2.0 * PSI
"""How far from its label a switch may leave the factory (a judgement: no two springs are alike)."""

LEAST_CUT_IN: Final = 5.0 * PSI
"""Under this the spring of the usual switch hangs slack (from memory)."""

LEAST_DIFFERENTIAL: Final = 8.0 * PSI
"""The closest that cut-in and cut-out of the usual switch can be brought together (from memory)."""

ROOM: Final = 4.0 * PSI
"""Width under which a window is called narrow: two pounds either way, which is about what a gauge
reads wrong and a switch wanders (common practice)."""

MINIMUM_RUN: Final = 60.0
"""Shortest run that a small submersible motor should make [s] (common practice)."""

TANK_SIZES: Final = (2, 5, 10, 20, 30, 40, 60, 80, 120)
"""Round volumes by which tanks are advised [US gal]; a dealer's next size up will do."""

BANDS: Final = (1.0, 0.5, 0.2)
"""Bands of float valves that close ever more crisply [in] (common practice: a slow lever valve
takes inches, a crisp one about a quarter inch)."""

QUIET: Final = 1.0 / 3.0
"""Share of the starts that a motor stands at which a tank counts as large enough (a judgement)."""

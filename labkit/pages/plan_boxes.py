"""The boxes of the form for one's own line: what each asks, in which unit, and what is assumed."""

from typing import Final

import attrs

UNITS: Final = {
    "length": ("ft", "m"),
    "small length": ("in", "mm"),
    "pressure": ("psi", "kPa", "bar"),
    "flow": ("gpm", "L/min"),
    "volume": ("gal", "L"),
    "power": ("W",),
    "angle": ("deg",),
    "drawdown": ("ft/gpm", "m/(L/min)"),
}
"""Kind -> the units that a chooser offers, the first as the form comes."""


@attrs.frozen(kw_only=True)
class Box:
    """One box."""

    key: str  # its words in the bundle ``plan``
    # where its value goes in the site file, dotted; within a trough or the main pipe, from there
    path: str
    kind: str  # what it measures, or "words", "count", "pipe"
    start: str  # the number it begins with, in the first unit of its kind
    # What stands for it where nobody knows, as typed with its unit; empty where one must know.
    # Where another box is known, the form works out better ones for the intake and the precharge.
    assumed: str = ""


RANCH: Final = (
    Box(key="title", path="title", kind="words", start="My Ranch"),
    Box(key="latitude", path="place.latitude", kind="angle", start="40"),
    Box(key="longitude", path="place.longitude", kind="angle", start="-104"),
    Box(
        key="elevation", path="place.elevation", kind="length", start="4500", assumed="4500 ft"
    ),
)  # fmt: skip
WELL: Final = (
    Box(key="static-level", path="well.static_level", kind="length", start="70", assumed="100 ft"),
    Box(
        key="drawdown", path="well.drawdown", kind="drawdown", start="0.5", assumed="1 ft/gpm"
    ),
    Box(
        key="intake-depth", path="well.intake_depth", kind="length", start="130",
        assumed="160 ft",
    ),
)  # fmt: skip
PANELS: Final = (
    Box(key="rated-power", path="array.rated_power", kind="power", start="800"),
    Box(key="tilt", path="array.tilt", kind="angle", start="38", assumed="38 deg"),
)
CENTRIFUGAL: Final = (
    Box(key="shut-off-head", path="pump.shut_off_head", kind="length", start="230"),
    Box(key="rated-flow", path="pump.rated_flow", kind="flow", start="8"),
    Box(key="rated-head", path="pump.rated_head", kind="length", start="150"),
)
DISPLACEMENT: Final = (
    Box(key="displacement-flow", path="pump.rated_flow", kind="flow", start="5"),
    Box(key="rated-head", path="pump.rated_head", kind="length", start="250"),
)
TRUNK: Final = (
    Box(key="length", path="length", kind="length", start="1200"),
    Box(key="rise", path="rise", kind="length", start="5"),
    Box(
        key="size", path="size", kind="pipe", start="1 1/4 in PE SIDR 15",
        assumed="1 1/4 in PE SIDR 15",
    ),
)  # fmt: skip
RIDGE: Final = (
    Box(key="crest-out", path="crest out", kind="length", start="900"),
    Box(key="crest-up", path="crest up", kind="length", start="40"),
)
TROUGH: Final = (
    Box(key="name", path="name", kind="words", start="bend"),
    Box(key="length", path="pipe.length", kind="length", start="1800"),
    Box(key="rise", path="pipe.rise", kind="length", start="25"),
    Box(
        key="size", path="pipe.size", kind="pipe", start="1 1/4 in PE SIDR 15",
        assumed="1 1/4 in PE SIDR 15",
    ),
    Box(key="volume", path="volume", kind="volume", start="1200"),
    Box(key="depth", path="depth", kind="small length", start="30"),
    Box(key="float-flow", path="float flow", kind="flow", start="12", assumed="8 gpm"),
    Box(key="float-at", path="float at", kind="pressure", start="20", assumed="20 psi"),
    Box(
        key="band", path="float_valve.band", kind="small length", start="0.5", assumed="0.5 in"
    ),
    Box(key="head", path="herd.head", kind="count", start="30"),
)  # fmt: skip
TANK: Final = (
    Box(key="tank-volume", path="pressure_tank.volume", kind="volume", start="5"),
    Box(
        key="precharge", path="pressure_tank.precharge", kind="pressure", start="28",
        assumed="28 psi",
    ),
)  # fmt: skip
SWITCH: Final = (
    Box(
        key="cut-in", path="pressure_switch.cut_in", kind="pressure", start="30", assumed="30 psi"
    ),
    Box(
        key="cut-out", path="pressure_switch.cut_out", kind="pressure", start="50",
        assumed="50 psi",
    ),
)  # fmt: skip

MOST_TROUGHS: Final = 4

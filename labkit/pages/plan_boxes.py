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


@attrs.frozen
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
    Box("title", "title", "words", "My Ranch"),
    Box("latitude", "place.latitude", "angle", "40"),
    Box("longitude", "place.longitude", "angle", "-104"),
    Box("elevation", "place.elevation", "length", "4500", assumed="4500 ft"),
)
WELL: Final = (
    Box("static-level", "well.static_level", "length", "70", assumed="100 ft"),
    Box("drawdown", "well.drawdown", "drawdown", "0.5", assumed="1 ft/gpm"),
    Box("intake-depth", "well.intake_depth", "length", "130", assumed="160 ft"),
)
PANELS: Final = (
    Box("rated-power", "array.rated_power", "power", "800"),
    Box("tilt", "array.tilt", "angle", "38", assumed="38 deg"),
)
CENTRIFUGAL: Final = (
    Box("shut-off-head", "pump.shut_off_head", "length", "230"),
    Box("rated-flow", "pump.rated_flow", "flow", "8"),
    Box("rated-head", "pump.rated_head", "length", "150"),
)
DISPLACEMENT: Final = (
    Box("displacement-flow", "pump.rated_flow", "flow", "5"),
    Box("rated-head", "pump.rated_head", "length", "250"),
)
TRUNK: Final = (
    Box("length", "length", "length", "1200"),
    Box("rise", "rise", "length", "5"),
    Box("size", "size", "pipe", "1 1/4 in PE SIDR 15", assumed="1 1/4 in PE SIDR 15"),
)
RIDGE: Final = (
    Box("crest-out", "crest out", "length", "900"),
    Box("crest-up", "crest up", "length", "40"),
)
TROUGH: Final = (
    Box("name", "name", "words", "bend"),
    Box("length", "pipe.length", "length", "1800"),
    Box("rise", "pipe.rise", "length", "25"),
    Box("size", "pipe.size", "pipe", "1 1/4 in PE SIDR 15", assumed="1 1/4 in PE SIDR 15"),
    Box("volume", "volume", "volume", "1200"),
    Box("depth", "depth", "small length", "30"),
    Box("float-flow", "float flow", "flow", "12", assumed="8 gpm"),
    Box("float-at", "float at", "pressure", "20", assumed="20 psi"),
    Box("band", "float_valve.band", "small length", "0.5", assumed="0.5 in"),
    Box("head", "herd.head", "count", "30"),
)
TANK: Final = (
    Box("tank-volume", "pressure_tank.volume", "volume", "5"),
    Box("precharge", "pressure_tank.precharge", "pressure", "28", assumed="28 psi"),
)
SWITCH: Final = (
    Box("cut-in", "pressure_switch.cut_in", "pressure", "30", assumed="30 psi"),
    Box("cut-out", "pressure_switch.cut_out", "pressure", "50", assumed="50 psi"),
)


@attrs.frozen
class Group:
    """Boxes that stand together, under the heading of their section."""

    section: str
    boxes: tuple[Box, ...]
    # when they are asked: with this kind of pump, or where "tank" or "trunk" is ticked; else always
    when: str = ""
    place: str = ""  # where they stand in the site file


GROUPS: Final = (
    Group("section-ranch", RANCH),
    Group("section-well", WELL),
    Group("section-array", PANELS),
    Group("section-pump", CENTRIFUGAL, "centrifugal"),
    Group("section-pump", DISPLACEMENT, "positive displacement"),
    Group("section-switch", SWITCH),
    Group("section-tank", TANK, "tank"),
    Group("section-trunk", TRUNK, "trunk", "pipe.0."),
)
"""All that is asked once, from the top of the form."""

MOST_TROUGHS: Final = 4

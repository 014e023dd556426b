"""Controls of the line beyond the manifold: heights, pipe, leaks, floats."""

from itertools import combinations
from math import sqrt
from operator import attrgetter
from typing import Final

import attrs

from labkit.advice.axes import AXES
from labkit.catalogue import sizes_like
from labkit.errors import SiteError
from labkit.parts import Pipe, Trough
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import FlowAt, quantity, si, typed
from labkit.view.controls.base import (
    FAR_TROUGH,
    Choice,
    Control,
    Read,
    Setting,
    Turn,
    as_length,
    control,
)
from labkit.view.words import WORDS

FLOAT_PRESSURE: Final = quantity("20 psi", "psi")
"""The pressure at which the size of a float valve is stated."""

MOST_LISTED: Final = 3
"""With more troughs than this, a list names them all together or one alone."""


def trough_named(site: Site, name: str) -> Trough:
    """Give a trough by its name.

    Raises
    ------
    SiteError
        If the site has none of that name.
    """
    for trough in site.troughs:
        if trough.name == name:
            return trough
    names = ", ".join(trough.name for trough in site.troughs)
    raise SiteError("bench", "controls", name, f"the troughs are {names}")


def _head(site: Site, _sun: Sun) -> float:
    return site.elevation(site.farthest().name)


def _set_head(site: Site, sun: Sun, value: float) -> Setting:
    trough = site.farthest()
    rise = value - site.elevation(trough.pipe.from_)
    return site.changed({f"trough.{trough.name}.pipe.rise": as_length(rise)}), sun


def by_table(name: str) -> tuple[Read, Turn]:
    """Read and turn a number of the line, or of its far trough, as a map of settings does."""
    axis = AXES[name]
    read_of, change_of = axis.read, axis.change
    assert read_of is not None  # noqa: S101 - only the sun has none
    assert change_of is not None  # noqa: S101

    def read(site: Site, _sun: Sun) -> float:
        return read_of(site, site.farthest())

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        return site.changed(change_of(site, site.farthest(), value)), sun

    return read, turn


def by_field(key: str, kind: str) -> tuple[Read, Turn]:
    """Read and turn a field of the site by its dotted name; ``trough.`` begins the far trough's."""
    part, _, field = key.partition(".")

    def read(site: Site, _sun: Sun) -> float:
        holder = site.farthest() if part == "trough" else getattr(site, part)
        return si(attrgetter(field)(holder))

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        name = f"trough.{site.farthest().name}.{field}" if part == "trough" else key
        return site.changed({name: typed(value, kind)}), sun

    return read, turn


CONTROLS: Final = (
    control("head", "length", (0, 80, 1), (0, 25, 0.5), (_head, _set_head), grip=FAR_TROUGH),
    control("leak size", "flow", (0, 2, 0.05), (0, 8, 0.2), by_table("line leak")),
    control("float leak", "flow", (0, 1, 0.02), (0, 4, 0.1), by_table("float leak")),
    control("pipe length", "length", (100, 5000, 50), (30, 1500, 10), by_table("pipe length")),
)


def height_of(trough: str) -> Control:
    """Give the control of a trough's height above the manifold; what lies before it stays."""

    def read(site: Site, _sun: Sun) -> float:
        return site.elevation(trough_named(site, trough).name)

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        rise = value - site.elevation(trough_named(site, trough).pipe.from_)
        return site.changed({f"trough.{trough}.pipe.rise": as_length(rise)}), sun

    words = WORDS["height of"].format(trough=trough)
    spans = ((-40, 80, 1), (-12, 24, 0.5))
    return attrs.evolve(
        control(f"height of {trough}", "length", *spans, (read, turn), "height of"),
        words=words,
        grip=trough,
    )


def crest_before(trough: str) -> Control:
    """Give the control of the highest point of the profile on the way to a trough.

    Raises
    ------
    SiteError
        If the trough's own run has no profile.
    """

    def crest(site: Site) -> tuple[int, Pipe]:
        pipe = trough_named(site, trough).pipe
        if not pipe.profile:
            rule = "the run to it has no profile, so no crest can be moved"
            raise SiteError("bench", "controls", trough, rule)
        return max(range(len(pipe.profile)), key=lambda i: si(pipe.profile[i][1])), pipe

    def read(site: Site, _sun: Sun) -> float:
        i, pipe = crest(site)
        return site.elevation(pipe.from_) + si(pipe.profile[i][1])

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        i, pipe = crest(site)
        points = list(pipe.profile)
        points[i] = (points[i][0], as_length(value - site.elevation(pipe.from_)))
        return site.changed({f"trough.{trough}.pipe.profile": points}), sun

    words = WORDS["crest before"].format(trough=trough)
    spans = ((0, 120, 1), (0, 36, 0.5))
    return attrs.evolve(
        control(f"crest before {trough}", "length", *spans, (read, turn), "crest before"),
        words=words,
    )


def length_to(trough: str) -> Control:
    """Give the control of the length of a trough's own run of pipe."""

    def read(site: Site, _sun: Sun) -> float:
        return si(trough_named(site, trough).pipe.length)

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        return site.changed({f"trough.{trough}.pipe.length": as_length(value)}), sun

    words = WORDS["pipe to"].format(trough=trough)
    spans = ((100, 5000, 50), (30, 1500, 10))
    return attrs.evolve(
        control(f"pipe to {trough}", "length", *spans, (read, turn), "pipe to"), words=words
    )


def float_of(trough: str) -> Control:
    """Give the control of a float valve's size, stated as other floats are: at 20 psi."""
    key = f"trough.{trough}.float_valve.flow"

    def read(site: Site, _sun: Sun) -> float:
        valve = trough_named(site, trough).float_valve.flow
        return si(valve.flow) * sqrt(si(FLOAT_PRESSURE) / si(valve.pressure))

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        rated = FlowAt(flow=typed(value, "flow"), pressure=FLOAT_PRESSURE)
        return site.changed({key: rated}), sun

    words = WORDS["float at"].format(trough=trough)
    spans = ((1, 15, 0.5), (4, 56, 2))
    made = control(f"float at {trough}", "flow", *spans, (read, turn), "float at")
    return attrs.evolve(made, words=words)


PER_TROUGH: Final = {
    "height of ": height_of,
    "crest before ": crest_before,
    "pipe to ": length_to,
    "float at ": float_of,
}
"""Controls that belong to one trough, by how their names begin."""


def far_size(site: Site, _sun: Sun) -> str:
    """Return the pipe of the far trough."""
    return site.farthest().pipe.row.size


def set_far_size(site: Site, sun: Sun, size: str) -> Setting:
    """Lay another pipe to the far trough."""
    return site.changed({f"trough.{site.farthest().name}.pipe.size": size}), sun


def _groups(site: Site) -> tuple[str, ...]:
    """List which troughs the stock may come to: all, some, or one."""
    names = [trough.name for trough in site.troughs if trough.herd is not None]
    counts = range(len(names), 0, -1) if len(names) <= MOST_LISTED else (len(names), 1)
    return tuple(" + ".join(some) for count in counts for some in combinations(names, count))


def _drinking(site: Site, _sun: Sun) -> str:
    with_stock = [one.name for one in site.troughs if one.herd is not None and one.herd.head > 0]
    return " + ".join(with_stock)


def _set_drinking(site: Site, sun: Sun, group: str) -> Setting:
    """Keep the stock away from all troughs but those of a group."""
    names = group.split(" + ")
    away = {
        f"trough.{one.name}.herd.head": 0
        for one in site.troughs
        if one.herd is not None and one.name not in names
    }
    return (site.changed(away) if away else site), sun


CHOICES: Final = (
    Choice(
        name="pipe size",
        words=WORDS["pipe size"],
        options=lambda site: sizes_like(site.farthest().pipe.row.size),
        read=far_size,
        apply=set_far_size,
    ),
    Choice(
        name="where stock drink",
        words=WORDS["where stock drink"],
        options=_groups,
        read=_drinking,
        apply=_set_drinking,
    ),
)

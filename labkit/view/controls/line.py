"""Controls of the pipe, of its leaks, and of how a trough fills and empties."""

from collections.abc import Callable
from itertools import combinations
from math import sqrt
from operator import attrgetter
from typing import Final

import attrs

from labkit.advice.axes import AXES
from labkit.catalogue import pipe_sizes, sizes_like
from labkit.engine.demand import visit_flow
from labkit.errors import SiteError
from labkit.parts import Herd, Trough
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.units import FlowAt, quantity, si, typed
from labkit.units.customary import DAY
from labkit.view.controls.base import (
    FAR_TROUGH,
    Changes,
    Control,
    Read,
    Turn,
    as_length,
    choice,
    control,
    of_site,
)

_MATERIALS: Final = ("PE SIDR 9", "PE SIDR 15", "PVC SDR 21", "PVC Sch 40")
"""Series of pipe that are offered side by side, from a soft wall to a stiff one."""


def _drinking_rate(site: Site) -> float:
    """Return how fast the herd at the far trough drinks while it is there."""
    return visit_flow(site.farthest(), site)


def _drinks(site: Site, value: float) -> Changes:
    """Let the herd drink so fast; its visits stay as they are. Without a herd ten cows come.

    A herd that was sent away drinks nothing, however fast it would.
    """
    trough = site.farthest()
    if trough.herd is not None and trough.herd.head == 0:
        return {}
    herd = trough.herd or Herd(head=10, kind="dry cow", visits=("12:25",))
    here = len(herd.visits) * si(herd.visit_time) / DAY
    changes = {"head": herd.head, "kind": herd.kind, "visits": list(herd.visits)}
    changes |= {
        "visit_time": herd.visit_time,
        "daily_need": typed(value * here / herd.head, "daily volume"),
    }
    return {f"trough.{trough.name}.herd": changes}


def _materials(site: Site) -> tuple[str, ...]:
    """List pipes of the far trough's nominal size, soft walls first."""
    size = site.farthest().pipe.row.size.split(" in ")[0]
    return tuple(name for kind in _MATERIALS if (name := f"{size} in {kind}") in pipe_sizes())


FLOAT_PRESSURE: Final = quantity("20 psi", "psi")
"""The pressure at which the size of a float valve is stated."""

MOST_LISTED: Final = 3  # with more troughs than this, a list names them all together or one alone


def trough_named(site: Site, name: str) -> Trough:
    """Return a trough by its name, or raise SiteError."""
    for trough in site.troughs:
        if trough.name == name:
            return trough
    names = ", ".join(trough.name for trough in site.troughs)
    raise SiteError("bench", "controls", name, f"the troughs are {names}")


def _raised(site: Site, trough: Trough, value: float) -> Changes:
    """Put a trough at a height over the manifold; what lies before it stays."""
    rise = value - site.elevation(trough.pipe.from_)
    return {f"trough.{trough.name}.pipe.rise": as_length(rise)}


def by_table(name: str) -> tuple[Read, Turn]:
    """Read and turn a number of the line, or of its far trough, as a map of settings does."""
    read, change = AXES[name].read, AXES[name].change
    assert read is not None  # noqa: S101 - only the sun has none
    assert change is not None  # noqa: S101
    return of_site(
        lambda site: read(site, site.farthest()),
        lambda site, value: change(site, site.farthest(), value),
    )


def by_field(key: str, kind: str) -> tuple[Read, Turn]:
    """Read and turn a field of the site by its dotted name; ``trough.`` begins the far trough's."""
    part, _, field = key.partition(".")

    def read(site: Site) -> float:
        holder = site.farthest() if part == "trough" else getattr(site, part)
        return si(attrgetter(field)(holder))

    def changes(site: Site, value: float) -> Changes:
        name = f"trough.{site.farthest().name}.{field}" if part == "trough" else key
        return {name: typed(value, kind)}

    return of_site(read, changes)


_HEAD: Final = of_site(
    lambda site: site.elevation(site.farthest().name),
    lambda site, value: _raised(site, site.farthest(), value),
)

CONTROLS: Final = (
    control("head", "length", (0, 80, 1), (0, 25, 0.5), _HEAD, grip=FAR_TROUGH),
    control("leak size", "flow", (0, 2, 0.05), (0, 8, 0.2), by_table("line leak")),
    control("float leak", "flow", (0, 1, 0.02), (0, 4, 0.1), by_table("float leak")),
    control("pipe length", "length", (100, 5000, 50), (30, 1500, 10), by_table("pipe length")),
    control(
        "float band", "small length", (0.1, 4, 0.1), (2, 102, 2),
        by_field("trough.float_valve.band", "small length"),
    ),
    control("drinking rate", "flow", (0, 15, 0.5), (0, 60, 2), of_site(_drinking_rate, _drinks)),
)  # fmt: skip


def _crest(trough: Trough) -> int:
    """Return the place of the highest point in a trough's profile; SiteError if it has none."""
    profile = trough.pipe.profile
    if not profile:
        rule = "the run to it has no profile, so no crest can be moved"
        raise SiteError("bench", "controls", trough.name, rule)
    return max(range(len(profile)), key=lambda i: si(profile[i][1]))


def _crest_height(site: Site, trough: Trough) -> float:
    point = trough.pipe.profile[_crest(trough)]
    return site.elevation(trough.pipe.from_) + si(point[1])


def _crest_at(site: Site, trough: Trough, value: float) -> Changes:
    i, points = _crest(trough), list(trough.pipe.profile)
    points[i] = (points[i][0], as_length(value - site.elevation(trough.pipe.from_)))
    return {f"trough.{trough.name}.pipe.profile": points}


def _float_size(_site: Site, trough: Trough) -> float:
    """Return a float valve's size as other floats are stated: its flow at 20 psi."""
    rated = trough.float_valve.flow
    return si(rated.flow) * sqrt(si(FLOAT_PRESSURE) / si(rated.pressure))


def _float_sized(_site: Site, trough: Trough, value: float) -> Changes:
    rated = FlowAt(flow=typed(value, "flow"), pressure=FLOAT_PRESSURE)
    return {f"trough.{trough.name}.float_valve.flow": rated}


def _at_trough(
    name: str,
    kind: str,
    us: tuple[float, float, float],
    metric: tuple[float, float, float],
    read: Callable[[Site, Trough], float],
    changes: Callable[[Site, Trough, float], Changes],
    *,
    has_grip: bool = False,
) -> tuple[str, Callable[[str], Control]]:
    """Return how the name of a control begins that belongs to one trough, and what makes it."""

    def made(trough: str) -> Control:
        turn = of_site(
            lambda site: read(site, trough_named(site, trough)),
            lambda site, value: changes(site, trough_named(site, trough), value),
        )
        return attrs.evolve(
            control(f"{name} {trough}", kind, us, metric, turn, name),
            words=WORDS[name].format(trough=trough),
            grip=trough if has_grip else "",
        )

    return f"{name} ", made


PER_TROUGH: Final = dict(
    (
        _at_trough(
            "height of", "length", (-40, 80, 1), (-12, 24, 0.5),
            lambda site, trough: site.elevation(trough.name), _raised, has_grip=True,
        ),
        _at_trough(
            "crest before", "length", (0, 120, 1), (0, 36, 0.5), _crest_height, _crest_at
        ),
        _at_trough(
            "pipe to", "length", (100, 5000, 50), (30, 1500, 10),
            lambda _, trough: si(trough.pipe.length),
            lambda _, trough, value: {f"trough.{trough.name}.pipe.length": as_length(value)},
        ),
        _at_trough("float at", "flow", (1, 15, 0.5), (4, 56, 2), _float_size, _float_sized),
    )
)  # fmt: skip
"""Controls that belong to one trough, by how their names begin."""

FAR_SIZE: Final = of_site(
    lambda site: site.farthest().pipe.row.size,
    lambda site, size: {f"trough.{site.farthest().name}.pipe.size": size},
)
"""The pipe of the far trough."""


def _groups(site: Site) -> tuple[str, ...]:
    """List which troughs the stock may come to: all, some, or one."""
    names = [trough.name for trough in site.troughs if trough.herd is not None]
    counts = range(len(names), 0, -1) if len(names) <= MOST_LISTED else (len(names), 1)
    return tuple(" + ".join(some) for count in counts for some in combinations(names, count))


def _drinking(site: Site) -> str:
    with_stock = [one.name for one in site.troughs if one.herd is not None and one.herd.head > 0]
    return " + ".join(with_stock)


def _kept_to(site: Site, group: str) -> Changes:
    """Keep the stock away from all troughs but those of a group."""
    names = group.split(" + ")
    return {
        f"trough.{one.name}.herd.head": 0
        for one in site.troughs
        if one.herd is not None and one.name not in names
    }


CHOICES: Final = (
    choice("pipe size", lambda site: sizes_like(site.farthest().pipe.row.size), FAR_SIZE),
    choice("where stock drink", _groups, of_site(_drinking, _kept_to)),
    choice("pipe material", _materials, FAR_SIZE),
)  # fmt: skip

"""A line in three dresses, and what each costs: stopped by pressure, by wires, or by radio."""

from collections.abc import Mapping
from math import ceil
from typing import Any, Final

import attrs

from labkit.catalogue.table import rows
from labkit.errors import SiteError
from labkit.parts import Trough
from labkit.parts import fields as f
from labkit.site import Site
from labkit.units import si, written
from labkit.units.customary import FOOT, INCH

SPLICE_EVERY: Final = 500.0
"""Length of a roll of pair [ft], so one splice for each beyond the first (common practice)."""

MOST_EXPENSIVE: Final = 100_000.0


@attrs.frozen(kw_only=True)
class BillLine:
    """One line of a bill."""

    # what, and by what it is counted
    item: str
    unit: str
    count: float  # how many
    price: float  # for each [US dollars]

    @property
    def cost(self) -> float:
        """What the line comes to [US dollars]."""
        return self.count * self.price


def prices(changes: Mapping[str, float] | None = None) -> dict[str, tuple[str, float]]:
    """Return the unit and the price of every item [US dollars], the catalogue's unless changed.

    The catalogue's are invented round figures: put in what your dealer asks.
    """
    known = {row["item"]: (row["unit"], float(row["price_usd"])) for row in rows("stop_prices.csv")}
    for item, price in (changes or {}).items():
        if item not in known:
            near = f.nearest(known, item)
            raise SiteError("prices", item, price, f"no such item; the nearest is {near!r}")
        if not 0.0 <= price <= MOST_EXPENSIVE:
            raise SiteError("prices", item, price, f"it must lie between 0 and {MOST_EXPENSIVE:g}")
        known[item] = (known[item][0], float(price))
    return known


@attrs.frozen(kw_only=True)
class Installation:
    """What is to be laid and put up on a line."""

    distances: tuple[float, ...]  # from the well to each trough [m]
    gauge: str  # of the pairs
    # length of a trench of their own for the pairs [m]; 0 where they lie in the pipe's
    trench: float
    masts: float  # height of all antenna masts together [m]
    # troughs that have an open pipe end so far, and need a float to be stopped by pressure
    new_floats: int


def bill(
    method: str, known: Mapping[str, tuple[str, float]], laid: Installation
) -> tuple[BillLine, ...]:
    """List what a method, "pressure", "wire" or "radio", needs on a line, at known prices."""
    feet = [distance / FOOT for distance in laid.distances]
    splices = sum(max(ceil(length / SPLICE_EVERY) - 1, 0) for length in feet)
    troughs = len(feet)
    counts: dict[str, dict[str, float]] = {
        "pressure": {
            "pressure switch": 1,
            "gauge and fittings": 1,
            "float valve": laid.new_floats,
            "hour of work": 2 + laid.new_floats,
        },
        "wire": {
            "level sensor": troughs,
            f"pair {laid.gauge}": sum(feet),
            "splice kit": splices,
            "surge protector": 2 * troughs,
            "trench of its own": laid.trench / FOOT,
            "hour of work": 2 + 2 * troughs,
        },
        "radio": {
            "level sensor": troughs,
            "radio sender with battery and panel": troughs,
            "radio receiver with relay": 1,
            "mast": laid.masts / FOOT,
            "hour of work": 2 + 3 * troughs,
        },
    }
    return tuple(
        BillLine(item=item, unit=known[item][0], count=count, price=known[item][1])
        for item, count in counts[method].items()
        if count
    )


METHODS: Final = ("pressure", "wire", "radio")

SHORT_PAIR: Final = "10 ft"  # from a pressure switch to the drive: both stand at the well

SEAT_LEAK: Final = "0.2 gpm at 20 psi"
"""What a worn float lets by: a stream as thin as a pencil lead (invented for the comparison)."""

HALF_LOST: Final = 0.5

Changes = dict[str, Any]


def pipe_ground(site: Site, trough: str) -> list[tuple[str, str]]:
    """Return the ground along the pipe to a trough, as distances and heights above the manifold."""
    runs = {run.end: run for run in site.runs()}
    way, node = [], trough
    while node in runs:
        way.append(runs[node])
        node = runs[node].start
    points, far, high = [("0 m", "0 m")], 0.0, 0.0
    for run in reversed(way):
        far, high = far + si(run.pipe.length), high + si(run.pipe.rise)
        points.append((f"{far:.3f} m", f"{high:.3f} m"))
    return points


def with_stop_method(site: Site, method: str, *, gauge: str) -> Site:
    """Return the line with one way to say stop: its own switch, or a sensor in each trough.

    A sensor that the site has keeps its depths. Otherwise it says full where the float begins to
    close, and room a sixth of the depth lower. Its contact acts as the drive wants it: closing when
    full for a drive that stops on a closed contact. Floats stay as they are.
    """
    if method == "pressure":
        floats = {f"trough.{t.name}.float_valve.position": "floats" for t in site.troughs}
        return site.changed({"drive.listens_to": "pressure switch", **floats})
    closes = site.drive.stop_when == "closed"
    far = site.distances()
    sensors = [
        {
            "trough": trough.name,
            **_depths(site, trough),
            "action": "closes when full" if closes else "opens when full",
            **_word(method, gauge, far[trough.name]),
        }
        for trough in site.troughs
    ]
    return site.changed({"level_sensors": sensors, "drive.listens_to": "level sensor"})


def _depths(site: Site, trough: Trough) -> dict[str, str]:
    """At which depths a trough's sensor says full and room."""
    for sensor in site.level_sensors:
        if sensor.trough == trough.name:
            return {"stops_at": written(sensor.stops_at), "starts_at": written(sensor.starts_at)}
    full = si(trough.depth) - si(trough.freeboard) - 1.2 * si(trough.float_valve.band)
    full = max(full, 0.3 * si(trough.depth))
    room = max(full - si(trough.depth) / 6.0, 0.3 * full)
    return {"stops_at": f"{full / INCH:.4f} in", "starts_at": f"{room / INCH:.4f} in"}


def _word(method: str, gauge: str, distance: float) -> Changes:
    """Let a sensor speak by wire or by radio."""
    if method == "wire":
        return {"wire": {"gauge": gauge, "length": f"{max(distance, 1.0):.3f} m"}}
    return {"radio": {}}


def failures(site: Site, method: str) -> Mapping[str, Changes]:
    """List what can go wrong, as changes to a line with its method; at the far trough if it can."""
    last = site.farthest().name
    sensor, valve = f"level_sensor.{last}", f"trough.{last}.float_valve"
    floats = {
        "float leaks": {f"{valve}.seat_leak": SEAT_LEAK},
        "float stuck open": {f"{valve}.position": "always open"},
    }
    if method == "pressure":
        pair = {"gauge": "18 AWG", "length": SHORT_PAIR}
        return {
            "wire cut": {"pressure_switch.wire": {**pair, "condition": "cut"}},
            "wires chewed together": {"pressure_switch.wire": {**pair, "condition": "shorted"}},
            "contact stuck open": {"pressure_switch.contact": "stuck open"},
            "contact stuck closed": {"pressure_switch.contact": "stuck closed"},
            "switch nipple plugged": {"pressure_switch.nipple": "plugged"},
            **floats,
        }
    signals: dict[str, Changes] = {
        "wire cut": {f"{sensor}.wire.condition": "cut"},
        "wires chewed together": {f"{sensor}.wire.condition": "shorted"},
    }
    if method == "radio":
        dead = {f"{sensor}.radio.condition": "dead"}
        signals = {
            "radio dead, set to stop": dead,
            "radio dead, set to run": {**dead, f"{sensor}.radio.when_silent": "run"},
            "half of the reports lost": {f"{sensor}.radio.loss": HALF_LOST},
        }
    return {
        **signals,
        "contact stuck open": {f"{sensor}.contact": "stuck open"},
        "contact stuck closed": {f"{sensor}.contact": "stuck closed"},
        **floats,
    }

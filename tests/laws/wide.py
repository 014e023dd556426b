"""Sites from the whole of what a site file may hold: every part, to the ends of its stated ranges.

`tests.strategies` draws what a ranch may have. Here lines are a foot or thirty miles long, pumps dwarf
their wells or starve, and each number sits at an end of its range as often as anywhere else.
"""

from __future__ import annotations

from functools import cache
from math import exp, log
from typing import Any

from hypothesis import strategies as st

from labkit.catalogue import pipe_sizes, stock_kinds
from labkit.parts.build import build
from labkit.parts.signals import GAUGES
from labkit.parts.tree import HIGHEST
from labkit.site import Site
from labkit.sitefile import dumps
from tests.customary import FOOT
from tests.strategies import Table, names

sizes = st.sampled_from([*pipe_sizes()])


share = st.floats(0.0, 1.0)


def spot(u: float, low: float, high: float) -> float:
    """Place a number in a range: anywhere, of any size of that range, or at an end of it."""
    least = max(low, 1e-4 * high)
    if u < 0.5 or low < 0.0 or least >= high:
        x = low + (high - low) * min(max(2.4 * u - 0.1, 0.0), 1.0)
    else:
        x = exp(log(least) + min(2.2 * u - 1.1, 1.0) * log(high / least))
    return min(max(x, low), high)


@cache
def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of a range; kept, for a site draws hundreds and making strategies is what costs."""
    return share.map(lambda u: spot(u, low, high))


@cache
def of(unit: str, low: float, high: float) -> st.SearchStrategy[str]:
    """Quantities of a range, as typed."""
    return numbers(low, high).map(lambda x: f"{x!r} {unit}")


@cache
def rated(low: float, high: float) -> st.SearchStrategy[str]:
    """Flows at a pressure."""
    return st.builds("{} at {}".format, of("gpm", low, high), of("psi", 0.5, 500.0))


holes = st.one_of(st.just("0 gpm"), rated(0.0, 50.0), of("mm", 0.0, 25.0).map("{} hole".format))


def maybe(**keys: st.SearchStrategy[Any]) -> st.SearchStrategy[Table]:
    """Tables in which each key may be given or left out."""
    return st.fixed_dictionaries({}, optional=keys)


drop_pipes = maybe(drop_pipe=sizes)
on_a_run = maybe(
    fittings=numbers(0.0, 1000.0),
    inside_diameter=of("in", 0.2, 8.0),
    wave_speed=of("m/s", 50.0, 1500.0),
)
positions = st.sampled_from(["floats", "always open", "always shut"])
on_a_float = maybe(seat_leak=holes, holding_pressure=of("psi", 2.0, 400.0), position=positions)
contacts = st.sampled_from(["works", "stuck open", "stuck closed"])
wires = st.fixed_dictionaries(
    {
        "gauge": st.sampled_from(GAUGES),
        "length": of("ft", 1.0, 164_041.9),
        "condition": st.sampled_from(["sound", "cut", "shorted"]),
    }
)
on_a_switch = maybe(contact=contacts, nipple=st.sampled_from(["clear", "plugged"]), wire=wires)
herds = st.fixed_dictionaries(
    {
        "head": st.integers(0, 10_000),
        "kind": st.sampled_from(stock_kinds()),
        "visits": st.sampled_from([["12:05"], ["00:00", "12:10", "23:59"]]),
        "visit_time": of("min", 1.0, 1440.0),
    },
    optional={"daily_need": of("gal/day", 0.0, 100.0)},
)
on_a_drive = maybe(
    restart_delay=of("s", 0.0, 86_400.0),
    stop_when=st.sampled_from(["closed", "open"]),
    low_water_wait=of("s", 10.0, 86_400.0),
)
on_an_array = maybe(
    tilt=of("deg", 0.0, 90.0),
    faces=of("deg", 0.0, 360.0),
    temperature_coefficient=numbers(-0.01, 0.0),
)
steepness = st.sampled_from([0.01, 0.1, 1.0])
either = st.booleans()


def pair(draw: st.DrawFn, low: float, high: float) -> tuple[float, float]:
    """Two numbers of a range, the first surely below the second."""
    upper = spot(draw(share), low + 0.02 * (high - low), high)
    return spot(draw(share), low, low + 0.98 * (upper - low)), upper


@st.composite
def pumps(draw: st.DrawFn) -> Table:
    """Both kinds."""
    flow = draw(numbers(0.2, 200.0))
    drop = draw(drop_pipes)
    if draw(either):
        slip = draw(numbers(0.0, 0.5))
        efficiency = spot(draw(share), 0.05, 0.98 * min(0.95, 1.0 - slip))
        return drop | {
            "kind": "positive displacement", "rated_flow": f"{flow!r} gpm",
            "rated_head": draw(of("ft", 5.0, 3000.0)), "slip": slip, "efficiency": efficiency,
            "torque_limit": draw(numbers(1.05, 5.0)),
        }  # fmt: skip
    head, shut_off = pair(draw, 5.0, 3000.0)
    pump = drop | {
        "kind": "centrifugal", "rated_flow": f"{flow!r} gpm", "rated_head": f"{head!r} ft",
        "shut_off_head": f"{max(shut_off, 10.0)!r} ft", "efficiency": draw(numbers(0.05, 0.95)),
        "shut_off_power_share": draw(numbers(0.1, 0.95)),
    }  # fmt: skip
    if draw(either):
        shut_off = max(shut_off, 10.0)
        ratio = min(1.0 + draw(numbers(0.05, 3.0)), 400.0 / flow)
        most, least = (shut_off - (shut_off - head) * ratio**bend for bend in (0.5, 8.0))
        most, least = min(0.999 * most, 0.95 * head), max(1.0, least + 1e-3 * abs(least))
        if most > least:
            pump["high_flow"] = f"{min(flow * ratio, 400.0)!r} gpm"  # 0.3 * (400 / 0.3) is more
            pump["high_head"] = f"{spot(draw(share), least, most)!r} ft"
    return pump


def pipes(draw: st.DrawFn, z: float) -> tuple[Table, float]:
    """A run from a node `z` ft above the manifold; and where it ends."""
    length = spot(draw(share), 1.0, 164_041.9)
    reach = min(length, 3000.0)
    top = HIGHEST / FOOT - 1.0
    steep = draw(steepness)
    rise = draw(numbers(-1.0, 1.0)) * steep * reach
    rise = min(max(rise, -top - z), top - z)
    run = {
        "length": f"{length!r} ft", "rise": f"{rise!r} ft", "size": draw(sizes),
        **draw(on_a_run),
    }  # fmt: skip
    if length > 10.0 and draw(either):
        out = spot(draw(share), 2.0, length - 2.0)
        low = max(-out, rise - (length - out), -top - z, -2999.0)
        high = min(out, rise + (length - out), top - z, 2999.0)
        up = low + (high - low) * (0.01 + 0.98 * draw(share))
        run["profile"] = [[f"{out!r} ft", f"{up!r} ft"]]
        if draw(either):
            run["vents"] = [f"{out!r} ft"]
    return run, z + rise


def troughs(draw: st.DrawFn, name: str, start: str, z: float) -> Table:
    """A trough at the end of a run of its own."""
    depth = spot(draw(share), 4.0, 240.0)
    band = spot(draw(share), 0.05, min(24.0, 0.9 * depth))
    freeboard = spot(draw(share), 0.0, min(100.0, 0.98 * (depth - band)))
    trough = {
        "name": name, "pipe": {"from": start, **pipes(draw, z)[0]},
        "volume": draw(of("gal", 5.0, 100_000.0)), "depth": f"{depth!r} in",
        "freeboard": f"{freeboard!r} in",
        "float_valve": {
            "flow": draw(rated(0.05, 200.0)), "band": f"{band!r} in",
            **draw(on_a_float),
        },
    }  # fmt: skip
    return trough | ({"herd": draw(herds)} if draw(either) else {})


@st.composite
def lines(draw: st.DrawFn) -> Table:
    """Trees of up to twenty tees and thirty troughs, deep as a chain or wide as a star."""
    tees = names("tee", draw(st.one_of(st.integers(0, 3), st.integers(4, 20))))
    deep = draw(either)
    heights, runs, starts = {"manifold": 0.0}, [], []
    for i, tee in enumerate(tees):
        known = ["manifold", *tees[:i]]
        start = known[-1] if deep else draw(st.sampled_from(known))
        run, heights[tee] = pipes(draw, heights[start])
        starts.append(start)
        runs.append({"from": start, "to": tee, **run})
    ends = [tee for tee in tees if tee not in starts]
    more = draw(st.integers(0 if ends else 1, 10))
    at = ends + [draw(st.sampled_from(["manifold", *tees])) for _ in range(more)]
    called = names("trough", len(at))
    fed = [
        troughs(draw, name, start, heights[start]) for name, start in zip(called, at, strict=True)
    ]
    lengths = {run["to"]: run["length"] for run in runs}
    lengths |= {trough["name"]: trough["pipe"]["length"] for trough in fed}
    leaks = []
    for node in draw(st.lists(st.sampled_from(["manifold", *lengths]), max_size=6)):
        far = 0.0 if node == "manifold" else float(lengths[node].split()[0])
        leaks.append(
            {
                "at": node, "distance": f"{draw(numbers(0.0, 1.0)) * far!r} ft",
                "size": draw(holes), "exponent": draw(numbers(0.4, 2.5)),
            }
        )  # fmt: skip
    return {"pipe": runs, "trough": fed, "leak": leaks}


@st.composite
def radios(draw: st.DrawFn) -> Table:
    """Radio links, from one report a second to one a day."""
    delay, every = pair(draw, 0.0, 86_400.0)
    silent = spot(draw(share), min(1.001 * (delay + every), 604_800.0), 604_800.0)
    return {
        "report_every": f"{max(every, 1.0)!r} s", "delay": f"{min(delay, 3600.0)!r} s",
        "loss": draw(numbers(0.0, 1.0)), "seed": draw(st.integers(0, 1_000_000)),
        "silent_after": f"{max(silent, 1.1 * (max(every, 1.0) + delay))!r} s",
        "when_silent": draw(st.sampled_from(["stop", "run"])),
        "condition": draw(st.sampled_from(["works", "dead"])),
    }  # fmt: skip


@st.composite
def sensors(draw: st.DrawFn, fed: list[Table]) -> list[Table]:
    """Level sensors, all of one action, in some of the troughs."""
    action = draw(st.sampled_from(["closes when full", "opens when full"]))
    found = []
    for trough in fed:
        if draw(st.integers(0, 3)):
            continue
        low, high = pair(draw, 0.25, 0.99 * float(trough["depth"].split()[0]))
        link: Table = {"wire": draw(wires)} if draw(either) else {"radio": draw(radios())}
        found.append(
            {
                "trough": trough["name"], "starts_at": f"{low!r} in", "stops_at": f"{max(high, 0.5)!r} in",
                "action": action, "contact": draw(contacts), **link,
            }
        )  # fmt: skip
    return found


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Whole sites."""
    static, intake = pair(draw, 0.0, 2500.0)
    low, high = pair(draw, 1.0, 400.0)
    opens = spot(draw(share), min(1.01 * high, 449.0), 450.0)
    site = {
        "title": "A site at the ends of every range",
        "place": {
            "latitude": draw(of("deg", -90.0, 90.0)), "longitude": draw(of("deg", -180.0, 180.0)),
            "elevation": draw(of("ft", -1500.0, 15_000.0)),
            "air_temperature": draw(of("degF", -40.0, 130.0)),
            "water_temperature": draw(of("degF", 32.0, 104.0)),
            "evaporation": draw(of("in/day", 0.0, 3.0)),
        },
        "well": {
            "static_level": f"{static!r} ft", "intake_depth": f"{max(intake, 1.0)!r} ft",
            "drawdown": draw(of("ft/gpm", 0.0, 50.0)),
        },
        "array": {
            "rated_power": draw(of("W", 20.0, 20_000.0)), "derate": draw(numbers(0.05, 1.0)),
            **draw(on_an_array),
        },
        "pump": draw(pumps()),
        "drive": {
            "kind": draw(st.sampled_from(["solar", "mains"])),
            "soft_start": draw(of("s", 0.1, 300.0)), "ramp_down": draw(of("s", 0.1, 300.0)),
            "efficiency": draw(numbers(0.2, 1.0)), "start_power": draw(of("W", 0.0, 5000.0)),
            **draw(on_a_drive),
        },
        "pressure_switch": {
            "cut_in": f"{low!r} psi", "cut_out": f"{high!r} psi",
            "action": draw(st.sampled_from(["closes on rise", "opens on rise"])),
            **draw(on_a_switch),
        },
        **draw(lines()),
    }  # fmt: skip
    site["level_sensor"] = draw(sensors(site["trough"]))
    if site["level_sensor"]:
        ways = ["pressure switch", "level sensor", "either"]
        site["drive"]["listens_to"] = draw(st.sampled_from(ways))
    if draw(either):
        site["pressure_tank"] = {
            "volume": draw(of("gal", 0.01, 1000.0)), "precharge": draw(of("psi", 0.0, 200.0)),
            "air_exponent": draw(numbers(1.0, 1.4)),
        }  # fmt: skip
    if draw(either):
        site["check_valve"] = {"leak": draw(holes)}
    if draw(either):
        capacity = (
            f"{draw(of('gpm', 0.1, 400.0))} at {spot(draw(share), 1.01 * opens, 500.0)!r} psi"
        )
        site["relief_valve"] = {"opens_at": f"{opens!r} psi", "capacity": capacity}
    if draw(either):
        site |= {"friction": "Hazen-Williams", "hazen_williams_c": draw(numbers(80.0, 160.0))}
    return site


def wide_sites() -> st.SearchStrategy[str]:
    """Valid sites over the whole of every range, as texts."""
    return tables().map(lambda table: dumps(build(Site, table)))

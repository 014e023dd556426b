"""Strategies that several rooms share: typed quantities, and sites of any shape."""

from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from labkit.catalogue import pipe_sizes, stock_kinds
from labkit.parts.build import build
from labkit.parts.signals import GAUGES
from labkit.site import Site
from labkit.units import UNITS, plain, quantity, si, ureg
from labkit.units.registry import alike

Table = dict[str, Any]


def tried(share: float) -> settings:
    """Try a share of what is usual, where one example takes long.

    How much is usual says the profile: ``--hypothesis-profile=long`` takes thirty times as many,
    and ``brief`` a fifth.
    """
    most = max(1, round(share * settings().max_examples))
    slow = [
        HealthCheck.too_slow,
        HealthCheck.filter_too_much,
    ]  # many a random site is beside the point
    return settings(max_examples=most, suppress_health_check=slow)


@st.composite
def texts(draw: st.DrawFn, like: str, low: float, high: float) -> str:
    """Quantities between two limits in the unit `like`, typed in any unit for it."""
    style = draw(st.sampled_from(["decimal", "whole", "mixed", "other unit"]))
    if style == "mixed" and low <= int(low) + 1 < high:
        whole = draw(st.integers(int(low) + 1, max(int(low) + 1, min(int(high) - 1, 999))))
        under = draw(st.sampled_from([2, 4, 8, 16]))
        over, joint = draw(st.integers(1, under - 1)), draw(st.sampled_from([" ", "-"]))
        return f"{whole}{joint}{over}/{under} {like}"
    number = draw(st.floats(low, high))
    if style == "whole" and low <= round(number) <= high:
        return f"{round(number)} {like}"
    if style == "other unit" and (others := [word for word in UNITS if alike(word, like)]):
        word = draw(st.sampled_from(others))
        inner = low + (high - low) * (1e-6 + (1 - 2e-6) * (number - low) / ((high - low) or 1.0))
        return f"{plain(float(ureg.Quantity(inner, UNITS[like]).to(UNITS[word]).magnitude))} {word}"
    return f"{plain(number)} {like}"


def optional(**keys: st.SearchStrategy[Any]) -> st.SearchStrategy[Table]:
    """Tables in which each key may be given or left out."""
    return st.fixed_dictionaries({}, optional=keys)


def table(
    given: dict[str, st.SearchStrategy[Any]], left: dict[str, st.SearchStrategy[Any]]
) -> st.SearchStrategy[Table]:
    """Tables with some keys always and some at times."""
    return st.fixed_dictionaries(given, optional=left)


leak_sizes = st.one_of(
    st.just("0 gpm"),
    st.builds("{} at {}".format, texts("gpm", 0.001, 2.0), texts("psi", 5.0, 60.0)),
    st.builds("{} drops/min at {}".format, st.integers(1, 500), texts("psi", 5.0, 60.0)),
    st.builds("{} hole".format, texts("mm", 0.1, 4.0)),
)

places = table(
    {
        "latitude": texts("deg", -60.0, 60.0),
        "longitude": texts("deg", -179.0, 179.0),
        "elevation": texts("ft", 0.0, 9000.0),
    },
    {
        "air_temperature": texts("degF", 0.0, 110.0),
        "water_temperature": texts("degF", 35.0, 80.0),
        "evaporation": texts("in/day", 0.0, 0.9),
    },
)
wells = table(
    {"static_level": texts("ft", 5.0, 400.0), "intake_depth": texts("ft", 450.0, 900.0)},
    {"drawdown": texts("ft/gpm", 0.0, 5.0)},
)
arrays = table(
    {"rated_power": texts("W", 100.0, 4000.0)},
    {
        "tilt": texts("deg", 0.0, 70.0),
        "faces": st.one_of(
            st.sampled_from(["south", "south-west", "east"]), texts("deg", 90.0, 270.0)
        ),
        "temperature_coefficient": st.floats(-0.006, -0.002),
        "derate": st.floats(0.6, 1.0),
    },
)
_DROP_PIPE = {"drop_pipe": st.sampled_from(["1 in PE DR 9 IPS", "1-1/4 in pe sidr 9"])}
centrifugal = table(
    {
        "kind": st.just("centrifugal"),
        "shut_off_head": texts("ft", 305.0, 900.0),
        "rated_flow": texts("gpm", 3.0, 20.0),
        "rated_head": texts("ft", 150.0, 300.0),
    },
    {"efficiency": st.floats(0.2, 0.7), "shut_off_power_share": st.floats(0.3, 0.8), **_DROP_PIPE},
)
three_points = st.builds(
    lambda pump, flow, head: {**pump, "high_flow": flow, "high_head": head},
    table(
        {
            "kind": st.just("centrifugal"),
            "shut_off_head": texts("ft", 305.0, 330.0),
            "rated_flow": texts("gpm", 10.0, 15.0),
            "rated_head": texts("ft", 225.0, 270.0),
        },
        {"efficiency": st.floats(0.2, 0.7), "shut_off_power_share": st.floats(0.3, 0.8)},
    ),
    texts("gpm", 21.0, 40.0),
    texts("ft", 20.0, 115.0),
)  # by hand: at most 330 - (330 - 225) sqrt(40 / 10) = 120 ft, at least 305 - 35 (21 / 15)**8 < 0
displacement = table(
    {
        "kind": st.just("positive displacement"),
        "rated_flow": texts("gpm", 1.0, 12.0),
        "rated_head": texts("ft", 100.0, 900.0),
    },
    {
        "slip": st.floats(0.0, 0.2),
        "efficiency": st.floats(0.3, 0.7),
        "torque_limit": st.floats(1.1, 2.5),
        **_DROP_PIPE,
    },
)
pairs = table(
    {"gauge": st.sampled_from(GAUGES), "length": texts("ft", 5.0, 9000.0)},
    {"condition": st.sampled_from(["sound", "cut", "shorted"])},
)
contacts = st.sampled_from(["works", "stuck open", "stuck closed"])
radios = optional(
    report_every=texts("s", 5.0, 300.0),
    delay=texts("s", 0.0, 4.0),
    loss=st.floats(0.0, 1.0),
    seed=st.integers(0, 999),
    silent_after=texts("min", 6.0, 30.0),
    when_silent=st.sampled_from(["stop", "run"]),
    condition=st.sampled_from(["works", "dead"]),
)
drives = table(
    {"kind": st.sampled_from(["solar", "mains"])},
    {
        "soft_start": texts("s", 0.2, 20.0),
        "ramp_down": texts("s", 0.2, 10.0),
        "efficiency": st.floats(0.7, 1.0),
        "start_power": texts("W", 5.0, 100.0),
        "stop_when": st.sampled_from(["closed", "open"]),
        "restart_delay": texts("s", 0.0, 600.0),
        "low_water_wait": texts("min", 1.0, 60.0),
    },
)
switches = table(
    {"cut_in": texts("psi", 5.0, 40.0), "cut_out": texts("psi", 41.0, 90.0)},
    {
        "action": st.sampled_from(["closes on rise", "opens on rise"]),
        "contact": contacts,
        "nipple": st.sampled_from(["clear", "plugged"]),
        "wire": pairs,
    },
)
tanks = table(
    {"volume": texts("gal", 0.5, 80.0), "precharge": texts("psi", 2.0, 50.0)},
    {"air_exponent": st.floats(1.0, 1.4)},
)
relief_valves = table(
    {
        "opens_at": texts("psi", 95.0, 120.0),
        "capacity": st.builds(
            "{} at {}".format, texts("gpm", 2.0, 20.0), texts("psi", 125.0, 160.0)
        ),
    },
    {},
)
_RUN = {
    "length": texts("ft", 100.0, 5000.0),
    "size": st.sampled_from([*pipe_sizes(), "1-1/4 in pe sidr 15", "1.5 in PVC Sch 40"]),
    "rise": texts("ft", -60.0, 60.0),
}
_ENDS = ("length", "rise")
_ON_A_RUN = {
    "fittings": st.floats(0.0, 30.0),
    "inside_diameter": texts("in", 0.7, 2.5),
    "wave_speed": texts("m/s", 200.0, 1300.0),
}
float_valves = table(
    {"flow": st.builds("{} at {}".format, texts("gpm", 2.0, 15.0), texts("psi", 5.0, 60.0))},
    {
        "band": texts("in", 0.2, 4.0),
        "seat_leak": leak_sizes,
        "holding_pressure": texts("psi", 30.0, 120.0),
        "position": st.sampled_from(["floats", "always open", "always shut"]),
    },
)
herds = table(
    {"head": st.integers(0, 300), "kind": st.sampled_from(stock_kinds())},
    {
        "daily_need": texts("gal/day", 0.5, 30.0),
        "visits": st.sampled_from([["06:30"], ["05:00", "11:15", "20:59"]]),
        "visit_time": texts("min", 5.0, 120.0),
    },
)


@st.composite
def runs(draw: st.DrawFn) -> Table:
    """A run of pipe, straight or over some hills and dips, with vents at some of them."""
    run = draw(table(_RUN, _ON_A_RUN))
    if draw(st.integers(0, 3)) < 3:
        return run
    length, rise = (si(quantity(run[key], "ft")) / si(quantity("1 ft", "ft")) for key in _ENDS)
    before, high, profile = 0.0, 0.0, []
    for share in sorted(draw(st.lists(st.floats(0.05, 0.95), max_size=4))):
        out, up = share * length, draw(st.floats(-60.0, 120.0))
        near_enough = abs(up - high) < out - before and abs(rise - up) < length - out
        if out - before >= 2.0 and near_enough:
            profile.append([f"{out} ft", f"{up} ft"])
            before, high = out, up
    vents = [out for out, _ in profile if draw(st.booleans())]
    return run | ({"profile": profile} if profile else {}) | ({"vents": vents} if vents else {})


def names(stem: str, count: int) -> list[str]:
    """Different names, with all that a name may hold."""
    return [f"{stem} {'é-_'[i % 3]}{i}" for i in range(count)]


@st.composite
def lines(draw: st.DrawFn) -> Table:
    """Trees of one to eight troughs: a star, a trunk, or branches upon branches."""
    troughs = names("trough", draw(st.integers(1, 8)))
    tees = names("tee", draw(st.integers(0, min(4, len(troughs)))))
    starts = [
        draw(st.sampled_from(["manifold", *tees[:i]])) for i in range(len(tees))
    ]  # a tee hangs on one before it
    ends = [tee for tee in tees if tee not in starts]
    at = ends + [
        draw(st.sampled_from(["manifold", *tees])) for _ in range(len(troughs) - len(ends))
    ]
    pipes = [
        {"from": start, "to": tee, **draw(runs())} for start, tee in zip(starts, tees, strict=True)
    ]
    return {
        "pipe": draw(st.permutations(pipes)),
        "trough": [
            {
                "name": name,
                "pipe": {"from": start, **draw(runs())},
                "volume": draw(texts("gal", 40.0, 3000.0)),
                "depth": draw(texts("in", 10.0, 40.0)),
                "float_valve": draw(float_valves),
                **draw(optional(herd=herds, freeboard=texts("in", 1.0, 4.0))),
            }
            for name, start in zip(troughs, at, strict=True)
        ],
        "leak": draw(
            st.lists(
                table(
                    {"at": st.sampled_from([*tees, *troughs]), "size": leak_sizes},
                    {"distance": texts("ft", 0.0, 100.0), "exponent": st.floats(0.5, 1.5)},
                ),
                max_size=3,
            )
        ),
    }


@st.composite
def sensing(draw: st.DrawFn, line: Table) -> Table:
    """Level sensors in some troughs of a line, all of one action."""
    action = draw(st.sampled_from(["closes when full", "opens when full"]))
    return {
        "level_sensor": [
            {
                "trough": trough["name"],
                "stops_at": draw(texts("in", 6.0, 9.9)),
                "starts_at": draw(texts("in", 1.0, 5.9)),
                "action": action,
                "contact": draw(contacts),
                **draw(st.one_of(table({"wire": pairs}, {}), table({"radio": radios}, {}))),
            }
            for trough in line["trough"]
            if draw(st.booleans())
        ]
    }


@st.composite
def site_tables(draw: st.DrawFn) -> Table:
    """Sites as a file holds them: every part, with and without what may be left out."""
    line = draw(lines())
    sensors = draw(sensing(line))
    drive = draw(drives)
    if sensors["level_sensor"]:
        listens = st.sampled_from(["pressure switch", "level sensor", "either"])
        drive |= draw(optional(listens_to=listens))
    return {
        "title": draw(
            st.text(
                st.characters(codec="utf-8", categories=["L", "N", "P", "S"]),
                min_size=1,
                max_size=80,
            )
        ),
        "place": draw(places),
        "well": draw(wells),
        "array": draw(arrays),
        "pump": draw(st.one_of(centrifugal, three_points, displacement)),
        "drive": drive,
        "pressure_switch": draw(switches),
        **line,
        **sensors,
        **draw(
            optional(
                pressure_tank=tanks,
                check_valve=optional(leak=leak_sizes),
                relief_valve=relief_valves,
                friction=st.sampled_from(["Darcy-Weisbach", "Hazen-Williams"]),
                hazen_williams_c=st.floats(120.0, 155.0),
            )
        ),
    }


def sites() -> st.SearchStrategy[Site]:
    """Valid sites of any shape."""
    return site_tables().map(_site)


def _site(table: Table) -> Site:
    site: Site = build(Site, table)
    return site

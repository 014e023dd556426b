"""Changed copies of a site, by dotted names."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import SiteError
from labkit.parts import Leak, PressureTank
from labkit.site import Site
from labkit.sitefile import demo_site, dumps, loads
from labkit.units import quantity, ureg, written
from tests.strategies import tried


@pytest.fixture(scope="module")
def site() -> Site:
    return demo_site("three_troughs")


def test_a_changed_copy_leaves_the_first_as_it_was(site: Site) -> None:
    copy = site.changed({"pressure_switch.cut_out": "50 psi"})

    assert written(copy.pressure_switch.cut_out) == "50 psi"
    assert written(site.pressure_switch.cut_out) == "47 psi"
    assert copy.changed({"switch.cut_out": "47 psi"}) == site


def test_what_is_made_of_a_line_is_made_once_and_anew_for_a_changed_copy(site: Site) -> None:
    asked: list[Site] = []

    def heights(line: Site) -> list[float]:
        asked.append(line)
        return [line.elevation(trough.name) for trough in line.troughs]

    copy = site.changed({"trough.creek.pipe.rise": "5 ft"})
    first = site.once(heights)

    assert site.once(heights) is first
    assert copy.once(heights)[0] != first[0]
    assert [id(one) for one in asked] == [id(site), id(copy)]


def test_points_move_together_whatever_their_order(site: Site) -> None:
    """Either alone would stand on the wrong side of the other's old value."""
    up = {"switch.cut_in": "50 psi", "switch.cut_out": "60 psi"}
    backwards = dict(reversed(up.items()))

    assert site.changed(up) == site.changed(backwards)


def test_parts_deep_within_are_reached_by_name(site: Site) -> None:
    copy = site.changed(
        {
            "trough.lookout.float_valve.seat_leak": "0.1 gpm at 30 psi",
            "trough.lookout.pipe.rise": ureg.Quantity(5.0, "m"),
            "pipe.upper tee.length": "400 m",
            "tank": PressureTank(volume="1 gal", precharge="20 psi"),
            "leaks": (Leak(at="creek", size="1 mm hole"), {"at": "lookout", "size": "0 gpm"}),
        }
    )

    creek, corral, lookout = copy.troughs
    assert str(lookout.float_valve.seat_leak) == "0.1 gpm at 30 psi"
    assert lookout.pipe.rise == quantity("5 m", "m")
    assert (creek, corral) == site.troughs[:2]
    assert written(copy.pipes[1].length) == "400 m"
    assert [leak.at for leak in copy.leaks] == ["creek", "lookout"]
    assert copy.elevation("lookout") == pytest.approx((5 + 12) * 0.3048 + 5.0)


def test_parts_are_taken_away_and_given(site: Site) -> None:
    bare = site.changed({"pressure_tank": None})

    assert bare.pressure_tank is None
    assert bare.changed({"tank": {"volume": "5 gal", "precharge": "20 psi"}}) == site


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"switch.cut_in": "55 psi"}, "switch: cut_in is 55 psi; it must be below cut_out 47 psi"),
        (
            {"swich.cut_in": "5 psi"},
            "site: swich is not a known key; the nearest known key is 'pressure_switch'",
        ),
        (
            {"switch.cutin": "5 psi"},
            "switch: cutin is not a known key; the nearest known key is 'cut_in'",
        ),
        (
            {"trough.lookuot.depth": "3 ft"},
            "trough is 'lookuot'; write one of 'creek', 'corral', 'lookout'",
        ),
        (
            {"trough.lookout.depth": "3 psi"},
            (
                "trough.lookout.depth is '3 psi'; psi measures a pressure; write a length as a number"
                " and a unit, such as '30 in' (ft, in, m, cm, mm, km, mi, yd)"
            ),
        ),
        (
            {"trough.lookout.pipe.from": "lookout"},
            (
                "trough.lookout.pipe.from is 'lookout'; a trough ends its run; lead a [[pipe]] to a"
                " tee beside it, say to = 'tee at lookout', and start both troughs' pipes from that"
                " tee, or write 'manifold' or 'lower tee' or 'upper tee'"
            ),
        ),
        (
            {"relief_valve.opens_at": "90 psi"},
            "site: relief_valve is missing; give the whole table first",
        ),
        ({"title.x": "3"}, "site: title is 'Left-Hand Wash'; it has no 'x' within it"),
        ({"leak.creek.size": "0 gpm"}, "leak is 'creek'; the site has none"),
        ({"well": "deep"}, "well is 'deep'; write it as a table of keys and values"),
        ({"well": None}, "well is missing; write it as a table of keys and values"),
        ({"pipes": None}, "pipe is missing; write a list of tables"),
        (
            {"switch": {"cut_in": "5 psi", "cut_out": "9 psi"}, "switch.cut_in": "6 psi"},
            (
                "site: switch.cut_in is '6 psi'; switch is changed as a whole at the same time; do"
                " one of the two"
            ),
        ),
        (
            {"switch.cut_in": "6 psi", "switch": {"cut_in": "5 psi", "cut_out": "9 psi"}},
            "site: switch is a table; it is changed twice; do one of the two",
        ),
    ],
    ids=range(14),
)
def test_a_change_that_cannot_be(site: Site, changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(SiteError) as caught:
        site.changed(changes)

    assert str(caught.value) == sentence


# fmt: off
PLACES = [
    "title", "place", "place.latitude", "well", "well.static_level", "array", "array.faces",
    "array.derate", "pump", "pump.kind", "pump.drop_pipe", "pump.high_flow", "drive.kind",
    "drive.soft_start", "switch.cut_in", "switch.action", "tank", "tank.air_exponent",
    "check_valve", "check_valve.leak", "relief_valve", "pipes", "pipe.upper tee",
    "pipe.upper tee.from", "pipe.upper tee.to", "pipe.upper tee.size", "troughs", "trough.creek",
    "trough.creek.name", "trough.creek.pipe", "trough.creek.pipe.to", "trough.creek.herd",
    "trough.creek.herd.visits", "trough.creek.herd.kind", "trough.creek.herd.head", "leaks",
    "friction", "hazen_williams_c", "level_sensors", "drive.listens_to", "switch.wire",
    "switch.contact", "place.evaporation", "trough.creek.float_valve.position",
]
# fmt: on

junk = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


@tried(1.0)
@given(place=st.sampled_from(PLACES) | st.text(max_size=30), instead=junk)
def test_whatever_stands_in_a_place_is_read_or_refused_in_one_line(
    place: str, instead: object
) -> None:
    site = demo_site("three_troughs")

    try:
        changed = site.changed({place: instead})
    except SiteError as problem:
        sentences = [str(one) for one in problem.problems]
    else:
        sentences = ["read"]
        assert loads(dumps(changed)) == changed

    for sentence in sentences:
        assert len(sentence.splitlines()) == 1
        assert len(sentence) < 400


def test_sensors_wires_and_floats_are_reached_by_name() -> None:
    """A trough may be called what a short name stands for; a sensor goes by its trough."""
    tank = demo_site("storage_tank")
    radio = {"report_every": "30 s", "loss": 0.2, "condition": "dead"}

    copy = tank.changed(
        {
            "level_sensor.cistern.stops_at": "66 in",
            "sensor.cistern.wire.condition": "cut",
            "switch.wire": {"gauge": "16 AWG", "length": "6 ft"},
            "trough.cistern.float_valve.position": "always shut",
        }
    )
    other = copy.changed({"sensor.cistern.wire": None, "sensor.cistern.radio": radio})

    (sensor,) = copy.level_sensors
    assert written(sensor.stops_at) == "66 in"
    assert sensor.wire is not None
    assert sensor.wire.condition == "cut"
    assert copy.pressure_switch.wire is not None
    assert copy.pressure_switch.wire.gauge == "16 AWG"
    assert copy.troughs[0].float_valve.position == "always shut"
    assert other.level_sensors[0].radio is not None
    assert other.level_sensors[0].radio.condition == "dead"
    assert copy.changed({"switch.wire.condition": "cut"}).pressure_switch.wire != (
        copy.pressure_switch.wire
    )
    for site in (copy, other):
        assert loads(dumps(site)) == site


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        (
            {"switch.wire.condition": "cut"},
            "site: pressure_switch.wire is missing; give the whole table first",
        ),
        (
            {"level_sensors": []},
            (
                "drive.listens_to is 'level sensor'; the line has no level sensor; write"
                " 'pressure switch', or add a [[level_sensor]]"
            ),
        ),
        ({"level_sensor.pond.action": "opens when full"}, "level sensor is 'pond'; write one of 'cistern'"),
        (
            {"trough.cistern.depth": "60 in"},
            (
                "level_sensor.cistern.stops_at is 64 in; it must be below the rim of the trough,"
                " whose depth is 60 in"
            ),
        ),
        (
            {"trough.cistern.name": "pond"},
            "level_sensor.1.trough is 'cistern'; no trough has that name; write 'pond'",
        ),
    ],
    ids=range(5),
)  # fmt: skip
def test_a_change_that_a_sensor_refuses(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(SiteError) as caught:
        demo_site("storage_tank").changed(changes)

    assert str(caught.value) == sentence


def test_sensors_that_act_against_each_other_are_refused() -> None:
    pair = {"gauge": "18 AWG", "length": "900 ft"}
    sensors = [
        {"trough": "creek", "stops_at": "12 in", "starts_at": "6 in", "wire": pair},
        {"trough": "lookout", "stops_at": "12 in", "starts_at": "6 in", "wire": pair,
         "action": "opens when full"},
    ]  # fmt: skip

    with pytest.raises(SiteError) as caught:
        demo_site("three_troughs").changed({"level_sensors": sensors})

    assert str(caught.value) == (
        "level_sensor.lookout.action is 'opens when full'; all sensors of a line act alike; write"
        " 'closes when full'"
    )

"""A drill from its call to its marking."""

from string import Formatter
from typing import Any

import numpy as np
import pytest

from labkit.drills import TASKS, Drill, Placed, Value, choices, draw_drill
from labkit.drills.marking import mark
from labkit.drills.scene import fallen, on_gauge, read_together
from labkit.drills.signature import Span, span
from labkit.errors import LabkitError
from labkit.faults import stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si
from tests.customary import PSI
from tests.drills.working import CHECK, LEAK, drill_with, placed

SEAT = placed("worn float seat", "0.3 gpm at 30 psi", "notch")


@pytest.fixture(scope="module")
def site() -> Site:
    return stocked(demo_site("one_trough_uphill"))


@pytest.mark.parametrize("faults", [1, 2])
def test_a_number_brings_the_same_drill_and_the_same_readings(faults: int) -> None:
    first, second = (draw_drill("one_trough_uphill", 17, faults=faults) for _ in range(2))

    assert first.hidden == second.hidden
    assert first.complaints == second.complaints
    for key, where in first.choices[:6]:
        first, second = first.tried(key, where), second.tried(key, where)
    assert first.log == second.log


def test_neighbors_get_different_drills() -> None:
    drawn = [draw_drill("one_trough_uphill", number).hidden for number in range(1, 13)]

    assert len(set(drawn)) == len(drawn)
    assert len({hidden[0].key for hidden in drawn}) >= 6


def test_two_faults_are_two() -> None:
    for number in (1, 2, 3):
        drill = draw_drill("one_trough_uphill", number, faults=2)
        assert len({one.key for one in drill.hidden}) == 2
        assert drill.complaints


@pytest.mark.parametrize("name", ["first_line", "three_troughs", "deep_well"])
def test_any_ranch_will_do(name: str) -> None:
    drill = draw_drill(name, 5)

    assert drill.complaints
    for key, where in drill.choices:
        assert drill.tried(key, where).log[-1].values


@pytest.mark.parametrize("done", choices(stocked(demo_site("one_trough_uphill"))), ids=str)
def test_a_task_takes_the_minutes_that_it_says(site: Site, done: tuple[str, str]) -> None:
    drill = drill_with(site, LEAK).tried(*done)

    assert drill.minutes == TASKS[done[0]].minutes
    assert drill.scene.site == drill.scene.standing.site, "nothing stays turned"


def test_no_value_is_said_that_was_not_read(site: Site) -> None:
    drill = drill_with(site, LEAK)
    for key, where in drill.choices:
        values = drill.tried(key, where).log[-1].values
        known = {value.name for value in values} | {"inch"}
        assert {
            name for _, name, _, _ in Formatter().parse(TASKS[key].words(values)) if name
        } <= known


def test_every_reading_is_said_on_some_line(site: Site) -> None:
    """A fall is reckoned: it is told by the two readings that it lies between."""
    read: set[tuple[str, str]] = set()
    said: set[tuple[str, str]] = set()
    worn, narrow = placed("worn pump", "0.65"), placed("narrowed pipe", "0.58", "notch")
    faults = (LEAK, CHECK, SEAT, worn, narrow, placed("cut wire"))
    for hidden in faults:
        drill = drill_with(site, hidden)
        for key, where in drill.choices:
            values = drill.tried(key, where).log[-1].values
            read |= {(key, value.name) for value in values if value.between is None}
            words = Formatter().parse(TASKS[key].words(values))
            said |= {(key, name) for _, name, _, _ in words if name}

    assert read
    assert read - said == set()


def test_a_reading_is_off_by_its_error_at_most_and_stands_on_the_scale() -> None:
    rng = np.random.default_rng(3)
    read = [on_gauge("gauge", 31.37 * PSI).read(rng).value for _ in range(300)]

    steps = np.array(read, dtype=float) / PSI
    assert np.allclose(steps, np.round(steps))
    assert set(np.round(steps)) == {31.0, 32.0}


def test_what_is_read_in_one_task_hangs_together() -> None:
    """A needle that stands is read as standing, a fall is what the two readings leave."""
    rng = np.random.default_rng(3)
    before, later = on_gauge("gauge", 31.37 * PSI), on_gauge("later", 2.4 * PSI)
    same = on_gauge("again", 31.37 * PSI)
    for _ in range(300):
        read = read_together([before, same, later, fallen("fall", before, later)], rng)
        first, again, last, fall = (round(float(one.value) / PSI) for one in read)
        assert first == again
        assert first in (31, 32)
        assert fall == first - last <= first
        assert abs(fall - 28.97) <= 2.0


NARROW = placed("narrowed pipe", "0.58", "notch")
"""A line that stops and starts all the while its trough fills."""


def test_of_a_line_that_cycles_a_bucket_catches_the_mean_and_a_needle_its_ends(site: Site) -> None:
    """Held to the trough's own level, and to the points between which the switch lets it go."""
    scene = drill_with(site, NARROW).met
    trace, _ = scene.pass_time(5.0, turned=scene.held("always open", ["notch"]))
    flow, low, high = (one.value for one in TASKS["bucket"].do(scene, "notch")[0])

    start, end = (int(trace.time.searchsorted(when)) for when in trace.times("pump starts")[-2:])
    trough = site.trough("notch")
    risen = trace.level["notch"][end] - trace.level["notch"][start]
    caught = si(trough.volume) * risen / si(trough.depth)
    assert flow == pytest.approx(caught / (trace.time[end] - trace.time[start]), rel=0.03)
    switch = site.pressure_switch
    assert isinstance(low, float)
    assert isinstance(high, float)
    assert low < si(switch.cut_in)
    assert si(switch.cut_out) < high < si(switch.cut_out) + 2.0 * PSI
    assert not any(one.swings for one in TASKS["bucket"].do(scene, "notch")[0]), "all is seen"


@pytest.mark.parametrize(
    ("hidden", "stands"),
    [(CHECK, "shut"), (placed("stuck-open float", "", "notch"), "open")],
)
def test_a_look_tells_how_far_the_water_is_under_the_rim(
    site: Site, hidden: tuple[Placed, ...], stands: str
) -> None:
    """A float that works shuts at its freeboard; one that is stuck open lets it stand at the rim."""
    gap, at = (one.value for one in TASKS["look"].do(drill_with(site, hidden).met, "notch")[0])

    freeboard = si(site.trough("notch").freeboard)
    assert gap == pytest.approx(freeboard if stands == "shut" else 0.0, abs=0.013)
    assert at == stands


def test_of_a_line_that_stands_or_runs_a_gauge_has_one_reading(site: Site) -> None:
    """Its pump only comes, or only goes: it is read in the end, and nothing else counts."""
    for key in ("bucket", "inlet", "press", "drip"):
        values, _ = TASKS[key].do(drill_with(site, CHECK).met, "notch")
        read = {one.name: one.value for one in values}
        assert read.get("low") == read.get("high"), key
        assert not any(one.swings for one in values), key


@pytest.mark.parametrize(
    ("number", "tests"),
    [
        (79, ("gauge", "press")),
        (118, ("bucket",)),
        (118, ("work",)),
        (159, ("well at rest", "well pumping", "tank")),
    ],
)
def test_no_reading_of_a_line_that_cycles_speaks_against_its_own_fault(
    number: int, tests: tuple[str, ...]
) -> None:
    """The test sets a short cycle going, and where in it the reading falls hangs on a second."""
    drill = draw_drill("one_trough_uphill", number)
    for key in tests:
        drill = drill.tried(key, "notch" if TASKS[key].is_at_trough else "")

    assert drill.against(drill.hidden[0].key) == ()
    assert drill.against("cut wire") != (), "it still speaks against others"


@pytest.mark.parametrize(
    ("number", "key"), [(10, "watch"), (73, "gauge"), (79, "watch"), (177, "lift")]
)
def test_where_a_line_came_to_rest_in_its_cycle_speaks_against_nothing(
    number: int, key: str
) -> None:
    """It stands at 28 or 30 psi after many short cycles, or is met as it starts: all by chance.

    A choked line cycles all the while it fills, one whose tank has too much air (73) as it closes.
    """
    drill = draw_drill("one_trough_uphill", number).tried(key)

    assert drill.against(drill.hidden[0].key) == ()


def test_nothing_is_read_as_nothing() -> None:
    nothing = Value(name="flow", kind="flow", value=0.0, error=1e-5)
    assert {nothing.read(np.random.default_rng(n)).value for n in range(20)} == {0.0}


def test_time_goes_on_between_tasks(site: Site) -> None:
    """A gauge that falls reads less later on."""
    drill = drill_with(site, CHECK).tried("shut in").tried("gauge")
    slow = drill_with(site, CHECK).tried("shut in").tried("well at rest").tried("gauge")

    assert drill.clock == pytest.approx(drill_with(site, CHECK).clock + 11 * 60.0)
    assert slow.minutes == 23


def test_the_right_diagnosis_is_right(site: Site) -> None:
    marking = drill_with(site, CHECK).mark(["bad check valve"])

    assert (marking.is_right, marking.right, marking.against) == (True, 1, ())


def test_a_wrong_diagnosis_is_held_against_what_was_read(site: Site) -> None:
    """Behind the shut valve the gauge fell: no leak in the line could do that; state lights may."""
    drill = drill_with(site, CHECK).tried("lights").tried("shut in").tried("drip", "notch")

    marking = drill.mark(["buried leak"])

    assert not marking.is_right
    assert marking.against == (1,)


def test_a_guess_that_nothing_read_speaks_against_is_told_what_would(site: Site) -> None:
    """Nothing was read; of all tasks only those behind a shut valve part the two for sure."""
    marking = drill_with(site, CHECK).mark(["buried leak"])

    assert marking.against == ()


def test_the_right_diagnosis_is_never_ruled_out(site: Site) -> None:
    """With every task done, noise and all: held against its own fault, no reading speaks."""
    drill = drill_with(site, LEAK)
    for key, where in drill.choices:
        drill = drill.tried(key, where)
    log = [((entry.key, entry.where), entry.values) for entry in drill.log]

    marking = mark(site, CHECK, {"buried leak": ""}, log)

    assert not marking.is_right
    assert marking.against == ()


def test_half_of_two_is_half(site: Site) -> None:
    pair = (*CHECK, *placed("worn pump", "0.65"))

    marking = drill_with(site, pair).mark(["worn pump", "cut wire"])

    assert (marking.is_right, marking.right) == (False, 1)


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ([], "name one fault"),
        (["cut wire", "low well"], "name one fault"),
        (["gremlins"], "the site cannot have 'gremlins'"),
        ([("a", "b", "c")], "drill: diagnosis has a list; write a fault, or a fault and its place"),
        ([5], "drill: diagnosis has 5; write a fault, or a fault and its place"),
    ],
)
def test_what_cannot_be_marked_says_why(site: Site, keys: list[Any], said: str) -> None:
    with pytest.raises(LabkitError, match=said):
        drill_with(site, CHECK).mark(keys)


def test_a_task_that_is_none_is_refused(site: Site) -> None:
    bare = drill_with(stocked(site.changed({"pressure_tank": None})), CHECK)

    with pytest.raises(LabkitError, match="'tank' cannot be done"):
        bare.tried("tank")
    with pytest.raises(LabkitError, match="1 or 2 faults"):
        draw_drill("one_trough", 1, faults=3)


def test_a_suspect_cannot_have_it_only_past_both_errors() -> None:
    suspect = Span(words=frozenset(), least=10.0, most=20.0, error=1.0)

    def excluded(value: float) -> bool:
        return suspect.excludes(Value(name="a", kind="pressure", value=value, error=1.0))

    assert [excluded(value) for value in (7.9, 8.1, 15.0, 21.9, 22.1)] == [
        True, False, False, False, True,
    ]  # fmt: skip
    words = span([Value(name="a", kind="word", value=word) for word in ("open", "closed")])
    assert words.excludes(Value(name="a", kind="word", value="stuck"))
    assert not words.excludes(Value(name="a", kind="word", value="open"))


def test_a_float_pressed_down_after_a_bucket_passes_as_much_as_before(site: Site) -> None:
    """The bucket fills the trough past its float; an inch below the water is an inch all the same."""
    drill = drill_with(site, CHECK)

    def flow(tried: Drill) -> float:
        (found,) = (v.value for v in tried.log[-1].values if v.name == "flow")
        assert isinstance(found, float)
        return found

    fresh = flow(drill.tried("press", "notch"))
    after = flow(drill.tried("bucket", "notch").tried("press", "notch"))

    assert fresh > 3.0 * 6.30902e-5
    assert after > 0.7 * fresh  # the pressure is another, by its root


def test_a_line_that_level_sensors_stop_is_no_drill() -> None:
    with pytest.raises(LabkitError, match="stopped by its level sensors"):
        draw_drill("storage_tank", 1)

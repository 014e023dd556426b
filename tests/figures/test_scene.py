"""Scenes: what is drawn of a run is what the run says, in the reader's units."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pytest
from numpy.typing import NDArray

from labkit.engine.run import simulate
from labkit.figures import looks
from labkit.figures.limits import WATER_COLUMN, Limits
from labkit.figures.scene import Grip, Scene, scene_of, telling_moment
from labkit.sitefile import demo_site
from labkit.trace import VERDICTS, DriveState, Flag
from tests.customary import GPM, PSI
from tests.view.conftest import made_trace

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def trace(ranch: Site) -> Trace:
    return made_trace(ranch)


def drawn(scene: Scene, name: str) -> Floats:
    return scene.series(name)[1]


def at(scene: Scene, place: int, time: float) -> float:
    times = scene.arrays[scene.parts["line"]["t"]]
    return float(np.interp(time, times, scene.arrays[place]))


def node(scene: Scene, name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(n for n in scene.parts["line"]["nodes"] if n["id"] == name)
    return found


def test_the_lines_are_the_trace_in_display_units(trace: Trace) -> None:
    scene = scene_of(trace)

    assert scene.series("pressure")[0] == pytest.approx(trace.time)
    assert drawn(scene, "pressure")[0] == pytest.approx(24.0)
    assert drawn(scene, "pressure").max() == pytest.approx(33.0)
    assert drawn(scene, "pump").max() == pytest.approx(7.0, rel=1e-4)
    assert drawn(scene, "into troughs").max() == pytest.approx(6.0, rel=1e-4)
    assert drawn(scene, "leak").max() == pytest.approx(0.25, rel=1e-4)
    assert drawn(scene, "level elm")[0] == pytest.approx(20.0)


def test_metric_lines(trace: Trace) -> None:
    scene = scene_of(trace, "metric")

    assert drawn(scene, "pressure").max() == pytest.approx(33.0 * 6.894757)
    assert drawn(scene, "level elm")[0] == pytest.approx(508.0)


@pytest.mark.parametrize("system", ["US", "metric"])
def test_everything_drawn_lies_within_its_panel(trace: Trace, system: str) -> None:
    scene = scene_of(trace, system)

    for panel in scene.parts["panels"]:
        for series in panel["series"]:
            assert 0.0 <= scene.arrays[series["y"]].min()
            assert scene.arrays[series["y"]].max() <= panel["hi"]
        assert [at for at, _ in panel["ticks"]][-1] == pytest.approx(panel["hi"])


def test_pressure_and_height_share_a_scale(trace: Trace) -> None:
    """The top of the land is the height to which the top of the panel would lift water."""
    scene = scene_of(trace)
    top = scene.parts["panels"][0]["hi"]

    assert scene.parts["line"]["high"] == pytest.approx(top * PSI / WATER_COLUMN / 0.3048)


def test_the_marks_are_the_set_points(trace: Trace) -> None:
    out, low = scene_of(trace).parts["panels"][0]["marks"]

    assert (out["id"], low["id"]) == ("cut-out", "cut-in")
    assert (out["y"], low["y"]) == (pytest.approx(30.0), pytest.approx(15.0))
    assert out["words"] == ["cut-out 30.0 psi", "(69 ft of water)"]
    assert low["words"] == ["cut-in 15.0 psi", "(35 ft of water)"]


def test_the_grade_line_leans_when_water_flows_and_lies_level_when_none_does(trace: Trace) -> None:
    scene = scene_of(trace)
    heads = [node(scene, name)["head"] for name in ("manifold", "tee", "elm")]

    flowing, still = ([at(scene, head, time) for head in heads] for time in (900.0, 3600.0))

    assert flowing[0] > flowing[1] > flowing[2]
    assert still == pytest.approx([still[0]] * 3)
    assert flowing[0] == pytest.approx(24.0 * PSI / 9804.0 / 0.3048)


def test_the_ground_rises_to_the_elm_and_falls_to_the_draw(trace: Trace) -> None:
    scene = scene_of(trace)
    heights = {"manifold": 0.0, "tee": 10.0, "elm": 30.0, "draw": -15.0}

    assert {n["id"]: n["y"] for n in scene.parts["line"]["nodes"]} == pytest.approx(heights)
    assert node(scene, "elm")["x"] == pytest.approx(1500.0)
    assert node(scene, "elm")["parent"] == "tee"


def test_what_runs_back_through_the_check_valve_is_drawn_as_a_leak(trace: Trace) -> None:
    """0.25 gpm out of the line at most, and 0.5 gpm back down the well beside them."""
    back = np.full_like(trace.time, 0.5 * GPM)
    scene = scene_of(attrs.evolve(trace, returned_flow=back))

    assert drawn(scene, "leak").max() == pytest.approx(0.75, rel=1e-4)


def test_a_leak_is_marked_where_it_is(ranch: Site) -> None:
    leak = {"at": "elm", "distance": "250 ft", "size": "0.2 gpm at 30 psi"}
    leaky = scene_of(made_trace(ranch.changed({"leaks": (leak,)})))

    assert leaky.parts["line"]["leaks"] == [pytest.approx([1250.0, 20.0])]
    assert scene_of(made_trace(ranch)).parts["line"]["leaks"] == []


def test_strips_hold_the_states(trace: Trace) -> None:
    sun, drive, contact, speed = scene_of(trace).parts["strips"]

    start, end, state = contact["spans"][0]
    assert (start, state) == (0.0, 0)
    assert end == 1950.0  # the contact closes with the first trip
    assert drive["spans"][0] == [0.0, 1950.0, DriveState.RUNNING]
    assert (sun["id"], speed["id"]) == ("sun", "speed")


def test_floats_and_water_move_with_the_trace(trace: Trace) -> None:
    scene = scene_of(trace)
    elm = scene.parts["line"]["troughs"][0]

    assert elm["id"] == "elm"
    assert at(scene, elm["opening"], 900.0) == 1.0
    assert at(scene, elm["opening"], 3600.0) == 0.0
    assert at(scene, elm["share"], 900.0) == pytest.approx(20.0 / 24.0)
    assert at(scene, elm["inflow"], 900.0) == pytest.approx(3.0, rel=1e-4)


def test_the_telling_moment_is_the_last_trip_or_the_end(trace: Trace) -> None:
    assert telling_moment(trace) == scene_of(trace).moment == 3450.0
    assert telling_moment(attrs.evolve(trace, events=())) == 3600.0


def test_of_false_stops_the_first_is_the_telling_one() -> None:
    """The last comes as the float is about to shut; at the first it hangs wide open."""
    narrow = {"trough.elm.pipe.size": "1 in PE SIDR 9", "trough.elm.pipe.length": "2500 ft"}
    low = {
        "switch.cut_in": "20 psi",
        "switch.cut_out": "40 psi",
        "pressure_tank.precharge": "18 psi",
    }
    site = demo_site("first_line").changed(narrow | low)
    noon = simulate(site, "6 min", sun="900 W/m^2", levels={"elm": "10 in"})
    assert noon.verdict == "false stop"
    assert len(noon.times("switch trips")) > 2

    moment = noon.at(telling_moment(noon))

    assert moment.time == noon.times("switch trips")[0]
    assert moment.openings["elm"] == 1.0
    verdict = scene_of(noon).verdict
    assert verdict is not None
    assert (verdict.word, verdict.is_good) == ("Stops too soon", False)


def test_the_verdict_s_word_heads_its_sentence(trace: Trace) -> None:
    scene = scene_of(trace)

    assert scene.verdict is not None
    assert scene.verdict.word == "Short-cycles"
    assert scene.verdict.cause.startswith("With every float valve closed")
    assert scene.text.startswith("Short-cycles: with every float valve closed")
    assert scene.text.endswith(scene.counted)


def test_every_verdict_has_a_color_and_a_shape() -> None:
    assert looks.VERDICTS.keys() == set(VERDICTS)
    assert looks.VERDICTS["sound stop"] not in [
        look for name, look in looks.VERDICTS.items() if name != "sound stop"
    ]


def test_what_was_strained_is_a_caution(trace: Trace) -> None:
    flag = Flag("suction", "elm", math.nan, math.nan)

    cautions = scene_of(attrs.evolve(trace, flags=(flag,))).cautions

    assert len(cautions) == 1
    assert "sucked empty" in cautions[0]


def test_a_run_that_is_only_begun_is_not_judged(trace: Trace) -> None:
    scene = scene_of(trace, whole=7200.0)

    assert scene.verdict is None
    assert scene.cautions == ()
    assert "the first 1 h of 2 h" in scene.so_far
    assert scene.text == scene.counted
    assert "Short-cycles" not in scene.alt


def test_what_can_be_held_is_named_at_its_mark(trace: Trace) -> None:
    grips = {name: Grip(control=name, per=1.0) for name in ("cut-out", "elm", "sun")}

    parts = scene_of(trace, grips=grips).parts

    out, low = parts["panels"][0]["marks"]
    elm, draw = parts["line"]["troughs"]
    assert out["grip"] == {"control": "cut-out", "per": 1.0}
    assert elm["grip"]["control"] == "elm"
    assert parts["line"]["sun"]["grip"]["control"] == "sun"
    assert "grip" not in {**low, **draw}


def test_a_message_is_plain_values_and_bytes(trace: Trace) -> None:
    scene = scene_of(trace)
    message = scene.message()
    data = message.pop("data")

    sent = json.loads(json.dumps(message, allow_nan=False))

    assert sent["v"] == 1
    numbers = np.frombuffer(data, dtype="<f4")
    assert numbers.size == sum(sent["lengths"])
    assert numbers == pytest.approx(np.concatenate(scene.arrays), rel=1e-6)
    assert len(data) < 40_000


def test_numbers_carry_how_they_are_written(trace: Trace) -> None:
    say = scene_of(trace).parts["say"]

    assert (say["pressure"]["unit"], say["pressure"]["large"]) == ("psi", 1)
    assert (say["flow"]["unit"], say["flow"]["small"], say["flow"]["large"]) == ("gpm", 2, 1)


def test_axes_reach_as_far_as_they_are_told(trace: Trace) -> None:
    far = attrs.evolve(Limits.of_trace(trace), pressure=99.0 * PSI)

    assert scene_of(trace, limits=far).parts["panels"][0]["hi"] == pytest.approx(100.0)


def test_days_are_thinned_and_keep_their_peaks() -> None:
    trace = simulate(demo_site("one_trough"), "2 day", sun="800 W/m^2", tolerance=1e-5)
    long = scene_of(trace)
    peak = float(trace.pressure.max()) / PSI

    assert drawn(long, "pressure").max() == pytest.approx(peak, rel=1e-6)
    assert max(array.size for array in long.arrays) <= 4 * 460

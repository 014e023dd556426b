"""The pictures, read from what is drawn rather than from dots."""

import io
from collections.abc import Callable

import attrs
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from labkit.engine.run import simulate
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.trace import Trace
from labkit.view.figure import Picture, picture_png
from labkit.view.glyphs import TroughSign
from labkit.view.image import PALETTE
from labkit.view.limits import WATER_COLUMN, Limits
from labkit.view.moment import telling_moment

PSI = 6894.757

Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def trace(make: Callable[..., Trace], ranch: Site) -> Trace:
    return make(ranch)


def picture_of(trace: Trace, system: str = "US", at: float | None = None) -> Picture:
    names = tuple(trough.name for trough in trace.site.troughs)
    picture = Picture(Limits.of_trace(trace), system=system, troughs=names)
    picture.show(trace, at)
    return picture


def drawn(picture: Picture, name: str) -> Floats:
    """Give the values of a line as drawn."""
    return np.asarray(picture.trace_panels.lines[name].get_ydata(), dtype=np.float64)


def test_the_lines_are_the_trace_in_display_units(trace: Trace) -> None:
    picture = picture_of(trace)

    minutes = np.asarray(picture.trace_panels.lines["pressure"].get_xdata(), dtype=np.float64)
    assert minutes == pytest.approx(trace.time / 60.0)
    assert drawn(picture, "pressure")[0] == pytest.approx(24.0)
    assert drawn(picture, "pressure").max() == pytest.approx(33.0)
    assert drawn(picture, "pump").max() == pytest.approx(7.0, rel=1e-4)
    assert drawn(picture, "into troughs").max() == pytest.approx(6.0, rel=1e-4)
    assert drawn(picture, "leak").max() == pytest.approx(0.25, rel=1e-4)
    assert drawn(picture, "elm")[0] == pytest.approx(20.0)


def test_metric_lines(trace: Trace) -> None:
    picture = picture_of(trace, "metric")

    assert drawn(picture, "pressure").max() == pytest.approx(33.0 * 6.894757)
    assert drawn(picture, "elm")[0] == pytest.approx(508.0)


def test_everything_drawn_lies_within_the_axes(trace: Trace) -> None:
    picture = picture_of(trace)
    panels = picture.trace_panels

    for axes, name in (
        (panels.pressure, "pressure"),
        (panels.flow, "pump"),
        (panels.flow, "leak"),
        (panels.level, "elm"),
    ):
        low, high = axes.get_ylim()
        assert low <= drawn(picture, name).min()
        assert drawn(picture, name).max() <= high


def test_pressure_and_height_share_a_scale(trace: Trace) -> None:
    """What stands level in both pictures is a pressure and the water it lifts."""
    picture = picture_of(trace)
    pressure, line = picture.trace_panels.pressure, picture.line_panel.axes

    for psi in (0.0, 15.0, 30.0):
        feet = psi * PSI / WATER_COLUMN / 0.3048
        there = pressure.transData.transform((0.0, psi))[1]
        here = line.transData.transform((0.0, feet))[1]
        assert here == pytest.approx(there, abs=0.5)  # half a dot


def test_the_band_lies_between_the_set_points(trace: Trace) -> None:
    picture = picture_of(trace)
    axes, band = picture.trace_panels.pressure, picture.set_points.band

    low, high = (axes.transData.transform((0.0, psi))[1] / 144.0 for psi in (15.0, 30.0))
    assert band.get_y() == pytest.approx(low)
    assert band.get_y() + band.get_height() == pytest.approx(high)
    words = picture.set_points.words
    assert words["cut-out"].get_text() == "cut-out 30.0 psi\n(69 ft of water)"
    assert words["cut-in"].get_text() == "cut-in 15.0 psi\n(35 ft of water)"


def test_the_grade_line_leans_when_water_flows_and_lies_level_when_none_does(
    trace: Trace,
) -> None:
    flowing, still = picture_of(trace, at=900.0), picture_of(trace, at=3600.0)

    leaning = [piece[:, 1] for piece in flowing.line_panel.grade.get_segments()]
    level = [piece[:, 1] for piece in still.line_panel.grade.get_segments()]

    assert all(start > end for start, end in leaning)
    assert all(start == pytest.approx(end) for start, end in level)
    assert leaning[0][0] == pytest.approx(24.0 * PSI / 9804.0 / 0.3048)


def test_a_float_s_sign_tells_open_from_shut_by_shape(trace: Trace) -> None:
    open_, shut = (picture_of(trace, at=time).line_panel.signs["elm"] for time in (900.0, 3600.0))

    def fall(sign: TroughSign) -> float:
        ys = np.asarray(sign.arm.get_ydata(), dtype=np.float64)
        return float(ys[0] - ys[1])

    assert fall(shut) == 0.0
    assert fall(open_) > 0.05
    assert open_.stream.get_visible()
    assert not shut.stream.get_visible()


def test_the_ground_rises_to_the_hill_and_falls_to_the_draw(trace: Trace) -> None:
    profile = picture_of(trace).line_panel.profile

    assert profile is not None
    heights = {"manifold": 0.0, "tee": 10.0, "elm": 30.0, "draw": -15.0}
    assert profile.height == pytest.approx(heights)
    assert profile.distance["elm"] == pytest.approx(1500.0)
    assert profile.before("elm", 250.0) == pytest.approx([1250.0, 20.0])


def test_what_runs_back_through_the_check_valve_is_drawn_as_a_leak(trace: Trace) -> None:
    """0.25 gpm out of the line at most, and 0.5 gpm back down the well beside them."""
    back = np.full_like(trace.time, 0.5 * 6.30902e-5)
    picture = picture_of(attrs.evolve(trace, returned_flow=back))

    assert drawn(picture, "leak").max() == pytest.approx(0.75, rel=1e-4)


def test_a_leak_is_marked_where_it_is(make: Callable[..., Trace], ranch: Site) -> None:
    leak = {"at": "elm", "distance": "250 ft", "size": "0.2 gpm at 30 psi"}
    leaky = make(ranch.changed({"leaks": (leak,)}))

    shown = [drip.drop.get_visible() for drip in picture_of(leaky).line_panel.drips]
    tight = [drip.drop.get_visible() for drip in picture_of(make(ranch)).line_panel.drips]

    assert shown.count(True) == 1
    assert not any(tight)


def test_names_of_troughs_do_not_overlap(trace: Trace) -> None:
    picture = picture_of(trace)
    picture.png()
    renderer = picture.canvas.get_renderer()  # type: ignore[no-untyped-call]
    boxes = [text.get_window_extent(renderer) for text in picture.line_panel.states.values()]

    assert not boxes[0].overlaps(boxes[1])


def test_a_name_that_stands_far_off_is_tied_to_its_trough() -> None:
    """Two troughs close together on the drawing: one name finds no place beside its own trough."""
    trace = simulate(demo_site("three_troughs"), "10 min", sun="400 W/m^2")
    line = picture_of(trace, at=0.0).line_panel
    ends = {
        name: np.asarray(leader.get_xydata(), dtype=np.float64)
        for name, leader in line.leaders.items()
    }
    tied = {name: points for name, points in ends.items() if points.size}

    assert 1 <= len(tied) < 3
    for name, (foot, label) in tied.items():
        assert foot[0] == pytest.approx(line._spot(name)[0])
        where = line.names[name].get_position()
        assert label == pytest.approx(np.asarray(where, dtype=np.float64), abs=0.25)


def test_strips_hold_the_states(trace: Trace) -> None:
    panels = picture_of(trace).trace_panels

    start, end, state = panels.contact.spans[0]
    assert (start, state) == (0.0, 0)
    assert end == pytest.approx(32.5)  # the contact closes with the first trip, at 1950 s
    assert "open" in [text.get_text() for text in panels.contact.words]
    assert "running" in [text.get_text() for text in panels.drive.words]


def test_the_telling_moment_is_the_last_trip_or_the_end(trace: Trace) -> None:
    assert telling_moment(trace) == 3450.0
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


def test_only_the_moment_s_artists_move(trace: Trace) -> None:
    """Drawing twice gives the same picture, so nothing of the last one shines through."""
    picture = picture_of(trace, at=900.0)
    first = picture.png()

    picture.show(trace, 3600.0)
    other = picture.png()
    picture.show(trace, 900.0)

    assert picture.png() == first
    assert other != first
    assert all(artist.get_animated() for artist in picture.moving)


def test_a_picture_is_small_and_of_the_stated_size(trace: Trace) -> None:
    image = Image.open(io.BytesIO(picture_png(trace)))

    assert image.size == (1152, 806)
    assert image.mode == "P"
    assert len(image.getcolors() or []) <= PALETTE

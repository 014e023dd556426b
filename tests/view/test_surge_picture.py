"""The picture of a surge, read from what is drawn, and its words."""

import io

import numpy as np
import pytest
from matplotlib import colormaps
from matplotlib.collections import QuadMesh
from numpy.typing import NDArray
from PIL import Image

import labkit as lab
from labkit.engine.surge import surge
from labkit.engine.surge_record import Surge
from labkit.language import say_time
from labkit.view.narrow import make_narrow
from labkit.view.surge_picture import (
    AS_BEFORE,
    COLOURS,
    LOOKS,
    SurgeImage,
    SurgePicture,
    first_wave,
)
from labkit.view.surge_words import surge_sentence
from tests.customary import FOOT, PSI


@pytest.fixture(scope="module")
def slam() -> Surge:
    site = lab.demo_site("one_trough").changed({"pressure_tank": None})
    return surge(site, closing_time="0 s", duration="20 s", reaches=40)


@pytest.fixture(scope="module")
def failure() -> Surge:
    site = lab.demo_site("three_troughs")
    return surge(site, event="power fails", trough="lookout", duration="8 s", reaches=40)


def drawn(picture: SurgePicture, name: str) -> NDArray[np.float64]:
    return np.asarray(picture.lines[name].get_ydata(), dtype=np.float64)


def test_the_lines_are_the_surge_in_display_units(slam: Surge) -> None:
    picture = SurgePicture(slam, system="US")
    run = slam.runs[0]

    assert drawn(picture, "switch") == pytest.approx(slam.pressure["manifold"] / PSI, rel=1e-6)
    assert drawn(picture, "valve") == pytest.approx(slam.pressure["lane"] / PSI, rel=1e-6)
    assert drawn(picture, "highest line") == pytest.approx(run.highest / FOOT)
    assert drawn(picture, "steady") == pytest.approx(run.steady / FOOT)
    assert drawn(picture, "rating") == pytest.approx(
        (run.elevation + run.rating / slam.weight) / FOOT
    )
    assert picture.way[-1] == pytest.approx(1500.0)


def test_metric_lines(slam: Surge) -> None:
    picture = SurgePicture(slam, system="metric")

    assert drawn(picture, "switch") == pytest.approx(slam.pressure["manifold"] / 1e3)
    assert picture.way[-1] == pytest.approx(457.2)


def test_what_is_drawn_lies_within_the_axes(failure: Surge) -> None:
    picture = SurgePicture(failure, system="US")
    low, high = picture.envelope.get_ylim()
    out = picture.way >= 0.0

    for name in ("steady", "lowest line", "highest line", "ground"):
        assert low <= drawn(picture, name)[out].min()
        assert drawn(picture, name)[out].max() <= high
    low, high = picture.history.get_ylim()
    for name in ("switch", "valve"):
        assert low <= drawn(picture, name).min()
        assert drawn(picture, name).max() <= high


def test_the_way_runs_from_the_well_to_the_trough(failure: Surge) -> None:
    picture = SurgePicture(failure, system="US")

    assert [run.end for run in picture.runs] == ["manifold", "lower tee", "upper tee", "lookout"]
    assert np.all(np.diff(picture.way) >= 0.0)
    assert picture.map.get_xlim() == picture.envelope.get_xlim()


def test_no_two_lines_differ_by_colour_alone() -> None:
    dashes = [str(look["linestyle"]) + str(look["linewidth"]) for look in LOOKS.values()]

    assert len(set(dashes)) == len(dashes)


def test_the_map_grows_lighter_in_grey() -> None:
    """Source: relative luminance, ITU-R BT.709 weights; it must rise all the way."""
    colours = colormaps[COLOURS](np.linspace(0.0, 1.0, 12))[:, :3]
    grey = colours @ np.array([0.2126, 0.7152, 0.0722])

    assert np.all(np.diff(grey) > 0.02)


def test_the_picture_is_a_png_of_the_usual_size(slam: Surge) -> None:
    with Image.open(io.BytesIO(SurgePicture(slam, system="metric").png())) as image:
        assert image.format == "PNG"
        assert image.size == (1152, 806)
    with Image.open(io.BytesIO(SurgePicture(slam, system="US").png())) as image:
        assert len(image.convert("RGB").getcolors(maxcolors=1 << 20) or []) > 100


def test_the_sentence_of_a_slam(slam: Surge) -> None:
    said = surge_sentence(slam)

    assert said.startswith(
        "The float valve at lane closes at once. The pressure at lane goes from "
    )
    assert f"up to {slam.peak_pressure['lane'] / PSI:.1f} psi." in said
    assert f"{slam.tightest.margin / PSI:.1f} psi left of 78.8 psi (1 1/4 in PE SIDR 15)." in said
    assert f"The wave needs {slam.arrival:.1f} s to the switch, which trips after" in said
    assert "vacuum" not in said


def test_the_sentence_of_a_power_failure(slam: Surge, failure: Surge) -> None:
    """Water that boils is under no more than its own vapor's pressure, 0.2 psi; the slam leaves the
    line well over that, as no suction is told."""
    said = surge_sentence(failure, "metric")

    assert said.startswith("The power fails and the pump stops. The pressure at the manifold")
    assert "down to \N{MINUS SIGN}" in said
    assert "which doesn't trip." in said
    assert "comes at the pump: " in said
    assert "the line is under vacuum." in said
    assert "the water boils and comes apart: " in said
    assert "boils" not in surge_sentence(slam, "metric")


def test_a_pipe_over_its_rating_is_told() -> None:
    """Source: PE SIDR 19 of PE3406 is rated 63 psi (ASTM D2239); the pump
    makes 170 ft or 74 psi shut in."""
    site = lab.demo_site("one_trough").changed(
        {"trough.lane.pipe.size": "1 1/4 in PE SIDR 19", "pump.shut_off_head": "230 ft"}
    )
    found = surge(site, closing_time="0 s", reaches=40)

    assert found.tightest.margin < 0.0
    assert "The pipe to lane is over its rating of 63.0 psi by" in surge_sentence(found)


def test_a_page_shows_the_picture_with_words_for_it(slam: Surge) -> None:
    image = SurgeImage(slam, "metric")

    shown = image._repr_html_()

    assert '<img alt="Three panels: ' in shown
    assert "<source media=" in shown
    assert image.narrow != image.png
    assert surge_sentence(slam, "metric") in image.alt
    assert image.png == SurgePicture(slam, system="metric").png()


def test_what_is_said_of_pipe_and_switch() -> None:
    """Source: 82 %: (47 psi + 130 ft) / 126 psi for the drop pipe at rest, see the engine's test."""
    site = lab.demo_site("three_troughs").changed(
        {"pressure_tank": None, "switch.cut_in": "20 psi", "switch.cut_out": "33 psi"}
    )
    early = surge(site, trough="creek", closing_time="0 s", reaches=60)
    heavy = surge(lab.demo_site("three_troughs"), duration="0.1 s", reaches=20)
    late = surge(site, event="power fails", duration="0.5 s", reaches=20, check_valve_delay="2 s")
    bare = lab.demo_site("one_trough").changed({"pressure_tank": None})
    slack = surge(bare, event="power fails", duration="9 s", check_valve_delay="4 s", reaches=20)

    settled = early.settled_pressure / PSI
    assert f"too soon: if the pump had kept running, it would be only {settled:.1f} psi there" in (
        surge_sentence(early)
    )
    assert "The drop pipe works at 82% of its rating even without a wave." in surge_sentence(heavy)
    assert "The wave needs" in surge_sentence(late)
    assert "of water runs back through the check valve." in surge_sentence(slack)
    assert "The wave starts at the switch, which doesn't trip." in surge_sentence(slack)


def test_a_float_is_told_without_a_time() -> None:
    slow = surge(lab.demo_site("one_trough"), closing="as the trough fills", reaches=20)

    assert surge_sentence(slow).startswith("The float valve at lane closes as the trough fills. ")


@pytest.mark.parametrize("system", ["US", "metric"])
def test_the_words_stay_on_the_page(failure: Surge, system: str) -> None:
    """With as many sentences as there can be: the pump stops, water comes apart and runs back."""
    site = lab.demo_site("three_troughs").changed({"check_valve.leak": "5 gpm at 20 psi"})
    long = surge(site, event="power fails", trough="lookout", duration="60 s", reaches=40)
    assert len(surge_sentence(long)) > len(surge_sentence(failure))

    for each in (failure, long):
        picture = SurgePicture(each, system=system)
        picture.png()
        box = picture.figure.texts[0].get_window_extent()

        assert box.y0 >= 0.0
        assert box.x1 <= 1152.0


def test_what_stands_above_the_pump_is_told(slam: Surge, failure: Surge) -> None:
    """By hand: the pump of this ranch hangs 130 ft under the gauge; 130 / 2.31 = 56.3 psi. At the
    other the pressure is highest at the trough, which lies above the gauge."""
    above = "56.3 psi of it is static head from the gauge down, 130 ft of water."

    assert above in surge_sentence(failure)
    assert slam.highest.distance > 0.0
    assert "is static head" not in surge_sentence(slam)


def test_a_switch_that_trips_long_after_the_wave_is_told_apart() -> None:
    """The tank takes the wave up; only the pump, pushing on, brings the line to cut-out."""
    site = lab.demo_site("first_line")
    calm = surge(
        site, trough="elm", closing_time="0.5 s", drive="heeds the switch", reaches=40,
        duration="60 s",
    )  # fmt: skip
    assert calm.trip_time > 3.0 * calm.arrival

    assert "It doesn't trip yet; but the pump keeps running, into the tank, " in surge_sentence(
        calm
    )
    assert f"until the switch trips after {say_time(calm.trip_time)}." in surge_sentence(calm)


def test_the_first_wave_runs_to_the_switch_and_back(slam: Surge) -> None:
    """Way over wave speed, there and back: on the map between the trough and the switch."""
    travel = 1500.0 * FOOT / slam.path()[-1].wave_speed_used

    stops = first_wave(slam)

    assert [stop.distance / FOOT for stop in stops] == pytest.approx([1500.0, 0.0, 1500.0])
    assert [stop.time for stop in stops] == pytest.approx([0.0, travel, 2.0 * travel], rel=1e-6)
    assert stops[1].time == pytest.approx(slam.arrival, abs=2.0 * slam.dt)
    assert "reaches the switch" in stops[1].words
    assert "back at the valve" in stops[2].words


def test_a_wave_from_the_well_runs_out_through_the_tees(failure: Surge) -> None:
    stops = first_wave(failure)

    assert (stops[0].distance, stops[-1].distance) == (0.0, 0.0)
    far = max(stops, key=lambda stop: stop.distance)
    assert far.distance == pytest.approx(failure.distance["lookout"])
    assert far.words.endswith("the wave reaches lookout")
    assert stops[-1].time == pytest.approx(2.0 * far.time)
    assert np.all(np.diff([stop.time for stop in stops]) > 0.0)


@pytest.mark.parametrize("system", ["US", "metric"])
def test_the_map_names_places_and_moments_on_the_sheet(
    slam: Surge, failure: Surge, system: str
) -> None:
    for one, named in ((slam, "valve at lane"), (failure, "lookout")):
        picture = SurgePicture(one, system=system)
        picture.png()
        names = {text.get_text(): text.get_window_extent() for text in picture.map.texts}

        assert {"switch", named} <= set(names)
        assert sum(": " in words for words in names) >= 2
        for words, box in names.items():
            assert 0.0 <= box.x0 <= box.x1 <= 1152.0, words
            assert 0.0 <= box.y0 <= box.y1 <= 806.0, words
        moments = [box for words, box in names.items() if ": " in words]
        assert not any(a.overlaps(b) for a in moments for b in moments if a is not b)


def test_what_is_lower_than_before_is_dotted(failure: Surge) -> None:
    """Power fails, and the line falls: the dots tell low from high where there is no colour."""
    sheet = SurgePicture(failure, system="US")
    run = failure.runs[-1]
    assert (run.head < run.steady - 3.0).any()

    dotted = [getattr(each, "hatches", None) for each in sheet.map.collections]

    assert ["..."] in dotted
    bar = sheet.figure.axes[1]
    assert {"higher", "lower (dotted)"} <= {text.get_text() for text in bar.texts}


def test_a_lowest_pressure_on_another_branch_is_said_to_be_off_the_map() -> None:
    """As lesson 9 has it: the float at creek slams, and the lookout on the other branch is sucked."""
    site = lab.demo_site("three_troughs").changed(
        {"switch.cut_out": "33 psi", "pressure_tank": None}
    )
    slammed = surge(
        site, trough="creek", closing_time="0.5 s", drive="heeds the switch", reaches=60
    )
    assert slammed.lowest.run == "lookout"

    said = surge_sentence(slammed)

    assert "on the pipe to lookout, which is off the map: the line is under vacuum." in said


def test_a_lowest_pressure_on_the_way_drawn_is_on_the_map(failure: Surge) -> None:
    assert failure.lowest.run in {run.end for run in failure.path()}

    assert "off the map" not in surge_sentence(failure)


def test_no_change_has_one_colour_on_every_map(slam: Surge, failure: Surge) -> None:
    """Whether a wave mostly raises or mostly lowers the pressure, grey is as before."""
    colours = []
    for one in (slam, failure):
        mesh = next(
            each
            for each in SurgePicture(one, system="US").map.collections
            if isinstance(each, QuadMesh)
        )
        colours.append(mesh.to_rgba(np.array([0.0]))[0])

    assert colours[0] == pytest.approx(colours[1])
    assert colours[0] == pytest.approx(colormaps[COLOURS](AS_BEFORE))


def test_only_lines_that_can_be_seen_are_named(slam: Surge) -> None:
    """A corner of a line, as where the water would boil far below the ground, names nothing."""
    picture = SurgePicture(slam, system="US")
    low, high = picture.envelope.get_ylim()
    legend = picture.envelope.get_legend()
    assert legend is not None
    named = {text.get_text() for text in legend.get_texts()}

    boils = drawn(picture, "vapour")
    share = np.mean((boils >= low) & (boils <= high))
    assert share < 0.1
    assert named == {"ground", "before", "highest", "lowest", "pipe rating"} & named
    assert {"before", "highest"} <= named


def test_on_a_phone_no_gauge_s_pressure_is_behind_the_names_of_the_lines(slam: Surge) -> None:
    picture = SurgePicture(slam, system="US")
    make_narrow(picture.figure)
    legend = picture.history.get_legend()
    assert legend is not None
    box = legend.get_window_extent()

    for name in ("switch", "valve"):
        at = picture.history.transData.transform(picture.lines[name].get_xydata())
        assert not box.count_contains(at)


def test_where_water_boils_the_line_it_boils_below_is_in_the_picture() -> None:
    """Source: vapour line = ground less about 12 psi or 28 ft at this height above the sea."""
    stiff = lab.demo_site("first_line").changed({"trough.elm.pipe.size": "1 in PVC Sch 40"})
    hard = surge(stiff, trough="elm", closing_time="0.5 s", drive="heeds the switch", reaches=60)
    assert hard.boils

    picture = SurgePicture(hard, system="US")

    out = picture.way >= 0.0
    assert drawn(picture, "vapour")[out].min() > picture.envelope.get_ylim()[0]
    legend = picture.envelope.get_legend()
    assert legend is not None
    assert "boils below this" in {text.get_text() for text in legend.get_texts()}

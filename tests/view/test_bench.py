"""Benches worked from Python and by the messages of a page: turn something, read what is shown."""

import sys
from collections import Counter
from types import FrameType
from typing import Any

import attrs
import numpy as np
import pytest

import labkit
from labkit.errors import RunError
from labkit.language import counted, verdict_words
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si
from labkit.view.bench import Bench, bench
from tests.customary import PSI

PNG = b"\x89PNG"


@pytest.fixture
def made(ranch: Site, counter: Any) -> Bench:
    return bench(ranch, simulate=counter, question="Why does it stop?")


def send(made: Bench, **content: Any) -> dict[str, Any]:
    """Send what a page sends, and return what it is shown."""
    made.page.box._handle_custom_msg({"n": "page-1", **content}, [])
    shown: dict[str, Any] = made.page.box.show
    return shown


def row(made: Bench, name: str) -> dict[str, Any]:
    return made.sliders[name].message()


def test_a_bench_opens_with_a_run(made: Bench, counter: Any) -> None:
    assert len(counter.calls) == 1
    assert made.picture_png().startswith(PNG)
    assert "In 1 h the pump started 7 times" in made.text
    assert made.error is None
    assert made.trace is not None
    assert list(made.sliders) == ["irradiance", "head", "switch differential", "leak size"]


def test_sliders_start_where_the_site_stands(made: Bench) -> None:
    values = {name: slider.value for name, slider in made.sliders.items()}

    assert values == {
        "irradiance": pytest.approx(700.0),
        "head": pytest.approx(30.0),
        "switch differential": pytest.approx(15.0),
        "leak size": pytest.approx(0.0),
    }


def test_a_slider_runs_its_setting_and_says_so(made: Bench, counter: Any) -> None:
    alt = made.alt

    made.sliders["switch differential"].value = 20.0

    site, _ = counter.calls[-1]
    assert si(site.pressure_switch.cut_out) == pytest.approx(35.0 * PSI)
    assert made.site is site
    assert made.alt != alt
    assert "Switch differential 20.0 psi" in made.alt
    assert made.scene is not None
    assert made.scene.parts["panels"][0]["marks"][0]["y"] == pytest.approx(35.0)


def test_a_move_of_the_sun_takes_the_short_way() -> None:
    """Half of what it once took: 1,267 calls in 55 files. What only the line changes is kept."""
    made = bench(demo_site("first_line"), sun="700 W/m^2", levels={"elm": "14 in"})
    sun, way = made.sliders["irradiance"], Counter[str]()
    for value in (760.0, 700.0, 760.0):
        sun.value = value

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call":
            way[frame.f_code.co_filename] += 1

    sys.setprofile(note)
    try:
        sun.value = 700.0
    finally:
        sys.setprofile(None)

    ours = {name: calls for name, calls in way.items() if name.startswith(labkit.__path__[0])}
    assert made.error is None
    assert len(ours) <= 55 // 2 + 1
    assert sum(ours.values()) <= 1267 // 2


def test_a_page_turns_it_as_python_does(made: Bench, counter: Any) -> None:
    shown = send(made, set={"switch differential": 20.0})

    assert shown["to"] == "page-1"
    assert len(counter.calls) == 2
    assert shown["rows"][2]["value"] == 20.0
    assert made.page.box.scene["panels"][0]["marks"][0]["y"] == pytest.approx(35.0)


def test_several_values_of_one_message_are_one_run_and_one_answer(
    made: Bench, counter: Any
) -> None:
    sent = made.page.box.show["n"]

    shown = send(made, set={"head": 40.0, "irradiance": 500.0})

    assert len(counter.calls) == 2
    assert shown["n"] == sent + 1


def test_a_message_that_changes_nothing_is_answered_all_the_same(made: Bench, counter: Any) -> None:
    shown = send(made, set={"head": 30.0, "no such thing": 1.0})

    assert shown["to"] == "page-1"
    assert len(counter.calls) == 1


@pytest.mark.parametrize("typed", ["45", "45 ft", " 45.0 ", "540 in"])
def test_a_number_may_be_typed_with_a_unit_or_without(made: Bench, typed: str) -> None:
    shown = send(made, set={"head": typed})

    assert made.sliders["head"].value == pytest.approx(45.0)
    assert shown["problem"] == ""


@pytest.mark.parametrize("typed", ["a lot", "900", "45 psi", ""])
def test_what_cannot_be_read_is_said_in_one_sentence_and_turns_nothing(
    made: Bench, counter: Any, typed: str
) -> None:
    shown = send(made, set={"head": typed})

    words = f"Rise to the far trough: “{typed}” doesn't fit; write a number from 0 to 80, in ft"
    assert shown["problem"] == words
    assert made.sliders["head"].value == pytest.approx(30.0)
    assert len(counter.calls) == 1
    assert send(made, set={"head": 31.0})["problem"] == ""


def test_a_message_of_words_leaves_the_picture_as_it_is(made: Bench) -> None:
    painted = made.page.box.scene

    made.page.say("Back at the start.")

    assert made.page.box.show["said"] == "Back at the start."
    assert made.page.box.scene is painted
    send(made, set={"head": 40.0})
    assert made.page.box.scene is not painted


def test_picture_and_words_stand_on_the_page(made: Bench) -> None:
    words = made.page.box.scene["words"]

    assert words["verdict"]["word"] == "Short-cycles"
    assert words["counted"].startswith("In 1 h the pump started 7 times")
    assert "Pressure trace and drawing of the line" in words["alt"]


def test_a_setting_that_cannot_be_shows_its_sentence_and_keeps_the_picture(
    ranch: Site, counter: Any
) -> None:
    made = bench(ranch, ["cut-in", "cut-out"], simulate=counter)
    scene, words, site = made.scene, made.text, made.site

    shown = send(made, set={"cut-in": 45.0})

    assert "cut_in" in shown["problem"]
    assert "last good run" in shown["problem"]
    assert "Traceback" not in shown["problem"]
    assert made.error is not None
    assert (made.scene, made.text, made.site) == (scene, words, site)
    assert made.page.box.scene

    made.sliders["cut-in"].value = 20.0

    assert [made.error] == [None]
    assert made.page.problem == ""


@pytest.mark.parametrize(
    ("problem", "said"),
    [
        (
            RunError("line to elm", 12.0, "running", 11.0, "no step could be solved"),
            "line to elm",
        ),
        (ZeroDivisionError("deep inside"), "something went wrong inside (ZeroDivisionError)"),
    ],
)
def test_a_run_that_fails_is_told_in_words(
    made: Bench, counter: Any, problem: Exception, said: str
) -> None:
    scene = made.scene
    counter.breaks = problem

    shown = send(made, set={"head": 40.0})

    assert shown["to"] == "page-1"
    assert said in shown["problem"]
    assert "deep inside" not in shown["problem"]
    assert made.error is problem
    assert made.scene is scene


def test_a_bench_whose_first_run_fails_says_so(ranch: Site, counter: Any) -> None:
    counter.breaks = RunError("well", 0.0, "resting", 0.0, "it is dry")

    made = bench(ranch, simulate=counter)

    assert "it is dry" in made.page.problem
    assert "last good run" not in made.page.problem
    assert made.picture_png() == b""
    assert made.snapshot_html() == ""


def test_the_moment_is_that_of_the_last_trip(made: Bench) -> None:
    assert made.scene is not None
    assert made.scene.moment == pytest.approx(1950.0 + 5 * 300.0)


def test_metric_shows_the_same_run_and_moves_no_setting(made: Bench, counter: Any) -> None:
    made.sliders["switch differential"].value = 17.0
    runs = len(counter.calls)

    before = si(made.site.pressure_switch.cut_out)
    send(made, units="metric")

    assert len(counter.calls) == runs
    assert row(made, "switch differential")["value"] == pytest.approx(17.0 * 6.894757, abs=1e-2)
    assert row(made, "switch differential")["unit"] == "kPa"
    assert "kPa" in made.text
    assert "psi" not in made.alt

    made.use("US")
    made.update()

    assert si(made.site.pressure_switch.cut_out) == pytest.approx(before, rel=1e-12)


def test_who_goes_along_hears_of_other_units(made: Bench) -> None:
    heard: list[str] = []
    made.listen_to_units(heard.append)

    made.on_units("metric")
    made.use("metric")

    assert heard == ["metric"]


def test_reset_goes_back_to_the_start_with_one_run(made: Bench, counter: Any) -> None:
    first = made.alt
    made.sliders["head"].value = 50.0
    made.sliders["leak size"].value = 1.0
    runs = len(counter.calls)

    shown = send(made, reset=True)

    assert len(counter.calls) == runs + 1
    assert made.sliders["head"].value == pytest.approx(30.0)
    assert made.sliders["leak size"].value == 0.0
    assert made.alt == first
    assert "Back to the start" in shown["said"]


def test_several_sliders_moved_together_run_once(made: Bench, counter: Any) -> None:
    with made.together():
        made.sliders["head"].value = 50.0
        made.sliders["irradiance"].value = 300.0

    assert len(counter.calls) == 2
    _, sun = counter.calls[-1]
    assert sun.irradiance[0] == pytest.approx(300.0)


def test_a_value_keeps_within_its_range(made: Bench) -> None:
    made.sliders["leak size"].value = -5.0
    assert made.sliders["leak size"].value == 0.0

    made.sliders["head"].value = 900.0
    assert made.sliders["head"].value == 80.0


def test_running_a_cell_again_closes_the_bench_before(ranch: Site, counter: Any) -> None:
    first = bench(ranch, simulate=counter, name="lesson")
    second = bench(ranch, simulate=counter, name="lesson")
    runs = len(counter.calls)

    first.page.hear({"set": {"head": 44.0}})

    assert len(counter.calls) == runs
    assert first.page.box.comm is None
    assert (second.text, second.alt) == (first.text, first.alt)


def test_a_prediction_comes_before_the_sliders(made: Bench, counter: Any) -> None:
    made.lock()
    shown = send(made, set={"head": 44.0})
    assert all(one["locked"] for one in shown["rows"])
    assert "Make your prediction first" in shown["note"]
    send(made, reset=True)
    assert len(counter.calls) == 1

    made.unlock()
    assert not any(one["locked"] for one in made.page.box.show["rows"])
    assert made.page.box.show["note"] == ""


def test_charts_come_when_the_page_asks_for_them(made: Bench) -> None:
    asked: list[str] = []

    def chart(_site: Any, _sun: Any, system: str) -> str:
        asked.append(system)
        return f"<p>{system}</p>"

    made.follow(chart)
    assert made.page.box.show["charts"]
    assert made.page.box.pictures == ""

    send(made, charts=True)

    assert (asked, made.page.box.pictures) == (["US"], "<p>US</p>")


def test_what_can_be_held_turns_its_slider_as_far_as_the_picture_moves(
    ranch: Site, counter: Any
) -> None:
    made = bench(ranch, ["cut-out", "range screw", "head", "irradiance"], simulate=counter)
    grips = made._grips_now()

    assert set(grips) == {"cut-out", "cut-in", "elm", "sun"}
    assert grips["cut-out"].control == "cut-out"
    assert grips["cut-out"].per == pytest.approx(1.0)
    assert grips["cut-in"].per == pytest.approx(-1.0 / 3.5, rel=1e-6)  # a turn out is 3.5 psi less
    assert grips["elm"].control == "head"
    assert grips["elm"].per == pytest.approx(1.0)


def test_a_handout_carries_picture_and_counts_but_no_verdict(made: Bench) -> None:
    """On paper the question that asks for the verdict is read after the bench."""
    page = made.snapshot_html()
    assert made.trace is not None
    verdict = verdict_words(made.trace)
    assert verdict in made.text
    assert verdict in made.alt

    assert page.count("<img ") == 1
    assert f"<figcaption>{counted(made.trace, 'US')}</figcaption>" in page
    assert verdict not in page
    assert "http" not in page


def test_paper_asks_the_question_and_escapes_it(ranch: Site, counter: Any) -> None:
    made = bench(ranch, simulate=counter, question="Is 2 < 3 & 4?")

    data, _ = made.page.box._repr_mimebundle_()

    assert "2 &lt; 3 &amp; 4?" in data["text/html"]
    assert "data:image/png;base64," in data["text/html"]


def test_a_higher_pressure_stretches_the_axes(made: Bench) -> None:
    assert made.scene is not None
    top = made.scene.parts["panels"][0]["hi"]
    assert made.trace is not None
    tall = attrs.evolve(made.trace, pressure=np.asarray(made.trace.pressure) * 3.0)
    made._take(tall)

    assert made.scene.parts["panels"][0]["hi"] > max(top, 99.0)


def test_the_first_start_says_what_takes_so_long(made: Bench) -> None:
    made.prepare()

    assert "Preparing the engine (first start only)" in made.page.said

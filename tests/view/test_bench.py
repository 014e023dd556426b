"""Benches worked from Python: move a slider, read what is shown."""

from typing import Any

import attrs
import numpy as np
import pytest

from labkit.errors import RunError
from labkit.site import Site
from labkit.units import si
from labkit.view.bench import Bench, bench
from labkit.view.language import counted, verdict_words
from labkit.view.page import Page
from labkit.view.sliders import SettingSlider

PSI = 6894.757
PNG = b"\x89PNG"


@pytest.fixture
def made(ranch: Site, counter: Any) -> Bench:
    return bench(ranch, simulate=counter, question="Why does it stop?")


def test_a_bench_opens_with_a_run(made: Bench, counter: Any) -> None:
    assert len(counter.calls) == 1
    assert made.png_bytes.startswith(PNG)
    assert made.text.startswith("In 1 h the pump started 7 times")
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
    before, alt = made.png_bytes, made.alt

    made.sliders["switch differential"].value = 20.0

    site, _ = counter.calls[-1]
    assert si(site.pressure_switch.cut_out) == pytest.approx(35.0 * PSI)
    assert made.site is site
    assert made.alt != alt
    assert "Switch differential 20.0 psi" in made.alt
    assert made.png_bytes != before


def test_picture_and_words_stand_on_the_page(made: Bench) -> None:
    assert 'alt="' in made.page.view.value
    assert "data:image/png;base64," in made.page.view.value
    assert made.text in made.page.status.value
    assert "labkit-status" in made.page.status._dom_classes


def test_a_setting_that_cannot_be_shows_its_sentence_and_keeps_the_picture(
    ranch: Site, counter: Any
) -> None:
    made = bench(ranch, ["cut-in", "cut-out"], simulate=counter)
    picture, words, site = made.png_bytes, made.text, made.site

    made.sliders["cut-in"].value = 45.0

    assert "cut_in" in made.page.status.value
    assert 'role="alert"' in made.page.status.value
    assert "Traceback" not in made.page.status.value
    assert made.error is not None
    assert (made.png_bytes, made.text, made.site) == (picture, words, site)

    made.sliders["cut-in"].value = 20.0

    assert [made.error] == [None]
    assert 'role="alert"' not in made.page.status.value


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
    picture = made.png_bytes
    counter.breaks = problem

    made.sliders["head"].value = 40.0

    assert said in made.page.status.value
    assert "deep inside" not in made.page.status.value
    assert made.error is problem
    assert made.png_bytes == picture


def test_a_bench_whose_first_run_fails_says_so(ranch: Site, counter: Any) -> None:
    counter.breaks = RunError("well", 0.0, "resting", 0.0, "it is dry")

    made = bench(ranch, simulate=counter)

    assert "it is dry" in made.page.status.value
    assert "last good run" not in made.page.status.value
    assert made.png_bytes == b""


@pytest.mark.parametrize("fraction", [0.0, 0.1, 0.4, 0.5, 0.6, 0.9])
def test_a_moment_that_the_browser_rounds_is_not_a_choice(fraction: float) -> None:
    """A slider can only stand at its steps; the cursor stays at the moment that tells most.

    The browser's slider rounds as JavaScript's `Math.round` does, from halfway upward. The first
    arrow key goes on from there by one step, either way.
    """
    page, step, last = Page([], question="", system="US", on_paper=str), 0.25, 60.0
    rounded = 10 if fraction < 0.5 else 11
    for key in (-1, +1, -2, +2):
        page.place_moment((10 + fraction) * step, last=last)
        assert not page.is_moved(rounded * step), "so the browser answers"
        assert page.is_moved((rounded + key) * step), f"a person pressed {key:+d}"
        assert page.is_moved(rounded * step), "and came back"


def test_the_first_arrow_key_moves_the_picture(made: Bench) -> None:
    step, alt = made.page.moment.step, made.alt
    made.page.moment.value = made.page.moment.value - step

    assert made.alt != alt


def test_the_moment_moves_the_cursor_and_runs_nothing(made: Bench, counter: Any) -> None:
    picture = made.png_bytes

    made.page.moment.value = 15.0

    assert len(counter.calls) == 1
    assert "At 12:15:00 pm" in made.alt
    assert made.png_bytes != picture


def test_the_moment_starts_at_the_last_trip(made: Bench) -> None:
    assert made.page.moment.value == pytest.approx((1950.0 + 5 * 300.0) / 60.0)


def test_a_chosen_moment_stays_through_a_new_run(made: Bench) -> None:
    made.page.moment.value = 15.0

    made.sliders["head"].value = 35.0

    assert "At 12:15:00 pm" in made.alt


def test_metric_shows_the_same_run_and_moves_no_setting(made: Bench, counter: Any) -> None:
    made.sliders["switch differential"].value = 17.0
    runs = len(counter.calls)

    before = si(made.site.pressure_switch.cut_out)
    made.page.units.value = "metric"

    slider = made.sliders["switch differential"]
    assert len(counter.calls) == runs
    assert slider.value == pytest.approx(17.0 * 6.894757, abs=1e-3)
    assert "kPa" in slider.description
    assert "kPa" in made.text
    assert "psi" not in made.alt

    made.page.units.value = "US"
    made.update()

    assert si(made.site.pressure_switch.cut_out) == pytest.approx(before, rel=1e-12)


def test_reset_goes_back_to_the_start_with_one_run(made: Bench, counter: Any) -> None:
    first = made.png_bytes
    made.sliders["head"].value = 50.0
    made.sliders["leak size"].value = 1.0
    made.page.moment.value = 3.0
    runs = len(counter.calls)

    made.page.reset.click()

    assert len(counter.calls) == runs + 1
    assert made.sliders["head"].value == pytest.approx(30.0)
    assert made.sliders["leak size"].value == 0.0
    assert made.png_bytes == first
    assert "Back to the start" in made.page.status.value


def test_several_sliders_moved_together_run_once(made: Bench, counter: Any) -> None:
    with made.together():
        made.sliders["head"].value = 50.0
        made.sliders["irradiance"].value = 300.0

    assert len(counter.calls) == 2
    _, sun = counter.calls[-1]
    assert sun.irradiance[0] == pytest.approx(300.0)


def test_a_step_by_button(made: Bench, counter: Any) -> None:
    row = made._rows["switch differential"]
    assert isinstance(row, SettingSlider)

    row.more.click()
    row.more.click()
    row.less.click()

    assert made.sliders["switch differential"].value == pytest.approx(16.0)
    assert len(counter.calls) == 4


def test_buttons_stop_at_the_ends(made: Bench) -> None:
    row = made._rows["leak size"]
    assert isinstance(row, SettingSlider)

    row.less.click()

    assert row.slider.value == 0.0


def test_running_a_cell_again_closes_the_bench_before(ranch: Site, counter: Any) -> None:
    first = bench(ranch, simulate=counter, name="lesson")
    second = bench(ranch, simulate=counter, name="lesson")
    runs = len(counter.calls)

    first.sliders["head"].value = 44.0

    assert len(counter.calls) == runs
    assert first.page.box.comm is None
    assert (second.text, second.alt, second.png_bytes) == (first.text, first.alt, first.png_bytes)


def test_a_prediction_comes_before_the_sliders(made: Bench) -> None:
    made.lock()
    assert all(slider.disabled for slider in made.sliders.values())

    made.unlock()
    assert not any(slider.disabled for slider in made.sliders.values())


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


def test_labels_cannot_be_taken_for_markup(ranch: Site, counter: Any) -> None:
    made = bench(ranch, simulate=counter, question="Is 2 < 3 & 4?")

    assert "2 &lt; 3 &amp; 4?" in made.page.box.children[0].value


def test_a_longer_reach_draws_the_axes_anew(made: Bench) -> None:
    assert made._shown is not None
    top = made._shown.picture.trace_panels.pressure.get_ylim()[1]
    trace = made.trace
    assert trace is not None
    tall = attrs.evolve(trace, pressure=np.asarray(trace.pressure) * 3.0)
    made._take(tall)

    assert made._shown.picture.trace_panels.pressure.get_ylim()[1] > max(top, 99.0)


def test_the_first_start_says_what_takes_so_long(made: Bench) -> None:
    made.prepare()

    assert "Preparing the engine (first start only)" in made.page.status.value

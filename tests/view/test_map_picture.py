"""The picture of a map of settings, read from what is drawn, and its words; the map is made by hand."""

import html
import io
from typing import Any

import attrs
import numpy as np
import pytest
from matplotlib.colors import to_rgb
from matplotlib.text import Text
from PIL import Image

import labkit as lab
from labkit.advice.axes import AXES, Scale
from labkit.advice.judge import VERDICTS
from labkit.advice.settings_map import NO_SETTING, NOT_RUN, OUTSIDE, Curve, SettingsMap
from labkit.figures.looks import CELLS
from labkit.site import Site
from labkit.view.charts import chart_html
from labkit.view.map_picture import LINES, MapImage, MapPicture
from labkit.view.map_words import MAP_WORDS, axis_title, map_alt, map_lines, trial_words
from tests.customary import PSI

CODE = {verdict: VERDICTS.index(verdict) for verdict in VERDICTS}


def made(site: Site, codes: list[list[int]], **otherwise: Any) -> SettingsMap:
    """Make a map of cut-outs from 20 psi in tens, and of suns from 200 in hundreds."""
    table = np.array(codes, dtype=np.int8)
    across = tuple((20.0 + 10.0 * i) * PSI for i in range(table.shape[1]))
    up = tuple(200.0 + 100.0 * i for i in range(table.shape[0]))
    given: dict[str, Any] = {
        "site": site,
        "across": Scale(name="cut-out", kind="pressure", values=across),
        "up": Scale(name="sun", kind="irradiance", values=up),
        "troughs": ("elm",),
        "sun": None,
        "codes": table,
    }
    return SettingsMap(**(given | otherwise))


F, S, N = CODE["false stop"], CODE["sound stop"], CODE["no stop"]


@pytest.fixture
def found(ranch: Site) -> SettingsMap:
    return made(ranch, [[S, N, N, N], [F, S, S, N], [F, F, S, N]])


def test_every_verdict_has_a_look_and_words() -> None:
    every = {*VERDICTS, *OUTSIDE.values()}

    assert set(CELLS) == every
    assert all(verdict in MAP_WORDS for verdict in every)
    assert all(axis in MAP_WORDS for axis in AXES)


def test_no_two_verdicts_differ_by_colour_alone() -> None:
    hatches = [look.hatch for look in CELLS.values()]
    letters = [look.letter for look in CELLS.values()]

    assert len(set(hatches)) == len(hatches)
    assert len(set(letters)) == len(letters)


def test_letters_can_be_read_on_every_fill() -> None:
    """Ink on fill at 4.5 to 1 or more (W3C, Web Content Accessibility Guidelines 2.1, 1.4.3)."""

    def light(colour: str) -> float:
        parts = [
            c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)
        ]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    for look in CELLS.values():
        assert (light(look.colour) + 0.05) / (light("#1F2933") + 0.05) >= 4.5


def test_the_cells_are_drawn_where_they_belong(found: SettingsMap) -> None:
    picture = MapPicture(found, system="US")
    patches = {patch.get_label(): patch for patch in picture.map.patches}

    assert set(patches) == {"false stop", "sound stop", "no stop"}
    for row, y in enumerate([200.0, 300.0, 400.0]):
        for column, x in enumerate([20.0, 30.0, 40.0, 50.0]):
            inside = {
                name for name, patch in patches.items() if patch.get_path().contains_point((x, y))
            }
            assert inside == {found.verdict(row, column)}
    assert picture.map.get_xlim() == pytest.approx((15.0, 55.0))
    assert picture.map.get_ylim() == pytest.approx((150.0, 450.0))


def test_a_metric_map_has_metric_axes(found: SettingsMap) -> None:
    picture = MapPicture(found, system="metric")

    assert picture.map.get_xlim() == pytest.approx((15.0 * PSI / 1e3, 55.0 * PSI / 1e3))
    assert picture.map.get_xlabel() == "Cut-out (kPa)"
    assert picture.map.get_ylabel() == "Sun on the array (W/m²)"


def test_borders_run_where_verdicts_meet(found: SettingsMap) -> None:
    picture = MapPicture(found, system="US")
    (lines,) = picture.map.collections
    segments = {tuple(map(tuple, np.round(s, 6).tolist())) for s in lines.get_segments()}  # type: ignore[attr-defined]

    upright = {segment for segment in segments if segment[0][0] == segment[1][0]}
    assert upright == {
        ((25.0, 150.0), (25.0, 250.0)),
        ((25.0, 250.0), (25.0, 350.0)), ((45.0, 250.0), (45.0, 350.0)),
        ((35.0, 350.0), (35.0, 450.0)), ((45.0, 350.0), (45.0, 450.0)),
    }  # fmt: skip
    assert len(segments) - len(upright) == 4


def test_each_large_patch_bears_its_letter(found: SettingsMap) -> None:
    picture = MapPicture(found, system="US")

    letters = sorted(text.get_text() for text in picture.map.texts)
    assert letters == ["G", "G", "N", "T"]  # the two good patches touch at a corner only


def test_the_legend_says_what_occurs_and_how_much(found: SettingsMap) -> None:
    picture = MapPicture(found, system="US")
    words = " ".join(" ".join(t.get_text().split()) for t in written(picture))

    assert f"Good stop: {MAP_WORDS['sound stop']} 33%" in words
    assert f"Stops too soon: {MAP_WORDS['false stop']} 25%" in words
    assert MAP_WORDS["cycling"] not in words


def written(picture: MapPicture) -> list[Text]:
    return picture.figure.findobj(Text)


def test_all_words_stay_within_the_picture(ranch: Site) -> None:
    """The fullest legend: every verdict and every bound there is."""
    codes = [[*CODE.values()], [*reversed(CODE.values())], [NO_SETTING, NOT_RUN] * 5]
    suns = np.array([200.0, 300.0, 400.0])
    curves = [Curve(name=name, across=(30.0 + 0.0 * suns) * PSI, up=suns) for name in LINES]
    picture = MapPicture(made(ranch, codes), system="metric", curves=curves)
    picture.png()
    whole = picture.figure.bbox

    for text in written(picture):
        if text.get_text() and text.get_visible():
            box = text.get_window_extent()
            assert box.x0 >= whole.x0 - 1.0, text.get_text()
            assert box.x1 <= whole.x1 + 1.0, text.get_text()
            assert box.y0 >= whole.y0 - 1.0, text.get_text()
            assert box.y1 <= whole.y1 + 1.0, text.get_text()


def test_the_words_for_the_picture(found: SettingsMap) -> None:
    assert map_alt(found, "US") == (
        "Made Ranch: what each setting comes to. Map of settings: cut-out from 20 to 50 psi "
        "across, sun from 200 to 400 W/m² up. Of 12 cells 5 come to “won't stop”, 4 to “good "
        "stop”, 3 to “stops too soon”. With sun of 200 W/m²: a good stop at cut-out 20 psi alone. "
        "With sun of 300 W/m²: a good stop from cut-out 30 to 40 psi. "
        "With sun of 400 W/m²: a good stop at cut-out 40 psi alone."
    )
    assert (
        map_lines(found, "metric")[2]
        == "With sun of 300 W/m²: a good stop from cut-out 210 to 275 kPa."
    )


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (30.2, 40.9, "from cut-out 31 to 40 psi"),
        (30.0, 40.0, "from cut-out 30 to 40 psi"),
        (30.2, 31.9, "at cut-out 31 psi alone"),
        (30.2, 30.6, "at cut-out 30 psi alone"),
    ],
)
def test_a_stretch_is_told_by_whole_marks_within_it(
    found: SettingsMap, low: float, high: float, said: str
) -> None:
    across = attrs.evolve(found.across, values=(10.0 * PSI, low * PSI, high * PSI, 50.0 * PSI))

    lines = map_lines(attrs.evolve(found, across=across), "US")

    assert lines[2] == f"With sun of 300 W/m²: a good stop {said}."


def test_a_row_without_a_sound_cell_says_so(ranch: Site) -> None:
    assert map_lines(made(ranch, [[N, N], [F, N]]))[1:] == [
        "With sun of 200 W/m²: no good stop anywhere.",
        "With sun of 300 W/m²: no good stop anywhere.",
    ]  # fmt: skip


def test_what_a_cell_is(ranch: Site) -> None:
    several = made(ranch, [[S, N]], troughs=("elm", "draw"), sun=700.0, recharged=True)

    assert trial_words(several, "US") == (
        "Each cell is a trial: each trough by itself fills, its float valve closes, stock drink, and it fills "
        "again. A setting past one of the lines is refused without one. 4 cells in sun of 700 W/m², the tank charged 2 psi below each cut-in."
    )
    leak = Scale(name="float leak", kind="flow", values=(0.0, 1e-5))
    assert axis_title(leak, several, "US") == "Leak past the shut float, stated at 30.0 psi (gpm)"


def test_on_a_page_the_picture_has_its_words(found: SettingsMap) -> None:
    image = MapImage(found, "US")

    assert f'alt="{html.escape(image.alt)}"' in image._repr_html_()
    assert Image.open(io.BytesIO(image.png)).size == (1152, 806)


def test_a_lesson_can_show_it_as_a_chart(found: SettingsMap) -> None:
    page = chart_html(MapImage(found, "US"), "metric")

    assert f'alt="{html.escape(map_alt(found, "metric"))}"' in page


def test_a_bar_fills_and_goes() -> None:
    bar = lab.ProgressBar("Trying settings")

    bar(0.25)
    assert bar.bar.value == 0.25
    assert bar.bar.description == "Trying settings"
    bar(1.0)
    assert bar.bar.comm is None  # closed


def test_bounds_are_drawn_with_dashes_of_their_own(found: SettingsMap) -> None:
    suns = np.array([200.0, 300.0, 400.0])
    curves = [
        Curve(name="running", across=np.array([np.nan, 25.0, 35.0]) * PSI, up=suns),
        Curve(name="dead head", across=np.array([25.0, 45.0, 45.0]) * PSI, up=suns),
        Curve(name="ceiling", across=np.array([95.0, 95.0, 95.0]) * PSI, up=suns),
    ]

    picture = MapPicture(found, system="US", curves=curves)

    assert set(picture.lines) == {"running", "dead head"}  # the third lies outside
    assert np.asarray(picture.lines["dead head"].get_xdata()) == pytest.approx([25.0, 45.0, 45.0])
    assert len(set(map(str, LINES.values()))) == len(LINES)
    words = [text.get_text() for text in written(picture)]
    assert MAP_WORDS["dead head"] in words
    assert MAP_WORDS["ceiling"] not in words
    assert picture.map.get_xlim() == pytest.approx((15.0, 55.0))

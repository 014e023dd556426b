"""The sheet of a settings card: its numbers, both systems, what it is printed in."""

import html
import re
from functools import cache
from pathlib import Path

import attrs
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from labkit import demo_site, operating_window, settings_card
from labkit.advice.card import Card, make_card
from labkit.errors import LabkitError
from labkit.view.card_page import card_html
from labkit.view.card_told import proof_rows, setting_facts, sign_rows
from labkit.view.sketches import sketch
from tests.customary import GPM, PSI

NAMES = ("first_line", "three_troughs", "deep_well")


@cache
def made(name: str) -> Card:
    return make_card(operating_window(demo_site(name)))


@cache
def text(name: str, units: str) -> str:
    page = card_html(operating_window(demo_site(name)), units)
    words = re.sub(r"<[^>]*>", " ", re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL))
    return html.unescape(words)


@pytest.mark.parametrize("name", NAMES)
def test_the_large_numbers_are_the_window_s(name: str) -> None:
    """Rounded by hand, without the helper that writes them."""
    chosen = operating_window(demo_site(name)).recommended
    assert chosen is not None

    us, metric = (
        {label: (value, off) for label, value, off in setting_facts(made(name), units)}
        for units in ("US", "metric")
    )

    for label, value in (("Cut-in", chosen.cut_in), ("Cut-out", chosen.cut_out),
                         ("Precharge (tank empty)", chosen.precharge)):  # fmt: skip
        assert us[label][0] == f"{round(value / PSI)} psi"
        assert metric[label][0] == f"{5 * round(value / 5e3)} kPa"
        for told, unit, size in ((us[label], "psi", PSI), (metric[label], "kPa", 1e3)):
            off = re.search(rf"within (\d+) {unit}", told[1])
            if off and label == "Cut-out":  # as far as told, on either side of what is told
                shown = float(told[0].split()[0])
                room = made(name).window.room
                assert (shown - float(off[1])) * size > room.floor - 1.0
                assert (shown + float(off[1])) * size < room.ceiling + 1.0


def test_the_steps_show_gauge_and_bucket_at_noon_and_in_haze() -> None:
    card = made("three_troughs")
    heads, rows = proof_rows(card, "US")

    assert heads == ("Step", "Noon, 1,000 W/m²", "Haze, 250 W/m²", "Right within")
    for trough in card.site.troughs:
        (row,) = (row for row in rows if trough.name in row[0] and "gauge, flow" in row[0])
        for shown, proof in zip(row[1:3], (card.noon, card.haze), strict=True):
            gauge, flow = re.findall(r"[\d.]+", shown)
            assert float(gauge) == pytest.approx(proof.gauge[trough.name] / PSI, abs=0.51)
            assert float(flow) == pytest.approx(proof.flow[trough.name] / GPM, abs=0.051)


def test_the_highest_gauge_of_a_bare_line_tells_how_far_its_water_swings() -> None:
    ranch = demo_site("one_trough")
    tame, bare = (
        make_card(operating_window(site))
        for site in (ranch, ranch.changed({"pressure_tank": None}))
    )

    told = {row[0]: row[1] for row in proof_rows(bare, "US")[1]}["Highest gauge on the way"]

    assert float(re.findall(r"\d+", told)[0]) == pytest.approx(bare.noon.peak / PSI, abs=0.51)
    climbs = [card.noon.peak - card.setting.cut_out for card in (tame, bare)]
    assert climbs[1] > climbs[0] + 3.0 * PSI


def test_a_bare_line_that_empties_within_a_second_falls_at_once() -> None:
    """Without a tank the well's side of the shutoff valve holds a spoonful: no watch times that."""
    bare = make_card(operating_window(demo_site("one_trough").changed({"pressure_tank": None})))

    seen = " ".join(see for see, _, _ in sign_rows(bare, "US"))

    assert "at once. It should hold" in seen
    assert " 0 s" not in seen


def test_more_troughs_than_rows_are_counted() -> None:
    site = demo_site("three_troughs")
    lookout = site.trough("lookout")
    more = [*site.troughs, *(attrs.evolve(lookout, name=f"lookout {n}") for n in range(4))]
    strong = site.changed({"troughs": more, "array.rated_power": "2000 W"})
    card = make_card(operating_window(strong))

    _, rows = proof_rows(card, "US")

    filling = [row for row in rows if row[0].startswith("Only")]
    assert len(filling) == 3
    assert any("4 more" in row[0] for row in rows)
    assert any(card.trough[:8] in row[0] for row in filling)


@pytest.mark.parametrize("name", NAMES)
def test_every_sign_says_its_own_numbers(name: str) -> None:
    card = made(name)
    rows = sign_rows(card, "US")

    assert len(rows) == len(card.telltales) >= 7
    for telltale, (see, suspect, do) in zip(card.telltales, rows, strict=True):
        assert "{" not in see + do
        assert suspect == ", ".join(telltale.causes)
        pressures = [value / PSI for value, kind in telltale.amounts.values() if kind == "pressure"]
        told = [float(number) for number in re.findall(r"([\d.]+) psi", see + do)]
        for number in told:
            near = [*pressures, card.setting.precharge / PSI]
            assert min(abs(number - each) for each in near) < 0.51
            assert number == int(number)


@pytest.mark.parametrize("name", NAMES)
def test_metric_leaves_no_us_unit(name: str) -> None:
    told = text(name, "metric").replace("2 to 3 psi", "")  # as the source prints it

    assert not re.search(r"\d\s(psi|ft|gpm|gal|°F)\b", told)
    assert not re.search(r"\d\s(kPa|L/min|m)\b", text(name, "US"))


def test_cautions_are_those_of_the_site() -> None:
    assert "relief valve" in text("deep_well", "US")
    assert "burst a closed line" not in text("first_line", "US")
    narrow = text("three_troughs", "US")
    assert narrow.index("The window is narrow") < narrow.index("Set it")
    assert narrow.index("Panels are live") < narrow.index(
        "Set it"
    )  # cautions come before the steps
    assert "To get more margin: give up on weak sun" in narrow
    assert "The window is narrow" not in text("first_line", "US")


def test_a_pump_on_the_mains_has_one_column_and_no_sun() -> None:
    site = demo_site("first_line").changed({"drive.kind": "mains"})
    card = make_card(operating_window(site))

    heads, _ = proof_rows(card, "US")

    assert heads == ("Step", "Any time", "Right within")
    page = card_html(operating_window(site), "US")
    for word in ("W/m²", "haze", "noon", "panel", "array", "shade", " sun"):
        assert word not in page.lower(), word


def test_a_title_cannot_write_into_the_page() -> None:
    site = demo_site("first_line").changed({"title": "<script>alert(1)</script>"})

    assert "<script" not in card_html(operating_window(site), "US")


def test_the_page_needs_nothing_else_and_its_picture_has_words() -> None:
    page = card_html(operating_window(demo_site("first_line")), "US")

    assert not re.search(r"(src|href)=.?(?!.?data:)http", page)
    (alt,) = re.findall(r'<img alt="([^"]*)"', page)
    assert "elm at 20 ft" in alt


@pytest.mark.parametrize("name", NAMES)
def test_the_sketch_is_in_black_and_grays(name: str) -> None:
    canvas = FigureCanvasAgg(sketch(made(name), "US"))
    canvas.draw()  # type: ignore[no-untyped-call]
    dots = np.asarray(canvas.buffer_rgba()).astype(int)  # type: ignore[no-untyped-call]

    assert np.ptp(dots[..., :3], axis=2).max() == 0


def test_a_wrong_ending_or_folder_is_said(tmp_path: Path) -> None:
    with pytest.raises(LabkitError, match=r"ends in \.html or \.pdf"):
        settings_card(demo_site("first_line"), tmp_path / "card.doc")
    with pytest.raises(LabkitError, match="can't be written"):
        settings_card(demo_site("first_line"), tmp_path / "none" / "card.html")
    assert list(tmp_path.iterdir()) == []

"""Advice as people read it: sentences, tables and pictures say what the records hold."""

from __future__ import annotations

import io
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pytest
from PIL import Image
from typing_extensions import override

import labkit as lab
from labkit.advice.signal_loop import Short
from labkit.advice.water_budget import WaterBudget
from labkit.view.advice_told import (
    budget_lines,
    budget_rows,
    loop_lines,
    loop_rows,
    methods_lines,
    methods_rows,
    outcome,
    path_lines,
    short_line,
)
from labkit.view.tables import Rows
from tests.customary import DAY, FOOT, GALLON, GPM

if TYPE_CHECKING:
    from labkit.advice.radio_link import RadioCheck
    from labkit.advice.stop_methods import StopMethods


def made(**changes: Any) -> WaterBudget:
    """A budget of two months with round numbers."""
    site = lab.demo_site("one_trough")
    july = attrs.evolve(
        lab.water_budget(site, months=[7], cloudy_days=1).months[0],
        demand=500 * GALLON, evaporation=0.0, able=1500 * GALLON, clear=2000 * GALLON,
        overcast=400 * GALLON, handbook=1200 * GALLON, peak_sun_hours=5.0, share_met=1.0,
        storage_days=1.5, dry_after=2 * DAY + 7 * 3600, short_in_spell=80 * GALLON,
    )  # fmt: skip
    august = attrs.evolve(july, number=8, demand=450 * GALLON, short_in_spell=0.0)
    months = (attrs.evolve(july, **changes), august)
    return WaterBudget(
        site=site, mix=lab.SkyMix(), months=months, full_sun_flow=4 * GPM, cloudy_days=3,
        cloudy_light=0.2,
    )  # fmt: skip


@pytest.fixture(scope="module")
def budget() -> WaterBudget:
    return made()


@pytest.fixture(scope="module")
def path() -> RadioCheck:
    ground = [("0 ft", "5200 ft"), ("3400 ft", "5230 ft"), ("6000 ft", "5190 ft")]
    return lab.radio_check(ground, well_antenna="20 ft", trough_antenna="10 ft")


def test_a_budget_in_sentences(budget: WaterBudget) -> None:
    """By hand: 1,500 of 500 gal is 3.0 times; 1,200 against 1,500 is 20 % less."""
    told = budget_lines(budget)

    assert told == [
        (
            "Tightest month: July. It takes 500 gal/day; the line delivers 1,500 gal/day on a day of "
            "mixed skies, 3.0 times that."
        ),
        "In ten days of mixed skies the herds got all they needed, in every month.",
        (
            "3 cloudy days in a row, with 20% of a clear day's light, from full troughs: herds went "
            "short in July. Worst is July: the first trough ran dry after 2 days 7 h, and the herd "
            "came up 80 gal short."
        ),
        (
            "The handbook's way (5.0 peak sun hours at 4.0 gpm) says 1,200 gal/day for July, 20% less "
            "than the run."
        ),
        (
            "Extension handbooks call for three days of storage where the sun pumps (NRCS South "
            "Dakota, note SD2006-1). The full troughs of this line hold 1.5 days in July."
        ),
    ]


def test_a_budget_in_metric(budget: WaterBudget) -> None:
    """By hand: 500 gal are 1,893 L."""
    assert budget_lines(budget, "metric")[0].startswith("Tightest month: July. It takes 1,893 L/da")
    assert "15.1 L/min" in budget_lines(budget, "metric")[3]


def test_a_budget_says_what_a_short_month_lacks() -> None:
    night, day = made(share_met=0.9), made(share_met=0.9, able=400 * GALLON)
    held = made(share_met=0.9, verdict="stuck off")

    assert "The shortage is storage" in budget_lines(night)[2]
    assert "lasts its herd 1.5 of a day" in budget_lines(night)[2]
    assert "look at the switch and its setting first" in budget_lines(held)[2]
    assert "can't deliver enough in a day" in budget_lines(day)[2]
    assert "200% more than the run" in budget_lines(day)[4]


def test_a_budget_without_a_short_spell() -> None:
    fine = made(short_in_spell=0.0)

    assert budget_lines(fine)[2].endswith("from full troughs: no herd went short.")


def test_a_row_for_each_month(budget: WaterBudget) -> None:
    july = dict(zip(budget_rows(budget).headers, budget_rows(budget).cells[0], strict=True))

    assert july == {
        "month": "July", "mean air": "70 °F", "takes": "500 gal/day", "delivers": "1,500 gal/day",
        "clear day": "2,000 gal/day", "overcast": "400 gal/day", "handbook": "1,200 gal/day",
        "herds got": "100%", "storage": "1.5 d", "3 cloudy days": "dry after 2 days 7 h",
    }  # fmt: skip


def test_a_pair_in_sentences_and_rows() -> None:
    check = lab.loop_check("18 AWG", "2500 ft", short_at="1000 ft")

    told, rows = loop_lines(check), loop_rows(check)

    assert told[0] == (
        "Out and back it has 32 ohms. The stop input reads up to 200 ohms as a closed contact: "
        "the pair will work. With 18 AWG it could be 15,000 ft long."
    )
    assert "a short 1,000 ft from the controller" in told[2]
    assert rows.title == "Pair of 18 AWG, 2,500 ft one way, at 68 °F"
    assert rows.cells[3] == ("controller end", "closed", "good", "32 ohms", "0.2 V", "closed")
    assert rows.cells[4] == ("controller end", "closed", "cut", "open line", "12.0 V", "open")
    assert rows.cells[8][:4] == ("switch end", "taken off", "chewed together", "19 ohms")


def test_a_pair_too_long_in_metric() -> None:
    """By hand: 200 ohm over 2 x 52.95 ohm/km (16.14 ohm per 1000 ft) are 1,888 m."""
    told = loop_lines(lab.loop_check("22 AWG", "3 mi"), "metric")

    assert told[0] == (
        "Out and back it has 511 ohms. The stop input reads no more than 200 ohms as a closed "
        "contact: the pair is too long or too thin. With 22 AWG it may be 1,800 m long."
    )


def test_a_short_in_words() -> None:
    assert short_line(Short(distance=1000 * FOOT, resistance=2.0)) == (
        "The wires touch 1,000 ft from the controller, through 2.0 ohms."
    )


def test_a_path_in_sentences(path: RadioCheck) -> None:
    told = path_lines(path)

    assert told[0] == "Blocked: the ground is in the line of sight."
    assert told[1].startswith("Distance takes 97 dB, the ground ")
    assert told[-1].startswith("With the far antenna ")
    assert path.works == ("holds" in told[2])


@pytest.mark.parametrize("units", ["US", "metric"])
def test_pictures_in_a_page_come_with_their_words(
    budget: WaterBudget, path: RadioCheck, units: str
) -> None:
    for image, words in (
        (lab.BudgetImage(budget, units), budget_lines(budget, units)),
        (lab.PathImage(path, units), path_lines(path, units)),
    ):
        page = Cells()
        page.feed(image._repr_html_())
        shown = dict(page.tags)["img"]
        assert str(shown["src"]).startswith("data:image/png;base64,")
        assert all(word in str(shown["alt"]) for word in words)


class Cells(HTMLParser):
    """The words of a table's cells, row by row, and the tags that were opened."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    @override
    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])

    @override
    def handle_data(self, data: str) -> None:
        if self.rows:
            self.rows[-1].append(data)


def test_a_table_in_a_page_and_in_a_terminal() -> None:
    rows = Rows(title="A <b>", headers=("one", "two"), cells=(("a & b", "10 ft"), ("c", "9 ft")))

    page = Cells()
    page.feed(rows._repr_html_())

    assert page.rows == [["one", "two"], ["a & b", "10 ft"], ["c", "9 ft"]]
    assert ("caption", {}) in page.tags
    assert ("th", {"scope": "row"}) in page.tags
    assert ("b", {}) not in page.tags
    assert rows.lines() == ["one      two", "a & b  10 ft", "c       9 ft"]


def ink(png: bytes) -> np.ndarray:
    """How dark each dot is, as on paper without colour, 0 to 1."""
    return 1.0 - np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=float) / 255.0


def test_bars_of_a_budget_stand_as_high_as_they_should(budget: WaterBudget) -> None:
    """A month that takes twice as much has twice the hatched ink; black and white is enough."""
    one, two = (
        ink(lab.BudgetImage(budget).png),
        ink(lab.BudgetImage(made(demand=1000 * GALLON)).png),
    )

    left, right = np.nonzero((one != two).any(axis=0))[0][[0, -1]]
    assert one.shape == (806, 1152)
    assert right - left < 400  # only July's hatched bar, and its hatch, changed
    assert two[:, left:right].sum() > 1.02 * one[:, left:right].sum()


def test_a_short_month_is_written_on_the_picture(budget: WaterBudget) -> None:
    assert lab.BudgetImage(made(share_met=0.9)).png != lab.BudgetImage(budget).png
    assert lab.BudgetImage(budget, "metric").png != lab.BudgetImage(budget).png


def test_a_picture_of_a_path(path: RadioCheck) -> None:
    dots = ink(lab.PathImage(path).png)

    assert dots.shape[1] == 1152
    assert dots.max() > 0.8
    assert lab.PathImage(path, "metric").png != lab.PathImage(path).png


@pytest.fixture(scope="module")
def methods() -> StopMethods:
    return lab.stop_methods(lab.demo_site("one_trough"))


def test_three_ways_in_a_table(methods: StopMethods) -> None:
    """Each cell is a failure of its own method; a failure that cannot be is a dash."""
    rows = methods_rows(methods)
    cells = {row[0]: row[1:] for row in rows.cells}

    assert rows.title == "Three ways to send the stop signal at Crooked Gate"
    assert rows.headers == ("what", "pressure", "wire", "radio")
    assert cells["works here"] == ("yes", "yes", "yes")
    assert cells["sensors for 1 trough"] == ("1", "1", "1")
    assert cells["best setting (cut-in, cut-out)"][1:] == ("-", "-")
    assert cells["as set now, in weak to strong sun"] == ("Good stop", "-", "-")
    assert cells["if wire cut:"][2] == "-"
    assert cells["if wire cut:"][0].startswith("pump keeps running against closed floats for ")
    assert cells["if float leaks:"][1:] == ("goes on as before", "goes on as before")
    assert all(len(row) == 4 and all(row) for row in rows.cells)


def test_water_of_a_failure_is_said_in_both_systems(methods: StopMethods) -> None:
    row = methods["pressure"].failure("wires chewed together")
    assert row is not None
    gallons, litres = (
        float(said.split("short of ")[1].split(maxsplit=1)[0].replace(",", ""))
        for said in (outcome(row, "US"), outcome(row, "metric"))
    )

    assert litres == pytest.approx(3.785412 * gallons, rel=2e-3)


def test_a_line_without_a_window_is_said() -> None:
    thin = {"trough.elm.pipe.size": "3/4 in PE SIDR 9"}
    site = lab.demo_site("first_line").changed(thin | {"switch.cut_out": "80 psi"})

    facts = methods_rows(lab.stop_methods(site, with_failures=False)).cells

    assert facts[0][1:] == ("no: no setting works in weak and strong sun", "yes", "yes")
    assert facts[3][1:] == ("-", "-", "-")
    assert facts[4][1] == "Won't stop"


def test_why_a_way_does_not_work_is_said(methods: StopMethods) -> None:
    """By hand: two miles of 22 AWG pair, 16.14 ohm per 1000 ft, have 341 ohm."""
    far = methods.site.changed({"trough.lane.pipe.length": "2 mi"})
    hill = {"lane": [("0 ft", "0 ft"), ("5000 ft", "300 ft"), ("10560 ft", "0 ft")]}

    found = lab.stop_methods(far, gauge="22 AWG", ground=hill)

    _, wire, radio = methods_rows(found).cells[0][1:]
    assert wire == "no: the pair to lane has 341 ohms, 200 ohms at most"
    margin = found["radio"].paths["lane"].margin
    assert radio == f"no: {margin:.0f} dB left over to lane, 10 needed"


def test_three_ways_in_sentences(methods: StopMethods) -> None:
    told = methods_lines(methods)
    none = attrs.evolve(
        methods, methods=tuple(attrs.evolve(m, feasible=False) for m in methods.methods)
    )

    assert told[0].startswith("Of those that work here, pressure costs least: $150.")
    assert "invented" in told[0]
    assert "stops on a closed contact" in told[2]
    assert methods_lines(none)[0] == "None of the three works here."

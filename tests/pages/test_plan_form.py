"""The form for one's own line: every box reads into the site file, every complaint beside its box."""

import itertools
import re
import tomllib

import pytest

import labkit as lab
from labkit.pages.plan_boxes import Box
from labkit.pages.plan_figures import DRAWN, figure
from labkit.pages.plan_form import BoxView, PlanForm
from labkit.sitefile import demo_site, dumps, loads
from labkit.text import bundle
from labkit.units import si
from tests.customary import FOOT, GALLON, PSI


class Kept:
    """What the form wrote."""

    def __init__(self) -> None:
        self.texts: list[str] = []

    def __call__(self, text: str) -> None:
        self.texts.append(text)

    @property
    def site(self) -> lab.Site:
        return loads(self.texts[-1])


@pytest.fixture
def kept() -> Kept:
    return Kept()


@pytest.fixture
def form(kept: Kept) -> PlanForm:
    return PlanForm(kept)


def box(form: PlanForm, path: str) -> BoxView:
    return dict(form._views())[path]


def complaint(view: BoxView) -> str:
    return str(view.said.value) if "complaint" in str(view.said.value) else ""


def test_it_begins_with_a_line_that_reads(form: PlanForm, kept: Kept) -> None:
    assert form.site is not None
    assert not kept.texts  # nothing is written before anything is changed
    assert "Every box checks out" in form.status.value
    assert "<svg" in form.picture.value


@pytest.mark.parametrize(
    ("path", "typed", "unit", "si_value"),
    [
        ("well.static_level", "85", "ft", 85 * FOOT),
        ("well.static_level", "30", "m", 30.0),
        ("well.static_level", "25 m", "ft", 25.0),  # what is typed wins over the chooser
        ("pressure_switch.cut_in", "24", "psi", 24 * PSI),
        ("trough.0.volume", "1,000", "gal", 1000 * GALLON),
    ],
)
def test_a_number_is_read_in_its_unit(
    form: PlanForm, kept: Kept, path: str, typed: str, unit: str, si_value: float
) -> None:
    view = box(form, path)
    view.unit.value = unit
    view.text.value = typed

    site = kept.site

    found = {
        "well.static_level": site.well.static_level,
        "pressure_switch.cut_in": site.pressure_switch.cut_in,
        "trough.0.volume": site.troughs[0].volume,
    }[path]
    assert si(found) == pytest.approx(si_value, rel=1e-6)


def test_every_complaint_stands_beside_its_box_at_once(form: PlanForm, kept: Kept) -> None:
    before = len(kept.texts)
    wrong = {
        "well.static_level": "deep",
        "array.rated_power": "-5",
        "pressure_switch.cut_out": "9000",
        "trough.0.pipe.length": "",
    }

    for path, typed in wrong.items():
        box(form, path).text.value = typed

    assert len(kept.texts) == before  # nothing half read goes on
    assert form.site is None
    for path in wrong:
        assert complaint(box(form, path)), path
    assert not complaint(box(form, "well.drawdown"))
    assert "4 boxes need another look" in form.status.value
    assert "last good site" in form.status.value


def test_a_rule_between_two_boxes_is_said_at_one_of_them(form: PlanForm) -> None:
    box(form, "pressure_switch.cut_in").text.value = "60"

    said = complaint(box(form, "pressure_switch.cut_in")) + complaint(
        box(form, "pressure_switch.cut_out")
    )

    assert said or "put right" in form.status.value


def test_what_nobody_knows_is_assumed_out_loud(form: PlanForm, kept: Kept) -> None:
    """Sixty feet under the water; two pounds under cut-in."""
    box(form, "well.static_level").text.value = "110"
    for path in ("well.intake_depth", "pressure_tank.precharge", "well.drawdown"):
        box(form, path).unknown.value = True

    assert si(kept.site.well.intake_depth) == pytest.approx(170 * FOOT, rel=1e-6)
    assert kept.site.pressure_tank is not None
    assert si(kept.site.pressure_tank.precharge) == pytest.approx(28 * PSI, rel=1e-6)
    assert "170 ft" in box(form, "well.intake_depth").said.value
    assert box(form, "well.intake_depth").text.disabled


def test_what_nobody_knew_comes_back_as_not_known(form: PlanForm, kept: Kept) -> None:
    unknown = ("well.intake_depth", "trough.0.float flow", "well.drawdown")
    for path in unknown:
        box(form, path).unknown.value = True
    text = kept.texts[-1]

    again = PlanForm(kept)
    assert again.show(loads(text), text)

    assert [box(again, path).unknown.value for path in unknown] == [True, True, True]
    assert box(again, "well.intake_depth").text.disabled
    assert "Assumed" in box(again, "well.drawdown").said.value
    again.look()
    assert kept.texts[-1] == text


def test_a_value_typed_where_one_was_assumed_is_known(form: PlanForm, kept: Kept) -> None:
    for path in ("well.drawdown", "array.tilt"):
        box(form, path).unknown.value = True
    text = kept.texts[-1].replace('drawdown = "1 ft/gpm"', 'drawdown = "0.3 ft/gpm"')

    again = PlanForm(kept)
    assert again.show(loads(text), text)

    assert not box(again, "well.drawdown").unknown.value
    assert box(again, "array.tilt").unknown.value
    assert again.site is not None
    assert si(again.site.well.drawdown) == pytest.approx(0.3 * FOOT / GALLON * 60)


def test_high_ground_and_a_tee_come_into_the_file(form: PlanForm, kept: Kept) -> None:
    form.count.value = 2
    form.trunk.value = True
    form.troughs[0].ridge.value = True
    form.troughs[0].vent.value = True

    table = tomllib.loads(kept.texts[-1])

    first, second = table["trough"]
    assert first["pipe"]["from"] == second["pipe"]["from"] == table["pipe"][0]["to"]
    assert first["pipe"]["profile"] == [["900 ft", "40 ft"]]
    assert first["pipe"]["vents"] == ["900 ft"]
    assert first["name"] != second["name"]
    assert "circle" in form.picture.value  # the crest is drawn


def test_without_a_tank_there_is_none(form: PlanForm, kept: Kept) -> None:
    form.tank.value = False

    assert kept.site.pressure_tank is None


def test_the_other_kind_of_pump(form: PlanForm, kept: Kept) -> None:
    form.kind.value = "positive displacement"

    assert kept.site.pump.kind == "positive displacement"


@pytest.mark.parametrize("name", ["first_line", "one_trough", "one_trough_uphill"])
def test_a_file_fills_the_boxes_and_comes_back(form: PlanForm, kept: Kept, name: str) -> None:
    """What the form shows of a site is what it writes; what it does not show it leaves out."""
    site = demo_site(name)

    assert form.show(site, dumps(site))
    form.look()

    back = kept.site
    assert back.well == site.well
    assert si(back.troughs[0].pipe.length) == pytest.approx(si(site.troughs[0].pipe.length))
    assert back.troughs[0].pipe.size == site.troughs[0].pipe.size
    assert si(back.pressure_switch.cut_in) == pytest.approx(si(site.pressure_switch.cut_in))
    assert si(back.troughs[0].float_valve.flow.flow) == pytest.approx(
        si(site.troughs[0].float_valve.flow.flow)
    )


def test_what_the_form_does_not_ask_stays_in_the_file(form: PlanForm, kept: Kept) -> None:
    """Changing one box of a file loses nothing else of it."""
    site = demo_site("one_trough").changed(
        {"pump.efficiency": 0.4, "drive.restart_delay": "5 min", "trough.lane.herd.kind": "horse"}
    )
    assert form.show(site, dumps(site))

    box(form, "well.static_level").text.value = "77"

    assert kept.site == site.changed({"well.static_level": "77 ft"})


@pytest.mark.parametrize("name", ["three_troughs", "storage_tank"])
def test_a_site_with_more_than_the_form_shows_is_left_to_the_text(
    form: PlanForm, name: str
) -> None:
    site = demo_site(name)

    assert not form.show(site, dumps(site))
    assert "the form would lose them" in form.status.value


def test_every_box_has_its_words(form: PlanForm) -> None:
    words = bundle("plan")

    def check(one: Box) -> None:
        assert words.has_message(one.key), one.key
        if one.assumed:
            assert "why" in words.get_message(one.key).attributes, one.key

    for _, view in form._views():
        check(view.box)
    assert all("role=" in drawn and "aria-label" in drawn for drawn in map(figure, DRAWN))


def test_the_names_of_troughs_side_by_side_do_not_lie_on_each_other(form: PlanForm) -> None:
    form.count.value = 4

    places = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"', str(form.picture.value))

    heights = sorted(float(y) for x, y in places if float(x) > 100)
    assert len(heights) == 4
    assert min(heights) > 12  # the letters are whole
    assert all(above + 13 < below for above, below in itertools.pairwise(heights))

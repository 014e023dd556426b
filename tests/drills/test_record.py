"""The commissioning sheet of a drill, and the bill for wrong diagnoses."""

import pytest

from labkit.drills import PRICES, TASKS, commissioning_record, draw_drill
from labkit.faults import FAULTS, stocked
from labkit.sitefile import demo_site
from labkit.units import si
from labkit.view.drill_words import bill_lines, record_table

PSI = 6894.757
UPHILL = stocked(demo_site("one_trough_uphill"))


def test_the_sheet_reads_a_line_that_holds() -> None:
    """By hand: a sound line loses nothing, its air is as the file says, its well at rest as deep."""
    sheet = {
        (one.key, one.where): {value.name: value.value for value in one.values}
        for one in commissioning_record(UPHILL)
    }

    assert sheet["shut in", ""]["fall"] == pytest.approx(0.0, abs=PSI)
    assert sheet["open line", ""]["fall"] == pytest.approx(0.0, abs=PSI)
    assert sheet["tank", ""]["air"] == pytest.approx(25 * PSI, abs=0.6 * PSI)
    assert sheet["well at rest", ""]["depth"] == pytest.approx(80 * 0.3048, abs=0.1)
    top = sheet["work", "notch"]["high"]
    assert isinstance(top, float)
    assert top >= si(UPHILL.pressure_switch.cut_out) - 0.6 * PSI


def test_every_fault_has_its_price() -> None:
    assert set(PRICES) == set(FAULTS)
    assert all(one.minutes > 0 and one.dollars >= 0 for one in PRICES.values())
    assert PRICES["bad check valve"].minutes > 5 * PRICES["plugged gauge"].minutes


def test_guessing_from_the_top_runs_up_a_bill() -> None:
    drill = draw_drill("one_trough_uphill", 7)
    (hidden,) = drill.hidden
    guesses = [key for key in drill.suspects if key != hidden.key][:3]

    for key in guesses:
        drill, marking = drill.acted_on([key])
        assert not marking.is_right

    assert drill.wrong == tuple((key,) for key in guesses)
    assert drill.bill.minutes == sum(PRICES[key].minutes for key in guesses)
    assert drill.bill.dollars == sum(PRICES[key].dollars for key in guesses)
    said = " ".join(bill_lines(drill, is_right=False))
    assert "3 wrong diagnoses" in said
    assert f"{drill.bill.minutes:g} min" in said
    after, marking = drill.acted_on([(hidden.key, hidden.where)])
    assert marking.is_right
    assert after.bill == drill.bill


@pytest.mark.parametrize("system", ["US", "metric"])
def test_the_sheet_stands_in_the_page(system: str) -> None:
    table = record_table(UPHILL, system)

    assert table.startswith("<details>")
    assert table.count("<tr>") == 1 + len(commissioning_record(UPHILL))
    assert ("psi" in table) == (system == "US")
    assert "{" not in table
    assert set(TASKS) >= {one.key for one in commissioning_record(UPHILL)}

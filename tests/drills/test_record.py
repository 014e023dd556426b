"""The commissioning sheet of a drill, and the bill for wrong diagnoses."""

import pytest

from labkit.drills import CYCLE, PRICES, TASKS, commissioning_record
from labkit.faults import FAULTS, stocked
from labkit.sitefile import demo_site
from labkit.units import si
from labkit.view.drill_words import record_table
from tests.customary import PSI

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


@pytest.mark.parametrize("system", ["US", "metric"])
def test_the_sheet_stands_in_the_page(system: str) -> None:
    table = record_table(UPHILL, system)

    assert table.startswith("<details>")
    assert table.count("<tr>") == 1 + len(commissioning_record(UPHILL))
    assert ("psi" in table) == (system == "US")
    assert "{" not in table
    assert {*TASKS, CYCLE.key} >= {one.key for one in commissioning_record(UPHILL)}

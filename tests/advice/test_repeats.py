"""A trial that leaves out what repeats tells what the whole of it tells."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from labkit import simulate
from labkit.advice.judge import judge
from labkit.advice.repeats import cycle_of, gone_on, idle_starts
from labkit.advice.trial import Trial, trial
from labkit.engine.memory import FLOAT_OPENS, FLOAT_SHUTS, PUMP_STARTS
from labkit.engine.strain import COUNTED, most_starts
from labkit.units import ureg
from tests.customary import PSI
from tests.engine.lines import line

if TYPE_CHECKING:
    from labkit.trace import Trace

SUN = "1000 W/m^2"


def leaking(feet: int, size: str, **more: Any) -> dict[str, Any]:
    return {
        "trough__lane__pipe__length": f"{feet} ft",
        "trough__lane__pipe__size": "1 1/4 in PE SIDR 11.5",
        "leaks": ({"at": "lane", "size": size},),
        **more,
    }


def in_full(script: Trial) -> Trace:
    """The trial from its first moment to its last."""
    return simulate(
        script.site,
        ureg.Quantity(script.duration, "s"),
        sun=SUN,
        start="00:00",
        levels={script.trough: ureg.Quantity(script.level, "m")},
    )


@pytest.mark.parametrize(
    "changes",
    [
        leaking(400, "0.3 gpm at 30 psi"),
        leaking(1500, "1 gpm at 30 psi"),
        leaking(20, "1 gpm at 30 psi"),
        leaking(5000, "0.5 gpm at 30 psi"),
        leaking(1500, "1 gpm at 30 psi", trough__lane__float_valve__band="2 in"),
        leaking(600, "2 gpm at 30 psi", pressure_tank={"volume": "1 gal", "precharge": "18 psi"}),
    ],
)
def test_starts_that_repeat_are_left_out_and_counted_all_the_same(changes: dict[str, Any]) -> None:
    script = trial(line(**changes), "lane")

    whole, brief = in_full(script), script.run(SUN)

    assert brief.time[-1] < 0.7 * whole.time[-1]
    assert brief.clock > 0.0
    assert script.starts(brief) == most_starts(whole.times("pump starts"))
    assert brief.verdict == whole.verdict
    assert brief.pressure.max() == pytest.approx(whole.pressure.max(), abs=0.1 * PSI)


@pytest.mark.parametrize("gallons", [2, 20])
def test_a_trial_in_which_nothing_repeats_is_the_whole_of_it(gallons: int) -> None:
    script = trial(line(pressure_tank={"volume": f"{gallons} gal", "precharge": "18 psi"}), "lane")

    whole, brief = in_full(script), script.run(SUN)

    assert brief.pressure.tobytes() == whole.pressure.tobytes()
    assert brief.events == whole.events


def test_who_asks_for_the_verdict_alone_hears_the_same_one() -> None:
    site = line(**leaking(400, "0.3 gpm at 30 psi"))

    counted, brief = judge(site), judge(site, counts=False)

    assert brief.verdict == counted.verdict == "cycling"
    assert counted.starts is not None
    assert brief.starts is not None
    assert counted.most_starts < brief.starts <= counted.starts < COUNTED


def test_waits_repeat_when_as_many_were_alike() -> None:
    count = np.arange(9, dtype=np.float64)
    even = 5.0 + 60.0 * count
    turns = np.cumsum([0.0, *[12.0, 2.0] * 5])

    assert cycle_of(even) == pytest.approx([60.0])
    assert cycle_of(turns) == pytest.approx([12.0, 2.0])
    assert cycle_of(even[:4]).size == 0  # three waits
    assert cycle_of(60.0 * 1.01**count).size == 0  # ever longer
    assert cycle_of(3000.0 * count).size == 0  # too seldom to count as cycling
    assert gone_on(even, np.array([60.0]), 606.0)[-2:] == pytest.approx([545.0, 605.0])


def test_starts_count_as_idle_since_the_last_float_shut() -> None:
    shut = [(10.0, FLOAT_SHUTS, 0), (20.0, PUMP_STARTS, -1), (30.0, FLOAT_SHUTS, 1)]
    then = [(40.0, PUMP_STARTS, -1), (50.0, PUMP_STARTS, -1)]
    opened = [(45.0, FLOAT_OPENS, 1)]

    assert idle_starts(np.array(shut + then), 0).tolist() == [40.0, 50.0]
    assert idle_starts(np.array(shut + then + opened), 0).size == 0
    assert idle_starts(np.array(then), 0).size == 0  # its float has been open from the start

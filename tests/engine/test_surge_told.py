"""What a surge tells of pipe and water, and what cannot be asked."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from labkit.engine.surge import surge
from labkit.errors import SiteError
from labkit.physics.pipe import storage
from tests.customary import PSI

if TYPE_CHECKING:
    from labkit.engine.surge_record import Surge
    from labkit.site import Site


# --- what it says of pipe and water


def test_margins_are_ratings_less_peaks(three: Site) -> None:
    """Source: PE SIDR 11.5 of resin PE3406: 2 x 630 psi / 12.5 = 100.8 psi (ASTM D2239)."""
    found = surge(
        three,
        trough="creek",
        open_troughs=["creek"],
        closing_time="0 s",
        duration="10 s",
        reaches=40,
    )
    run = found.runs[-1]

    assert run.rating / PSI == pytest.approx(100.8, abs=0.05)
    for each in found.runs:
        assert each.margin == each.rating - each.peak_pressure
        over = found.weight * (each.highest - each.elevation)
        assert each.peak_pressure == pytest.approx(over.max())
        assert each.keeps_working_share == (each.working_pressure <= 0.72 * each.rating)
    assert found.highest.pressure == max(each.peak_pressure for each in found.runs)
    assert found.tightest.margin == min(each.margin for each in found.runs)
    assert found.highest.pressure >= max(found.peak_pressure.values()) - 1e-6


def test_a_pipe_works_hardest_at_rest(three: Site) -> None:
    """Source: by hand: at cut-out, 47 psi, the drop pipe holds 130 ft of water more at its foot, of
    0.4335 psi a foot at 60 degF: 103.4 psi of its 126 psi (PE SIDR 9, ASTM D2239)."""
    drop = surge(three, duration="0.1 s", reaches=20).runs[0]

    assert drop.rating / PSI == pytest.approx(126.0, abs=0.1)
    assert drop.working_pressure / PSI == pytest.approx(47.0 + 130.0 * 0.4335, abs=0.1)
    assert not drop.keeps_working_share


def test_a_wave_speed_that_had_to_be_bent_is_told(three: Site) -> None:
    found = surge(three, duration="0.1 s", reaches=4)
    bent = [run.end for run in found.runs if abs(run.adjustment) > 0.05]

    assert bent
    assert all(any(f"the run to {end} whole" in flag for flag in found.flags) for end in bent)


def test_the_way_to_a_trough(three: Site) -> None:
    found = surge(three, duration="1 s", reaches=20)

    ends = [run.end for run in found.path("lookout")]
    assert ends == ["manifold", "lower tee", "upper tee", "lookout"]
    assert [run.end for run in found.path()] == ["manifold", "lower tee", "creek"]
    assert found.path("lookout")[0].distance[0] == pytest.approx(-130 * 0.3048)


def test_water_balance_gets_better_with_finer_reaches(three: Site) -> None:
    errors = [
        surge(three, reaches=n, closing_time="0 s", duration="8 s").balance.error for n in (20, 40)
    ]

    assert errors[1] < 1e-5
    assert errors[1] < 0.7 * errors[0]


def test_line_gain_is_what_the_pipe_takes_up(slowly: Surge) -> None:
    """Source: C = A L g / a**2 for each metre of head, once all is at rest."""
    found = slowly
    run = found.runs[0]
    C = storage(457.2, 1.380 * 0.0254, run.wave_speed_used)
    rise = np.trapezoid(run.head[-1] - run.steady) / run.reaches

    assert found.balance.line_gain == pytest.approx(C * rise, rel=0.01)


# --- what is refused


def test_a_line_that_is_sucked_empty_by_its_low_trough(one: Site) -> None:
    low = one.changed(
        {"trough.lane.pipe.rise": "-200 ft", "trough.lane.float_valve.flow": "60 gpm at 5 psi"}
    )
    with pytest.raises(SiteError, match="sucked empty then even before"):
        surge(low)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"trough": "nowhere"}, "run: trough is 'nowhere'; the troughs are lane"),
        ({"open_troughs": []}, "it must hold lane, whose valve shuts"),
        ({"closing_time": "-1 s"}, "closing_time is '-1 s'; it must be from 0 s to 600 s"),
        ({"closing": "as the trough fills", "closing_time": "3 s"}, "leave it out"),
        ({"check_valve_delay": "1 min"}, "check_valve_delay is '1 min'; it must be from 0 s to 10"),
        ({"coast": "fast"}, "coast is 'fast'"),
        ({"closing_time": "5 psi"}, "closing_time is '5 psi'"),
        ({"sun": "10 W/m^2"}, "no water flows then"),
        ({"event": "pump trips", "open_troughs": []}, "no water flows then"),
        ({"open_troughs": ["lane", "moon"]}, "open_troughs is 'moon'; the troughs are lane"),
        ({"event": "well caves in"}, "write 'valve shuts', 'pump trips', 'power fails'"),
        ({"closing": "slam"}, "write 'even area', 'quick at the end'"),
        ({"drive": "sleeps"}, "write 'runs on', 'heeds the switch'"),
        ({"reaches": 1}, "it must be a whole number from 4 to 2000"),
        ({"duration": "20 min"}, "it must be from"),
        ({"duration": "600 s", "reaches": 2000}, "fewer reaches"),
    ],
)
def test_what_cannot_be_asked(one: Site, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(SiteError, match=r"^run: ") as refused:
        surge(one, **asked)

    assert said in str(refused.value)


def test_a_trough_that_gets_no_water_cannot_brake_any(three: Site) -> None:
    """At full sun the low troughs take it all."""
    with pytest.raises(SiteError, match="run: trough is 'lookout'; no water flows into it then"):
        surge(three, trough="lookout")


def test_the_same_question_has_the_same_answer(three: Site) -> None:
    first, second = (surge(three, duration="3 s", reaches=20) for _ in range(2))

    assert np.array_equal(first.head["creek"], second.head["creek"])
    assert first.trip_time is not None
    assert first.time[0] == 0.0
    assert first.dt < inf

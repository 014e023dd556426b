"""Stock that drink slowly: a published rule for cycles, and drinkers that nobody chose for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
import pytest

from labkit import demo_site, operating_window, simulate
from labkit.advice.drinking import _Drinkers, slow_drinking
from labkit.advice.line import Line, sun_range
from labkit.advice.rules import TANK_SIZES
from labkit.advice.setting import set_so
from labkit.engine.strain import most_starts
from labkit.parts import Herd
from tests.customary import GALLON, GPM
from tests.engine.lines import DISPLACEMENT, line

if TYPE_CHECKING:
    from labkit import Site

KINDS: Final[dict[str, tuple[str, dict[str, Any]]]] = {
    "no tank": ("one_trough", {"pressure_tank": None}),
    "high ground": ("over_the_hill", {}),
    "lazy float": ("one_trough", {"trough.lane.float_valve.band": "2 in"}),
    "a leak": ("first_line", {"leaks": [{"at": "manifold", "size": "0.05 gpm at 30 psi"}]}),
}
RATES = (0.3, 0.7, 1.3, 2.2, 3.6, 5.0)  # gal/min


@pytest.mark.parametrize("volume", [10, 20])
def test_starts_follow_the_published_storage_of_a_wet_well(volume: int) -> None:
    """Source: V = t q / 4 (UFC 3-240-04A, 1997, ch. 7), and 0.2953 of a tank between 30 and 50 psi
    (trade table at sea level). A displacement pump without slip gives 4 gpm whatever the pressure."""
    site = line(
        pump=DISPLACEMENT | {"slip": 0.0, "torque_limit": 4.0},
        drive={"kind": "mains"},
        place={"latitude": "40 deg", "longitude": "-100 deg", "elevation": "0 ft"},
        pressure_switch={"cut_in": "30 psi", "cut_out": "50 psi", "action": "opens on rise"},
        pressure_tank={"volume": f"{volume} gal", "precharge": "28 psi"},
        trough__lane__pipe__wave_speed="1200 m/s",
    )
    sun = sun_range(Line.of(site), 250.0, 1000.0)
    found, worst = slow_drinking(site, sun), _Drinkers.of(site, sun)

    assert found is not None
    assert worst is not None
    minutes = 4.0 * 0.2953 * volume / 4.0
    assert worst.cycle == pytest.approx(60.0 * minutes, rel=0.01)
    assert worst.flow == pytest.approx(2.0 * GPM, rel=0.01)
    assert found.starts == pytest.approx(60.0 / minutes, abs=1.0)


@pytest.mark.parametrize("kind", KINDS)
def test_no_drinkers_start_it_more_often_and_the_tank_keeps_its_word(kind: str) -> None:
    demo, changes = KINDS[kind]
    window = operating_window(demo_site(demo).changed(changes))
    assert window.recommended is not None
    site, found = set_so(window.site, window.recommended), window.slow_drinking

    assert found is not None
    assert found.volume is not None
    assert not found.is_bearable
    assert found.starts == pytest.approx(_most(site), rel=0.1, abs=1.0)
    sizes = [size * GALLON for size in TANK_SIZES]
    place = int(np.argmin(np.abs(np.array(sizes) - found.volume)))
    assert _most(_with_tank(site, sizes[place])) <= found.most_starts
    assert _most(_with_tank(site, sizes[place - 1])) > found.most_starts


def test_a_big_tank_bears_it_and_wants_no_other() -> None:
    window = operating_window(demo_site("one_trough").changed({"pressure_tank.volume": "60 gal"}))
    found = window.slow_drinking

    assert found is not None
    assert found.is_bearable
    assert found.volume is None


def test_a_line_without_a_setting_has_no_drinkers() -> None:
    window = operating_window(demo_site("one_trough").changed({"trough.lane.pipe.rise": "150 ft"}))

    assert window.recommended is None
    assert window.slow_drinking is None


def _with_tank(site: Site, volume: float) -> Site:
    charge = site.pressure_switch.cut_in.to("psi").magnitude - 2.0
    tank = {"volume": f"{volume / GALLON} gal", "precharge": f"{charge} psi"}
    return site.changed({"pressure_tank": tank})


def _most(site: Site) -> int:
    """Most starts within an hour, whichever of some flows stock drink all morning."""
    return max(_starts(site, rate) for rate in RATES)


def _starts(site: Site, rate: float) -> int:
    herd = Herd(
        head=1000, kind="horse", daily_need=f"{rate * 120.0 / 1000.0} gal/day", visits=("08:00",),
        visit_time="2 hours",
    )  # fmt: skip
    changes = {f"trough.{trough.name}.herd": None for trough in site.troughs}
    name = site.troughs[0].name
    stocked = site.changed(changes | {f"trough.{name}.herd": herd})
    trace = simulate(stocked, "2 hours", sun="1000 W/m^2", start="08:00")
    return most_starts(np.array(trace.times("pump starts")))

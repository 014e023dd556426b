"""The window and its judge against brute force, on lines that differ in kind.

Every setting that is called good must be good in suns that the judge did not try, and push no pipe,
float or relief valve past its limit; every setting one psi past a limit must fail in the way that
was foretold. Expected values come from runs that neither window nor judge made.
"""

from __future__ import annotations

from math import pi

import pytest

from labkit.advice.trial import trial
from labkit.advice.window import bare_window
from labkit.units import si
from tests.advice.trying import KINDS, Try, inside, kind_of_site, outside
from tests.customary import FOOT, GALLON, INCH


def test_there_are_thirty_kinds_of_lines() -> None:
    assert len(KINDS) >= 30
    assert sum("ridge" in name for name in KINDS) >= 6
    bands = {round(si(kind_of_site(kind).troughs[0].float_valve.band) / INCH, 3) for kind in KINDS}
    assert {0.2, 0.5, 1.0, 2.0, 4.0, 6.0} <= bands


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_settings_do_as_foretold(kind: str) -> None:
    _all_agree([*inside(kind), *outside(kind)])


@pytest.mark.parametrize("kind", ["band two inches, bare", "buried leak", "three troughs, no tank"])
def test_what_is_refused_is_refused_by_runs_too(kind: str) -> None:
    """A float that throttles, and a leak: some run of the best setting starts the pump too often."""
    site = kind_of_site(kind)
    window = bare_window(site, 250.0, 1000.0)

    if window.recommended is None:
        assert window.judged is not None
        assert window.judged.verdict == "cycling"
        assert any(remedy.kind == "tank" for remedy in window.remedies)
    else:
        assert window.no_tank is not None


def test_a_trial_asks_for_more_than_what_runs_out_beyond_a_crest() -> None:
    """600 ft of pipe of 1.38 in hold 46.6 gal. With that alone the trough would fill again from the
    pipe, and a pump that never restarts would pass for one that works."""
    flat, ridge, vented = (
        trial(kind_of_site(kind), "lane") for kind in ("flat", "ridge, bare", "ridge with a vent")
    )
    held = 600.0 * FOOT * pi / 4.0 * (1.38 * INCH) ** 2
    surface = 120.0 * GALLON / (24.0 * INCH)

    assert (flat.level - ridge.level) * surface == pytest.approx(held, rel=2e-3)
    assert vented.level == pytest.approx(ridge.level)

    under = kind_of_site("ridge with a vent").changed(
        {"switch.cut_in": "2 psi", "switch.cut_out": "45 psi"}
    )
    assert trial(under, "lane").run("1000 W/m^2").verdict == "stuck off"


def _all_agree(settings: list[Try]) -> None:
    astray = [one for one in settings if not one.agrees]
    assert astray == [], f"{len(astray)} of {len(settings)} differ, first {astray[0]}"

"""Whatever way the sliders are pushed, a bench runs or says in one sentence why it cannot."""

from typing import Any

import numpy as np
import pytest

from labkit.engine.run import simulate
from labkit.errors import LabkitError
from labkit.parts import Herd
from labkit.site import Site
from labkit.sitefile import DEMO_SITES, demo_site
from labkit.sun import Sun, constant
from labkit.units import UNIT_SYSTEMS
from labkit.view.controls import CHOICES, CONTROLS, Choice, Control, apply_all, control_named

RANCHES = sorted(path.stem for path in DEMO_SITES.glob("*.toml"))
OF_DAYS = ("clouds", "month", "sky")
"""They put days in place of the hour; their sun takes long to make."""
OF_A_TROUGH = ("height of", "pipe to", "float at")


def corner(control: Control | Choice, site: Site, rng: np.random.Generator) -> Any:
    """Give an end of a slider's range [SI], or any of a list's options."""
    if isinstance(control, Choice):
        options = control.options(site)
        return options[int(rng.integers(len(options)))]
    system = ("US", "metric")[int(rng.integers(2))]
    span, unit = control.spans[system], UNIT_SYSTEMS[system][control.kind]
    end = (span.low, span.high)[int(rng.integers(2))]
    return end * unit.factor + unit.offset


def controls_of(site: Site) -> list[Control | Choice]:
    """List every control that a bench of this site can have."""
    named = [control_named(f"{kind} {one.name}") for one in site.troughs for kind in OF_A_TROUGH]
    both = [*CONTROLS.values(), *CHOICES.values(), *named]
    return [one for one in both if one.name not in OF_DAYS and usable(one, site)]


def usable(control: Control | Choice, site: Site) -> bool:
    return not isinstance(control, Choice) or bool(control.options(site))


def pushed(ranch: str, rng: np.random.Generator) -> tuple[Site, Sun] | None:
    """Push some of the sliders of a ranch to their ends; None where the site refuses."""
    site = demo_site(ranch)
    some = [one for one in controls_of(site) if rng.random() < 0.5]
    values = [(one, corner(one, site, rng)) for one in rng.permutation(np.array(some, object))]
    try:
        return apply_all((site, constant("800 W/m^2")), values)
    except LabkitError:
        return None


def try_corners(ranch: str, *, draws: int, runs: int, seed: int) -> None:
    rng = np.random.default_rng([seed, RANCHES.index(ranch)])
    settings = [found for _ in range(draws) if (found := pushed(ranch, rng)) is not None]
    assert len(settings) > draws // 10, "hardly any setting was let through"
    for site, sun in settings[:runs]:
        trace = simulate(site, "10 min", sun=sun, start="12:00")
        assert all(np.isfinite(trace.head[name]).all() for name in trace.head)


@pytest.mark.parametrize("ranch", RANCHES)
def test_no_corner_fails(ranch: str) -> None:
    try_corners(ranch, draws=40, runs=4, seed=1)


@pytest.mark.slow
@pytest.mark.parametrize("ranch", RANCHES)
def test_no_corner_of_thousands_fails(ranch: str) -> None:
    try_corners(ranch, draws=2000, runs=200, seed=2)


def test_a_herd_of_none_drinks_nothing_however_fast() -> None:
    """Nobody is there to drink: the rate that is asked for has no head to be shared among."""
    ranch = demo_site("first_line").changed(
        {"trough.elm.herd": Herd(head=0, kind="cow with calf", visits=("12:25",))}
    )
    rate = CONTROLS["drinking rate"]

    site, sun = apply_all((ranch, constant("800 W/m^2")), [(rate, 3e-4)])

    assert site == ranch
    assert rate.read(site, sun) == 0.0


def test_stock_that_came_back_drink_at_the_rate_that_was_asked() -> None:
    ranch = demo_site("first_line").changed({"trough.elm.herd.head": 0})
    herd, rate = CONTROLS["herd"], CONTROLS["drinking rate"]

    site, sun = apply_all((ranch, constant("800 W/m^2")), [(herd, 12.0), (rate, 2e-4)])

    assert rate.read(site, sun) == pytest.approx(2e-4)

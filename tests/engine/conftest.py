"""Lines that several files try."""

import pytest

import labkit as lab
from labkit.engine.surge import surge
from labkit.engine.surge_record import Surge
from labkit.site import Site


@pytest.fixture(scope="session")
def one() -> Site:
    """One trough, 1500 ft away on the flat, and no tank."""
    return lab.demo_site("one_trough").changed({"pressure_tank": None})


@pytest.fixture(scope="session")
def three() -> Site:
    return lab.demo_site("three_troughs")


@pytest.fixture(scope="session")
def slowly(one: Site) -> Surge:
    """Its float valve shuts within a minute."""
    return surge(one, closing_time="60 s", duration="150 s", reaches=20)

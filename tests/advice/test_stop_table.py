"""Contact against drive: by hand from what each of them does, and held against whole runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from labkit import demo_site, simulate
from labkit.advice.stop_table import ACTIONS, KINDS, drive_of, heard, stop_table

if TYPE_CHECKING:
    from labkit.site import Site

WIRED = {"switch.wire": {"gauge": "18 AWG", "length": "800 ft"}}


def test_each_drive_wants_its_own_contact() -> None:
    """By hand: a closed contact stops the solar drive, an open one the mains starter."""
    table = stop_table(demo_site("first_line"))

    assert {pair: one.outcome for pair, one in table.items()} == {
        ("closes on rise", "solar"): "works",
        ("closes on rise", "mains"): "never starts",
        ("opens on rise", "solar"): "never starts",
        ("opens on rise", "mains"): "works",
    }


@pytest.mark.parametrize(
    ("change", "solar", "mains"),
    [
        ({"switch.wire.condition": "cut"}, "never stops", "never starts"),
        ({"switch.contact": "stuck open"}, "never stops", "never starts"),
        ({"switch.wire.condition": "shorted"}, "never starts", "never stops"),
        ({"switch.contact": "stuck closed"}, "never starts", "never stops"),
    ],
)
def test_a_broken_way_reads_the_same_whatever_the_contact(
    change: dict[str, str], solar: str, mains: str
) -> None:
    """By hand: a cut pair is open for good, a shorted one closed for good."""
    table = stop_table(demo_site("first_line").changed(WIRED).changed(change))

    for action in ACTIONS:
        assert table[action, "solar"].outcome == solar
        assert table[action, "mains"].outcome == mains


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("action", ACTIONS)
@pytest.mark.parametrize("condition", ["sound", "cut", "shorted"])
def test_a_run_comes_to_what_the_table_says(action: str, kind: str, condition: str) -> None:
    verdicts = {"works": "sound stop", "never starts": "stuck off", "never stops": "no stop"}
    site = demo_site("first_line").changed(WIRED)
    changed: Site = site.changed(
        {
            "switch.action": action,
            "switch.wire.condition": condition,
            "drive": drive_of(site, kind),
        }
    )

    run = simulate(changed, "1 hour", sun="700 W/m^2", start="12:00", levels={"elm": "14 in"})

    assert run.verdict == verdicts[heard(changed).outcome]

"""A settings card on paper: both sides of one sheet of letter size, whatever the site."""

import re
import tomllib
from pathlib import Path

import pytest
import tomli_w

from labkit import NoCardError, Site, demo_site, settings_card
from labkit.sitefile import DEMO_SITES, dumps, loads

pytestmark = pytest.mark.browser

RANCHES = sorted(path.stem for path in DEMO_SITES.glob("*.toml"))
WITHOUT = {"radio_tank", "storage_tank"}  # they fill through an open end: no pressure says full


def pages(path: Path) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", path.read_bytes()))


@pytest.mark.parametrize("units", ["US", "metric"])
@pytest.mark.parametrize("name", RANCHES)
def test_every_ranch_has_one_sheet_or_none(tmp_path: Path, name: str, units: str) -> None:
    path = tmp_path / "card.pdf"
    if name in WITHOUT:
        with pytest.raises(NoCardError):
            settings_card(demo_site(name), path, units=units)
        assert not path.exists()
        return

    settings_card(demo_site(name), path, units=units)

    assert pages(path) == 2
    assert re.search(rb"/MediaBox\s*\[\s*0 0 612 792\s*\]", path.read_bytes())


def crowded() -> Site:
    """As much as a card can have to hold: long names, many troughs, every sign, a title too long."""
    table = tomllib.loads(dumps(demo_site("three_troughs")))
    troughs = table["trough"]
    table["title"] = (
        "The Upper and Lower Cottonwood Draw Pastures, as Piped in the Year Before Last"
    )
    table["trough"] = [
        {**troughs[n % 3], "name": f"Cottonwood Draw No {n:02d} East"} for n in range(12)
    ]
    table["array"]["rated_power"] = "2000 W"
    return loads(tomli_w.dumps(table))


@pytest.mark.parametrize("units", ["US", "metric"])
def test_the_fullest_card_keeps_to_one_sheet(tmp_path: Path, units: str) -> None:
    path = tmp_path / "card.pdf"
    settings_card(crowded(), path, units=units)

    assert pages(path) == 2

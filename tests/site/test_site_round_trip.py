"""Any site: written and read, changed and changed back."""

import copy
import pickle
from pathlib import Path

import attrs
import pytest
from hypothesis import given

from labkit.parts.build import build, table_of
from labkit.site import Site
from labkit.sitefile import demo_site, dumps, load_site, loads, save_site
from tests.strategies import Table, site_tables, sites, tried

some = tried(0.3)


@some
@given(site=sites())
def test_a_written_site_reads_back_as_equal(site: Site) -> None:
    text = dumps(site)

    again = loads(text)

    assert again == site
    assert hash(again) == hash(site)
    assert dumps(again) == text


@some
@given(table=site_tables())
def test_what_was_typed_is_written_as_it_was_typed(table: Table) -> None:
    site = build(Site, table)

    saved = table_of(site)

    for key in ("cut_in", "cut_out"):
        assert saved["pressure_switch"][key] == table["pressure_switch"][key]
    for before, after in zip(table["trough"], saved["trough"], strict=True):
        assert {key: after["pipe"][key] for key in ("from", "length", "size", "rise")} == {
            key: before["pipe"][key] for key in ("from", "length", "size", "rise")
        }


@some
@given(site=sites())
def test_a_copy_with_nothing_changed_is_equal(site: Site) -> None:
    assert attrs.evolve(site) == site
    assert site.changed({}) == site
    assert site.changed({f"trough.{site.troughs[0].name}.depth": site.troughs[0].depth}) == site


@some
@given(site=sites())
def test_every_run_follows_the_one_that_feeds_it(site: Site) -> None:
    reached = {"manifold"}
    for start, end, _ in site.runs():
        assert start in reached
        assert end not in reached
        reached.add(end)

    assert {trough.name for trough in site.troughs} <= reached
    assert len(reached) == 1 + len(site.pipes) + len(site.troughs)


def test_a_site_survives_pickling_and_copying() -> None:
    """Other processes and notebooks pass sites on."""
    site = demo_site("three_troughs")

    assert pickle.loads(pickle.dumps(site)) == site  # noqa: S301 - made one line above
    assert copy.deepcopy(site) == site


def test_a_file_keeps_a_mixed_number_and_other_signs(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    site = demo_site("one_trough").changed(
        {
            "trough.lane.pipe.size": "1-1/4 in PE SIDR 15",
            "trough.lane.float_valve.band": "1¼ in",
            "trough.lane.pipe.rise": "\N{MINUS SIGN}3 ft",
            "title": 'Señor "Quote" \\ 龙',
        }
    )

    save_site(site, path)

    text = path.read_text(encoding="utf-8")
    assert load_site(path) == site
    assert 'band = "1¼ in"' in text
    assert 'size = "1-1/4 in PE SIDR 15"' in text
    assert 'rise = "\N{MINUS SIGN}3 ft"' in text
    assert b"\r" not in path.read_bytes()


@pytest.mark.parametrize("name", ["one_trough", "one_trough_uphill", "three_troughs", "deep_well"])
def test_the_same_site_in_other_units_is_equal_in_si(name: str) -> None:
    """A site typed in metric lies within rounding of the same one typed in US units."""
    site = demo_site(name)
    metric = site.changed({"well.static_level": site.well.static_level.to("m")})

    assert metric.well.static_level.to_base_units().magnitude == pytest.approx(
        site.well.static_level.to_base_units().magnitude, rel=1e-14
    )
    assert loads(dumps(metric)) == metric

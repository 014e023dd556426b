"""The fault box as a box: every fault fits where it can, says why where it cannot, and shows."""

import numpy as np
import pytest

from labkit.engine.curves import displacement_line
from labkit.engine.fluid import water_at
from labkit.errors import SiteError
from labkit.faults import FAULTS, Fault, complaints, evidence, morning, stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si
from tests.faults.standard import GUARDED, UPHILL

RANCHES = ("first_line", "one_trough", "one_trough_uphill", "three_troughs", "deep_well")


@pytest.mark.parametrize("name", RANCHES)
def test_each_fault_makes_a_sound_site_of_any_size_and_place(name: str) -> None:
    site = stocked(demo_site(name))
    for fault in FAULTS.values():
        if not fault.fits(site):
            continue
        for where in fault.places(site):
            for share in (0.0, 0.5, 1.0):
                size = fault.size_at(site, where, share)
                faulty = fault.apply(site, size, where)
                assert (faulty == site) == fault.stops_gauge, fault.key


@pytest.mark.parametrize("fault", FAULTS.values(), ids=lambda fault: fault.key)
def test_someone_would_notice(fault: Fault) -> None:
    """On the standard ranch each fault at its middling size is worth a call."""
    where = fault.places(GUARDED)[0]

    seen = evidence(GUARDED, fault, fault.size_at(GUARDED, where, 0.5), where)

    assert seen.complaints


def test_nobody_calls_over_a_sound_line() -> None:
    for name in RANCHES:
        usual, _ = morning(stocked(demo_site(name)))
        assert complaints(usual, usual) == (), name


@pytest.mark.parametrize("fault", FAULTS.values(), ids=lambda fault: fault.key)
def test_words_are_whole_sentences(fault: Fault) -> None:
    for words in (fault.about, fault.repair, fault.caution):
        assert words[0].isupper()
        assert words.endswith(".")


@pytest.mark.parametrize(
    ("site", "key", "why"),
    [
        (UPHILL.changed({"pressure_tank": None}), "waterlogged tank", "no pressure tank"),
        (UPHILL.changed({"pressure_tank": None}), "wrong precharge", "no pressure tank"),
        (
            demo_site("one_trough"),
            "cut-in under the static pressure",
            "no trough is high enough",
        ),
        (demo_site("deep_well"), "cut-out too high for the sun", "climbs to any cut-out"),
        (demo_site("deep_well"), "pump turning backward", "lifts no water at all"),
        (UPHILL, "weak relief valve", "no relief valve"),
        (
            UPHILL.changed({"trough.notch.pipe.size": "3/4 in PE SIDR 9"}),
            "undersized pipe",
            "smallest pipe of its kind",
        ),
    ],
)
def test_a_fault_that_cannot_be_says_so_in_one_sentence(site: Site, key: str, why: str) -> None:
    fault = FAULTS[key]
    assert not fault.fits(site)

    for attempt in (
        lambda: fault.apply(site, "1 psi"),
        lambda: fault.draw(site, np.random.default_rng(1)),
    ):
        with pytest.raises(SiteError, match=why) as caught:
            attempt()
        assert key in str(caught.value)
        assert "\n" not in str(caught.value)


@pytest.mark.parametrize("left", [0.75, 0.55])
def test_a_worn_displacement_pump_sweeps_as_much_and_slips_more(left: float) -> None:
    """By hand: 4.5 gpm with a slip of 0.05 is 4.5 / 0.95 gpm swept, however worn the pump is.

    Torque times speed is what friction and the swept volume take; neither wears, so the drive gives
    up at the same head as before.
    """
    site = demo_site("deep_well")
    worn = FAULTS["worn pump"].apply(site, str(left))
    water = water_at(site.place)

    (before, limit), (after, worn_limit) = (
        displacement_line(one.pump, water) for one in (site, worn)
    )

    swept, head = 4.5 * 6.30902e-5 / 0.95, 420 * 0.3048
    assert before.displaced == pytest.approx(swept, rel=1e-5)
    assert after.displaced == pytest.approx(swept, rel=1e-5)
    assert after.displaced - after.slip * head == pytest.approx(left * 4.5 * 6.30902e-5, rel=1e-5)
    assert after.friction_power == pytest.approx(before.friction_power, rel=1e-9)
    assert worn_limit == pytest.approx(limit, rel=1e-9)


def test_a_displacement_pump_that_slips_already_wears_no_further_than_half_of_what_it_sweeps() -> (
    None
):
    """By hand: 4.5 gpm with a slip of 0.3 is 4.5 / 0.7 gpm swept, and half of that is left."""
    site = demo_site("deep_well").changed({"pump.slip": 0.3})

    worn = FAULTS["worn pump"].apply(site, "0.55").pump

    assert worn.kind == "positive displacement"
    assert worn.slip == pytest.approx(0.5)
    assert si(worn.rated_flow) / 6.30902e-5 == pytest.approx(0.5 * 4.5 / 0.7, rel=1e-5)


def test_a_place_that_is_none_is_refused() -> None:
    with pytest.raises(SiteError, match="write one of 'notch'"):
        FAULTS["stuck-open float"].apply(UPHILL, "", "moon")


def test_the_same_dice_draw_the_same() -> None:
    for fault in FAULTS.values():
        first, second = (fault.draw(GUARDED, np.random.default_rng(5)) for _ in range(2))
        assert first == second
        assert first[1] in fault.places(GUARDED)


def test_what_reads_the_same_in_every_test_is_named() -> None:
    """Common practice: ice shuts a float valve as a jammed arm does."""
    shut, hung = (FAULTS[f"stuck-{way} float"] for way in ("shut", "open"))

    assert "ice in the float valve" in shut.alike_words
    assert hung.alike_words == ""

"""Where a fault sits: asked and marked on a line on which it can sit in several places."""

import pytest

from labkit.errors import LabkitError
from labkit.faults import stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from tests.drills.working import drill_with, placed


@pytest.fixture(scope="module")
def draws() -> Site:
    return stocked(demo_site("three_troughs"))


def test_a_fault_in_another_place_is_not_right(draws: Site) -> None:
    """Lifted, the float at the corral lets nothing by: the worn seat is not there."""
    seat = placed("worn float seat", "0.6 gpm at 30 psi", "lookout")
    drill = drill_with(draws, seat)
    assert drill.places("worn float seat") == ("creek", "corral", "lookout")

    fresh = drill.mark([("worn float seat", "corral")])
    assert (fresh.is_right, fresh.right, fresh.misplaced) == (False, 1, ("worn float seat",))

    read = drill.tried("drip", "corral")
    assert read.mark([("worn float seat", "corral")]).against == (0,)
    assert read.mark([("worn float seat", "lookout")]).is_right
    with pytest.raises(LabkitError, match="say where: worn float seat"):
        drill.mark(["worn float seat"])


def test_a_leak_is_right_wherever_it_is(draws: Site) -> None:
    leak = placed("buried leak", "0.6 gpm at 30 psi", "upper tee")
    drill = drill_with(draws, leak)

    assert drill.places("buried leak") == ()
    assert drill.mark(["buried leak"]).is_right
    assert drill.mark([("buried leak", "creek")]).is_right


def test_what_would_have_settled_it_tells_the_place_as_well() -> None:
    """A float that stays shut at the basin: only somebody at a trough can see at which."""
    well = stocked(demo_site("deep_well"))
    settling = drill_with(well, placed("stuck-shut float", "", "basin")).settled()

    assert settling.left == ()
    assert any(proof.where for proof in settling.line)

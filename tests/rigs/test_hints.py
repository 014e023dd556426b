"""Hints at dusk, under the cloth, and where several floats are open."""

import attrs
import pytest

from labkit.rigs import Rig, hint, start_rig
from tests.rigs.working import up


@pytest.fixture(scope="module")
def new() -> Rig:
    return start_rig(3, "first_line")


def test_in_the_dark_nothing_is_blamed_on_clouds(new: Rig) -> None:
    """Left with a cut-out that no sun reaches: the pump stops with the sun, not by the switch."""
    rig = new.act("screw", amount=-24)
    for _ in range(3):
        rig = rig.act("wait", amount=240.0)

    assert hint(rig).key == "dark"
    assert hint(attrs.evolve(rig, cloth=0.5)).key == "under the cloth"


def test_a_cloth_over_a_line_that_holds_has_proved_nothing(new: Rig) -> None:
    """Tripped in the sun, the pump stands: only after a new start under the cloth does haze count."""
    held = up(new).act("wait", amount=10.0).act("cloth", amount=250.0)
    assert hint(held).key == "holds from before"

    low = up(new.act("screw", amount=16)).act("wait", amount=5.0).act("cloth", amount=250.0)
    again = (
        low.act("float", "elm", state="always open")
        .act("wait", amount=5.0)
        .act("float", "elm", state="always shut")
        .act("wait", amount=10.0)
    )
    assert hint(again).key == "holds in haze"


def test_floats_that_are_open_together_are_to_be_tried_one_by_one() -> None:
    rig = start_rig(4, "three_troughs")
    assert hint(rig).key == "fills several"

    alone = rig.act("float", "creek", state="always shut").act(
        "float", "corral", state="always shut"
    )
    assert hint(alone).key == "fills"


def test_what_is_turned_off_is_said_first(new: Rig) -> None:
    off = new.act("power", state="off")
    assert hint(off).key == "controller off"
    assert hint(off.act("bleed")).key == "bled"


def test_with_the_pair_off_the_reading_belongs_on_the_sheet(new: Rig) -> None:
    bare = new.act("power", state="off").act("pair", state="off").act("power", state="on")
    rig = up(bare.act("cloth", amount=250.0)).act("wait", amount=10.0)

    assert hint(rig).key == "ends here"

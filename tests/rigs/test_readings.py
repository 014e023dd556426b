"""Which state of a line counts as one of the four readings."""

from types import SimpleNamespace
from typing import Any, cast

import pytest

from labkit.rigs.readings import _shown
from tests.customary import PSI


def limit(name: str, where: str, psi: float, sure: float) -> SimpleNamespace:
    return SimpleNamespace(name=name, where=where, pressure=psi * PSI, sure=sure * PSI)


@pytest.mark.parametrize(("float_down", "counts"), [("creek", ["filling"]), ("knoll", [])])
def test_the_trough_to_fill_is_the_one_that_holds_the_gauge_highest_with_its_float_right_down(
    monkeypatch: pytest.MonkeyPatch, float_down: str, counts: list[str]
) -> None:
    """A float held down is wide open: by that pressure, 48 and 40 psi, creek comes first, though
    knoll comes to more as its float begins to close."""
    limits = [limit("static", "creek", 10.0, 10.0), limit("static", "knoll", 10.0, 10.0)]
    deciding = [limit("running", "creek", 50.0, 50.0), limit("running", "knoll", 52.0, 52.0)]
    full = [limit("running", "creek", 50.0, 48.0), limit("running", "knoll", 52.0, 40.0)]
    window = SimpleNamespace(
        deciding=limits + deciding, bounds=limits + full, sun=SimpleNamespace(least=250.0)
    )
    rig = SimpleNamespace(window=window, traces=())
    truth = SimpleNamespace(
        pressure=45.0 * PSI, has_rested=False, drift=0.0, open_floats=frozenset({float_down}),
        is_pumping=True, sun=1000.0,
    )  # fmt: skip
    for name in ("_is_strong", "_is_filled"):
        monkeypatch.setitem(_shown.__globals__, name, lambda *_: True)

    found = _shown(cast("Any", rig), cast("Any", SimpleNamespace(heard=())), cast("Any", truth))

    assert [name for name, _ in found] == counts

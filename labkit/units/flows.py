"""Sizes of openings, the way people state them: a flow at a pressure, or a hole."""

import re
from typing import Final, TypeAlias

import attrs
from typing_extensions import override

from labkit.errors import UnitError
from labkit.units.parse import LONGEST_TEXT, Typed, quantity, si, written
from labkit.units.registry import Quantity


def _flow(typed: Typed) -> Quantity:
    return quantity(typed, "gpm")


def _pressure(typed: Typed) -> Quantity:
    return quantity(typed, "psi")


def _small_length(typed: Typed) -> Quantity:
    return quantity(typed, "in")


LONGEST_PAIR: Final = 2 * LONGEST_TEXT
_ANY_PRESSURE: Final = "20 psi"
_AT: Final = re.compile(r"\sat\s|\s?@\s?", re.IGNORECASE)


@attrs.frozen(kw_only=True)
class FlowAt:
    """A flow that passes at a stated pressure drop, such as ``6 gpm at 20 psi``.

    A tight opening's flow is zero, and its pressure of no account.
    """

    flow: Quantity = attrs.field(converter=_flow)
    pressure: Quantity = attrs.field(converter=_pressure, default=_ANY_PRESSURE)

    @override
    def __str__(self) -> str:
        if si(self.flow) == 0.0 and written(self.pressure) == _ANY_PRESSURE:
            return written(self.flow)
        return f"{written(self.flow)} at {written(self.pressure)}"


@attrs.frozen(kw_only=True)
class Hole:
    """A round hole, such as ``1 mm hole``."""

    diameter: Quantity = attrs.field(converter=_small_length)

    @override
    def __str__(self) -> str:
        return f"{written(self.diameter)} hole"


LeakSize: TypeAlias = FlowAt | Hole  # how a leak is stated: as a flow at a pressure, or as a hole


NO_LEAK: Final = FlowAt(flow="0 gpm")  # the size of a leak that is none


def flow_at(typed: FlowAt | str) -> FlowAt:
    """Read a flow at a pressure, such as ``"6 gpm at 20 psi"`` or ``"130 drops/min at 30 psi"``.

    Notes
    -----
    A drop is 0.25 mL (USGS Water Science School, drip calculator: 15,140 drops a gallon).
    A flow of zero needs no pressure.
    """
    if isinstance(typed, FlowAt):
        return typed
    if not isinstance(typed, str):
        raise UnitError("write a flow at a pressure, such as '6 gpm at 20 psi'")
    flow, *pressures = _AT.split(typed[:LONGEST_PAIR], maxsplit=1)
    if pressures:
        return FlowAt(flow=flow, pressure=pressures[0])
    tight = FlowAt(flow=flow)
    if si(tight.flow) != 0.0:
        raise UnitError("write the pressure it flows at as well, such as '6 gpm at 20 psi'")
    return tight


_LEAK_ADVICE: Final = (
    "write a flow at a pressure or a hole, such as '0.1 gpm at 30 psi' or '1 mm hole'"
)


def leak_size(typed: LeakSize | str) -> LeakSize:
    """Read the size of a leak: ``"0 gpm"``, ``"0.1 gpm at 30 psi"`` or ``"1 mm hole"``."""
    if isinstance(typed, FlowAt | Hole):
        return typed
    if isinstance(typed, str):
        text = typed.strip()
        if text[-5:].lower() == " hole":
            return Hole(diameter=text[:-5])
        try:
            return flow_at(text)
        except UnitError as problem:
            why = str(problem).split("write ", 1)[0] if _AT.search(text[:LONGEST_PAIR]) else ""
            raise UnitError(f"{why}{_LEAK_ADVICE}") from None
    raise UnitError(_LEAK_ADVICE)

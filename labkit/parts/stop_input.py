"""The stop input of a drive: what it takes for a closed contact at the end of a long pair."""

from math import inf
from typing import ClassVar, Literal, TypeAlias

import attrs
from attrs import field

from labkit.parts import fields as f
from labkit.units import Quantity, si

Sight: TypeAlias = Literal["closed", "open", "in between"]


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class StopInput:
    """The drive's stop input, which looks for a dry contact.

    Attributes
    ----------
    wetting_voltage : Quantity
        Small direct voltage that it puts on the pair by itself.
    source_resistance : Quantity
        Resistance through which it does so.
    closed_below, open_above : Quantity
        Voltages across its terminals under which it takes the contact for closed, and above which
        for open.

    Notes
    -----
    Ordinary figures of an input for a dry contact (common practice): a few milliamps through the
    contact, and some 200 ohm that the pair may have. The drive's own manual rules: put its figures
    here. No other voltage may ever be put on a dry contact's pair.
    """

    CALLED: ClassVar = "stop input"

    wetting_voltage: Quantity = field(
        converter=f.measured, validator=f.between("1 V", "50 V"), default="12 V"
    )
    source_resistance: Quantity = field(
        converter=f.measured, validator=f.between("10 ohm", "100000 ohm"), default="2200 ohm"
    )
    closed_below: Quantity = field(
        converter=f.measured, validator=f.between("0.01 V", "50 V"), default="1 V"
    )
    open_above: Quantity = field(
        converter=f.measured, validator=f.between("0.01 V", "50 V"), default="6 V"
    )

    def __attrs_post_init__(self) -> None:
        """Hold the voltages to their order."""
        f.ordered(self, "closed_below", "open_above")
        f.ordered(self, "open_above", "wetting_voltage")

    def voltage(self, resistance: float) -> float:
        """Voltage across the terminals with a resistance [ohm] between them [V]."""
        if resistance == inf:
            return si(self.wetting_voltage)
        share = resistance / (resistance + si(self.source_resistance))
        return si(self.wetting_voltage) * share

    def sees(self, resistance: float) -> Sight:
        """Say what the input takes a resistance [ohm] between its terminals for."""
        voltage = self.voltage(resistance)
        if voltage <= si(self.closed_below):
            return "closed"
        return "open" if voltage >= si(self.open_above) else "in between"

    @property
    def limit(self) -> float:
        """Highest resistance that still counts as a closed contact [ohm]."""
        share = si(self.closed_below) / si(self.wetting_voltage)
        return si(self.source_resistance) * share / (1.0 - share)

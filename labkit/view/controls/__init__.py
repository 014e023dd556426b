"""What the sliders of a bench can turn: each control is a range, and a change to a Site or its sun.

A module for each part of the line holds its controls; here they are found by their names.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from labkit.errors import SiteError
from labkit.view.controls import line, sun, switch
from labkit.view.controls.base import LEAK_PRESSURE, Control, Setting, Span, apply_all
from labkit.view.controls.line import far_trough

__all__ = [
    "CONTROLS",
    "LEAK_PRESSURE",
    "Control",
    "Setting",
    "Span",
    "apply_all",
    "control_named",
    "far_trough",
]

CONTROLS: Final[Mapping[str, Control]] = MappingProxyType(
    {control.name: control for control in (*sun.CONTROLS, *line.CONTROLS, *switch.CONTROLS)}
)
"""Every control by its name."""


def control_named(name: str | Control) -> Control:
    """Give a control by its name; one that is ready-made passes.

    Raises
    ------
    SiteError
        If there is none of that name.
    """
    if isinstance(name, Control):
        return name
    if name not in CONTROLS:
        raise SiteError("bench", "controls", name, f"write one of {', '.join(CONTROLS)}")
    return CONTROLS[name]

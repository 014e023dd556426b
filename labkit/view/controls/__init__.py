"""What a bench can turn: each control is a range or a list, and a change to a Site or its sun.

A module for each part of the line holds its controls; here they are found by their names.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from labkit.errors import SiteError
from labkit.view.controls import line, signal, sun, switch, well
from labkit.view.controls import floats, line, sun, switch, well
from labkit.view.controls import day, floats, line, sun, switch, well
from labkit.view.controls.base import LEAK_PRESSURE, Choice, Control, Setting, Span, apply_all
from labkit.view.controls.line import PER_TROUGH, far_trough

__all__ = [
    "CHOICES",
    "CONTROLS",
    "LEAK_PRESSURE",
    "Choice",
    "Control",
    "Setting",
    "Span",
    "apply_all",
    "control_named",
    "far_trough",
]

CONTROLS: Final[Mapping[str, Control]] = MappingProxyType(
    {
        control.name: control
        for room in (sun, well, line, switch, signal)
        for control in room.CONTROLS
        for control in (
            *sun.CONTROLS,
            *well.CONTROLS,
            *line.CONTROLS,
            *switch.CONTROLS,
            *floats.CONTROLS,
            *day.CONTROLS,
        )
    }
)
"""Every slider's control by its name; those of one trough are made when they are named."""

CHOICES: Final[Mapping[str, Choice]] = MappingProxyType(
    {choice.name: choice for choice in (*well.CHOICES, *line.CHOICES, *signal.CHOICES)}
    {choice.name: choice for choice in (*well.CHOICES, *line.CHOICES, *floats.CHOICES)}
    {
        choice.name: choice
        for choice in (*well.CHOICES, *line.CHOICES, *floats.CHOICES, *day.CHOICES)
    }
)
"""Every list to choose from, by its name."""


def control_named(name: str | Control | Choice) -> Control | Choice:
    """Give a control by its name, such as ``"cut-out"`` or ``"height of ridge"``.

    One that is ready-made passes.

    Raises
    ------
    SiteError
        If there is none of that name.
    """
    if isinstance(name, Control | Choice):
        return name
    for begin, make in PER_TROUGH.items():
        if name.startswith(begin):
            return make(name.removeprefix(begin))
    found = CONTROLS.get(name) or CHOICES.get(name)
    if found is None:
        known = (*CONTROLS, *CHOICES, *(f"{begin}…" for begin in PER_TROUGH))
        raise SiteError("bench", "controls", name, f"write one of {', '.join(known)}")
    return found

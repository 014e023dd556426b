"""What a bench can turn: each control is a range or a list, and a change to a Site or its sun.

A module for each part of the line holds its controls; here they are found by their names.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from labkit.errors import SiteError
from labkit.view.controls import day, line, switch
from labkit.view.controls.base import FAR_TROUGH, Choice, Control, Span, apply_all
from labkit.view.controls.line import PER_TROUGH

CONTROLS: Final[Mapping[str, Control]] = MappingProxyType(
    {control.name: control for room in (day, line, switch) for control in room.CONTROLS}
)
"""Every slider's control by its name; those of one trough are made when they are named."""

CHOICES: Final[Mapping[str, Choice]] = MappingProxyType(
    {choice.name: choice for room in (day, line, switch) for choice in room.CHOICES}
)
"""Every list to choose from, by its name."""


def control_named(name: str | Control | Choice) -> Control | Choice:
    """Return a control by its name, such as ``"height of lookout"``; a ready-made one passes."""
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

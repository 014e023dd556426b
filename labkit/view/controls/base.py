"""What a control is: a range, and a change to a site or its sun.

Ranges are our judgement: wide enough to fail in both directions, round in US and in metric units.
"""

from collections.abc import Callable, Iterable, Mapping
from math import isclose
from types import MappingProxyType
from typing import Any, Final, TypeVar

import attrs

from labkit.advice.axes import LEAK_PRESSURE
from labkit.errors import SiteError
from labkit.language import say
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import WORDS
from labkit.units import Quantity, si, typed

FAR_TROUGH: Final = "far trough"
"""The grip of what turns the trough at the longest way, whatever its name."""

Setting = tuple[Site, Sun]
Changes = dict[str, Any]
"""What changes a site: dotted names of fields -> what they become."""
Value = TypeVar("Value", float, str)
Read = Callable[[Site, Sun], float]
Turn = Callable[[Site, Sun, float], Setting]


@attrs.frozen
class Span:
    """The range of a slider in display units: its ends and its step."""

    low: float
    high: float
    step: float


@attrs.frozen(kw_only=True)
class Control:
    """One thing that a slider turns."""

    name: str  # what a bench calls it by
    words: str  # its label; ``{pressure}`` in it stands for the pressure at which leaks are stated
    kind: str  # what it measures, as `labkit.units` names it
    spans: Mapping[str, Span]  # its range in each system of units
    read: Read  # gives its value [SI] from a site and a sun
    apply: Turn  # gives the site and sun changed to a value [SI]
    # what in the picture can be taken hold of to turn it: ``"cut-out"``, ``"cut-in"``, ``"sun"``,
    # `FAR_TROUGH` or a trough's name; empty for nothing
    grip: str = ""

    def label(self, system: str) -> str:
        """Return its label in a system of units."""
        pressure = say(si(LEAK_PRESSURE), "pressure", system).replace(".0 ", " ")
        return self.words.format(pressure=pressure)


@attrs.frozen(kw_only=True)
class Choice:
    """One thing that is chosen from a list."""

    name: str  # what a bench calls it by
    words: str  # its label
    # gives what can be chosen for the site at which a bench starts, the order as in the list
    options: Callable[[Site], tuple[str, ...]]
    option_words: Callable[[str], str] = str  # gives an option in words
    read: Callable[[Site, Sun], str]  # gives the option that a site and a sun have
    apply: Callable[[Site, Sun, str], Setting]  # gives the site and sun changed to an option

    def label(self, system: str) -> str:  # noqa: ARG002 - as a slider's label, in any units
        """Return its label."""
        return self.words


def apply_all(setting: Setting, values: Iterable[tuple[Control | Choice, Any]]) -> Setting:
    """Change a site and a sun by several controls.

    Each must fit what is there when its turn comes, such as a cut-in below the cut-out. One that
    does not waits for the others; if no order will do, its error is raised. One that stands as it
    is there turns nothing.
    """
    waiting = list(values)
    while waiting:
        refused, problem = [], None
        for control, value in waiting:
            if _stands(control.read(*setting), value):
                continue
            try:
                setting = control.apply(*setting, value)
            except SiteError as error:
                refused.append((control, value))
                problem = problem or error
        if problem is not None and len(refused) == len(waiting):
            raise problem
        waiting = refused
    return setting


def _stands(found: float | str, value: float | str) -> bool:
    """Whether a control finds the value that is wanted of it."""
    if isinstance(found, str) or isinstance(value, str):
        return found == value
    return isclose(found, value, rel_tol=1e-9)


def control(
    name: str,
    kind: str,
    us: tuple[float, float, float],
    metric: tuple[float, float, float],
    turn: tuple[Read, Turn],
    words: str | None = None,
    grip: str = "",
) -> Control:
    """Make a control: its name, what it measures, its ranges, how it reads and turns.

    `us` and `metric` are the ends and the step of its range in display units. `words` is the key of
    its label in the catalogue of words; left out, its name.
    """
    spans = MappingProxyType({"US": Span(*us), "metric": Span(*metric)})
    label = WORDS[words or name]
    return Control(
        name=name, words=label, kind=kind, spans=spans, read=turn[0], apply=turn[1], grip=grip
    )


def choice(
    name: str,
    options: tuple[str, ...] | Callable[[Site], tuple[str, ...]],
    turn: tuple[Callable[[Site, Sun], str], Callable[[Site, Sun, str], Setting]],
    *,
    words: str = "",
    says: Callable[[str], str] = str,
) -> Choice:
    """Make a choice: its name, what there is to choose, how it reads and turns.

    A tuple of options is offered for every site. `words` is the key of its label in the catalogue
    of words; left out, its name. `says` puts an option in words.
    """
    return Choice(
        name=name,
        words=WORDS[words or name],
        options=options if callable(options) else lambda _site: options,
        option_words=says,
        read=turn[0],
        apply=turn[1],
    )


def of_site(
    read: Callable[[Site], Value], changes: Callable[[Site, Value], Changes]
) -> tuple[Callable[[Site, Sun], Value], Callable[[Site, Sun, Value], Setting]]:
    """Read and turn what is a matter of the site alone: its value, and the changes that set one."""

    def turn(site: Site, sun: Sun, value: Value) -> Setting:
        changed = changes(site, value)
        return (site.changed(changed) if changed else site), sun

    return lambda site, _sun: site.once(read), turn


def as_length(value: float) -> Quantity:
    """Return a length [m] as a site file has it."""
    return typed(value, "length")

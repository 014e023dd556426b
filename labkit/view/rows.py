"""What one control of a bench stands at: a number in a range, or a choice from a list.

A number is kept in SI, so that a change of units moves no setting. A site's own number need be none
of the slider's steps; so the steps are counted from the value until it is moved.
"""

from collections.abc import Callable, Iterable, Iterator
from math import ceil, floor, isclose
from typing import Any, Final

from labkit.errors import LabkitError
from labkit.language import number, say, unit_word
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import WORDS
from labkit.units import UNIT_SYSTEMS, UNITS, displayed, quantity, si, unit_label
from labkit.view.controls import Choice, Control, Span

_DECIMALS: Final = 2
"""What is kept of a number in a display unit."""
_SAME: Final = 0.0051
"""Numbers this near to each other are one."""


class SettingSlider:
    """The number of one control: `si` where it stands [SI], all else in the units in use."""

    def __init__(
        self, control: Control, *, start: float, system: str, changed: Callable[[], None]
    ) -> None:
        self.control, self.start, self.si, self.system = control, start, start, system
        self._changed, self.disabled = changed, False
        self.use(system)

    @property
    def value(self) -> float:
        """Where it stands in the units in use; set, it is moved there, within its range."""
        return round(displayed(self.si, self.control.kind, self.system), _DECIMALS)

    @value.setter
    def value(self, new: float) -> None:
        if self.move(min(max(new, self.min), self.max)):
            self._changed()

    def use(self, system: str) -> None:
        """Show the same value in the units of a system."""
        self.system, self.label = system, self.control.label(system)
        self._fit()

    def reset(self) -> None:
        """Go back to the start."""
        self.si = self.start
        self._fit()

    def move(self, new: float) -> bool:
        """Move to a number of the slider, and return whether that is another one.

        From a value between the steps, the first move goes to the next step that way.
        """
        before, span = self.value, self._span()
        if abs(new - before) < _SAME:
            return False
        if not _is_step(before, span) and not _is_step(new, span):
            turn = floor if new > before else ceil
            new = span.low + span.step * turn((new - span.low) / span.step)
        self.si = from_display(new, self.control.kind, self.system)
        self._fit()
        return True

    def type_in(self, text: str) -> bool:
        """Take what was typed, a number or one with a unit; return whether it is another one."""
        span, kind = self._span(), self.control.kind
        shown = _read(text, kind, self.system)
        if shown is None or not span.low - _SAME < shown < span.high + _SAME:
            said = {"low": f"{span.low:,g}", "high": f"{span.high:,g}"}
            said |= {"name": self.label, "text": text.strip(), "unit": unit_word(kind, self.system)}
            raise LabkitError(WORDS["not in range"].format(**said))
        if abs(shown - self.value) < _SAME:
            return False
        self.si = from_display(shown, kind, self.system)
        self._fit()
        return True

    def words(self) -> str:
        """Say where it stands, such as ``"Cut-out 30.0 psi"``."""
        return f"{self.label} {say(self.si, self.control.kind, self.system)}"

    def ends(self) -> tuple[float, ...]:
        """Return the ends of its range [SI]."""
        span = self._span()
        return tuple(
            from_display(end, self.control.kind, self.system) for end in (span.low, span.high)
        )

    def message(self) -> dict[str, Any]:
        """Return what a page shows of it."""
        label = self.label
        return {
            "kind": "range", "name": self.control.name, "label": label,
            "unit": unit_word(self.control.kind, self.system),
            "min": self.min, "max": self.max, "step": self.step, "value": self.value,
            "decimals": self._decimals(), "locked": self.disabled,
            "less": WORDS["less"].format(name=label), "more": WORDS["more"].format(name=label),
        }  # fmt: skip

    def _span(self) -> Span:
        """Return its range, stretched by whole steps to hold its start."""
        span = self.control.spans[self.system]
        start = displayed(self.start, self.control.kind, self.system)
        low = span.low - span.step * max(ceil((span.low - start) / span.step - 1e-9), 0)
        high = span.high - span.step * min(floor((span.high - start) / span.step + 1e-9), 0)
        return Span(low, high, span.step)

    def _fit(self) -> None:
        """Count the steps from the value, if that is none of them."""
        span, shown = self._span(), self.value
        self.step = span.step
        if _is_step(shown, span):
            self.min, self.max = span.low, span.high
            return
        below, above = (
            floor(max(way, 0.0) / span.step) for way in (shown - span.low, span.high - shown)
        )
        self.min, self.max = shown - below * span.step, shown + above * span.step

    def _decimals(self) -> int:
        decimals = 0 if self.step >= 1.0 else 1 if round(10.0 * self.step, 6) % 1.0 == 0.0 else 2
        if _is_step(self.value, self._span()):
            return decimals
        written = number(self.si, self.control.kind, self.system)
        return max(decimals, len(written.partition(".")[2]))


class SettingChoice:
    """The choice of one control; the same to a bench as a `SettingSlider`.

    What is chosen at first is added to the options if it is none of them.
    """

    def __init__(
        self,
        control: Choice,
        options: tuple[str, ...],
        *,
        start: str,
        changed: Callable[[], None],
    ) -> None:
        self.control, self.start, self.si = control, start, start
        self._changed, self.disabled = changed, False
        self.options = options if start in options else (start, *options)

    @property
    def value(self) -> str:
        """What is chosen; set, it is chosen."""
        return self.si

    @value.setter
    def value(self, new: str) -> None:
        if self.type_in(new):
            self._changed()

    def use(self, system: str) -> None:
        """Show the same choice in the units of a system: words have none."""

    def reset(self) -> None:
        """Go back to the start."""
        self.si = self.start

    def type_in(self, option: str) -> bool:
        """Choose an option, and return whether it is another one."""
        if option not in self.options or option == self.si:
            return False
        self.si = option
        return True

    @property
    def label(self) -> str:
        """Its label."""
        return self.control.words

    def words(self) -> str:
        """Say what is chosen, such as ``"Pump centrifugal"``."""
        return f"{self.control.words} {self.control.option_words(self.si)}"

    def ends(self) -> tuple[str, ...]:
        """Return all that can be chosen."""
        return self.options

    def message(self) -> dict[str, Any]:
        """Return what a page shows of it."""
        options = [[option, self.control.option_words(option)] for option in self.options]
        return {
            "kind": "choice", "name": self.control.name, "label": self.label,
            "options": options, "value": self.si, "locked": self.disabled,
        }  # fmt: skip


Row = SettingSlider | SettingChoice
"""What a bench asks one thing with."""


def row_of(
    control: Control | Choice, site: Site, sun: Sun, *, system: str, changed: Callable[[], None]
) -> Row:
    """Make the row of a control for the site and the sun at which a bench starts."""
    if isinstance(control, Choice):
        options = control.options(site)
        return SettingChoice(control, options, start=control.read(site, sun), changed=changed)
    return SettingSlider(control, start=control.read(site, sun), system=system, changed=changed)


def sites_at_ends(rows: Iterable[Row], site: Site, sun: Sun) -> Iterator[Site]:
    """Return the sites at the ends of each row, the other rows left as they start."""
    for row in rows:
        apply: Callable[..., tuple[Site, Sun]] = row.control.apply
        for value in row.ends():
            try:
                yield apply(site, sun, value)[0]
            except LabkitError:  # an end that this site cannot take says so when it is tried
                continue


def from_display(shown: float, kind: str, system: str) -> float:
    """Turn a number in a display unit into SI."""
    unit = UNIT_SYSTEMS[system][kind]
    return unit.factor * shown + unit.offset


def _read(text: str, kind: str, system: str) -> float | None:
    """Read a number, or one with a unit, in the display unit; None where it is neither."""
    plain = text.replace(",", "").replace("\N{MINUS SIGN}", "-").strip()
    try:
        return float(plain)
    except ValueError:
        pass
    if unit_label(kind, system) not in UNITS:
        return None
    try:
        return float(displayed(si(quantity(plain, unit_label(kind, system))), kind, system))
    except LabkitError:
        return None


def _is_step(shown: float, span: Span) -> bool:
    """Whether a number is one of the steps of a range."""
    steps = (shown - span.low) / span.step
    return span.low - _SAME < shown < span.high + _SAME and isclose(
        steps, round(steps), abs_tol=_SAME / span.step
    )

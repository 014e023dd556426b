"""A slider with its label, its typed value, its unit and a button for a step either way.

The value is kept in SI, so that a change of units moves no setting. A browser rounds what a slider
shows to its steps and hands that back; so the steps are counted from the value until it is moved.
"""

from collections.abc import Callable
from math import ceil, floor, isclose
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.units import UNIT_SYSTEMS, displayed
from labkit.view.controls import Control, Span
from labkit.view.language import number, say, unit_word
from labkit.view.words import WORDS

LABEL_WIDTH: Final = "15.5em"
_DECIMALS: Final = 2
"""What a browser's slider keeps of a number."""
_SAME: Final = 0.0051
"""A number this near to the one shown is that one, as a browser hands it back."""


class SettingSlider:
    """The slider of one control.

    Parameters
    ----------
    control : Control
        What it turns.
    start : float
        Where it starts [SI].
    system : {"US", "metric"}
        Whose units.
    changed : callable
        Called when a person has moved it.

    Attributes
    ----------
    value : float
        Where it stands [SI].
    slider : FloatSlider
        The slider, in display units.
    box : HBox
        Slider, unit and buttons in a row.
    """

    def __init__(
        self, control: Control, *, start: float, system: str, changed: Callable[[], None]
    ) -> None:
        self.control, self.start, self.value, self.system = control, start, start, system
        self._changed, self._quiet = changed, False
        self.slider = W.FloatSlider(
            style={"description_width": LABEL_WIDTH},
            layout=W.Layout(width="100%", max_width="620px"),
        )
        self.unit = W.HTML(layout=W.Layout(min_width="3.6em"))
        self.less, self.more = _step_button("\N{MINUS SIGN}"), _step_button("+")
        self.box = W.HBox(
            [self.slider, self.unit, self.less, self.more],
            layout=W.Layout(align_items="center", width="100%", max_width="780px"),
        )
        self.box.add_class("labkit-setting")
        self.slider.observe(self._moved, "value")
        self.less.on_click(lambda _: self._step(-1))
        self.more.on_click(lambda _: self._step(1))
        self.use(system)

    def use(self, system: str) -> None:
        """Show the same value in the units of a system."""
        self.system = system
        self._show(self._held(self._span()))
        label, unit = self.control.label(system), unit_word(self.control.kind, system)
        self.slider.description = f"{label} ({unit})"
        self.unit.value = unit
        self.less.tooltip = WORDS["less"].format(name=label)
        self.more.tooltip = WORDS["more"].format(name=label)

    def reset(self) -> None:
        """Go back to the start."""
        self.value = self.start
        self.use(self.system)

    def words(self) -> str:
        """Say where it stands, such as ``"Cut-out 30.0 psi"``."""
        return (
            f"{self.control.label(self.system)} {say(self.value, self.control.kind, self.system)}"
        )

    def ends(self) -> tuple[float, float]:
        """Give the ends of its range [SI]."""
        span = self._span()
        return tuple(
            from_display(end, self.control.kind, self.system) for end in (span.low, span.high)
        )  # type: ignore[return-value]

    def lock(self, *, locked: bool) -> None:
        """Let it be moved or not."""
        for part in (self.slider, self.less, self.more):
            part.disabled = locked

    def _span(self) -> Span:
        """Give its range, stretched by whole steps to hold its start."""
        span = self.control.spans[self.system]
        start = displayed(self.start, self.control.kind, self.system)
        low = span.low - span.step * max(ceil((span.low - start) / span.step - 1e-9), 0)
        high = span.high - span.step * min(floor((span.high - start) / span.step + 1e-9), 0)
        return Span(low, high, span.step)

    def _shown(self) -> float:
        """Give its value in the units in use, as a browser keeps it."""
        return round(displayed(self.value, self.control.kind, self.system), _DECIMALS)

    def _held(self, span: Span) -> Span:
        """Give the range with its steps counted from the value, if that is none of its steps."""
        shown = self._shown()
        if _is_step(shown, span):
            return span
        below, above = (
            floor(max(way, 0.0) / span.step) for way in (shown - span.low, span.high - shown)
        )
        return Span(shown - below * span.step, shown + above * span.step, span.step)

    def _show(self, span: Span) -> None:
        """Show the value in a range; all at once, so that nothing is rounded on the way."""
        decimals = 0 if span.step >= 1.0 else 1 if round(10.0 * span.step, 6) % 1.0 == 0.0 else 2
        if not _is_step(self._shown(), self._span()):
            written = number(self.value, self.control.kind, self.system)
            decimals = max(decimals, len(written.partition(".")[2]))
        self._quiet = True
        try:
            with self.slider.hold_sync():
                self.slider.max = max(span.high, self.slider.max)
                self.slider.min, self.slider.max = span.low, span.high
                self.slider.step = span.step
                self.slider.readout_format = f",.{decimals}f"
                self.slider.value = self._shown()
        finally:
            self._quiet = False

    def _moved(self, change: dict[str, Any]) -> None:
        new, before, span = float(change["new"]), self._shown(), self._span()
        if self._quiet or abs(new - before) < _SAME:
            return
        was_off = not _is_step(before, span)
        if was_off and not _is_step(new, span):  # the first step there, the way it was moved
            turn = floor if new > before else ceil
            new = span.low + span.step * turn((new - span.low) / span.step)
        self.value = from_display(new, self.control.kind, self.system)
        if was_off:
            self._show(self._held(span))
        self._changed()

    def _step(self, way: int) -> None:
        """Go a step, within the range."""
        wanted = self.slider.value + way * self.slider.step
        self.slider.value = round(min(max(wanted, self.slider.min), self.slider.max), _DECIMALS)


def from_display(shown: float, kind: str, system: str) -> float:
    """Turn a number in a display unit into SI."""
    unit = UNIT_SYSTEMS[system][kind]
    return unit.factor * shown + unit.offset


def _is_step(shown: float, span: Span) -> bool:
    """Say whether a number is one of the steps of a range."""
    steps = (shown - span.low) / span.step
    return span.low - _SAME < shown < span.high + _SAME and isclose(
        steps, round(steps), abs_tol=_SAME / span.step
    )


def _step_button(words: str) -> Any:
    return W.Button(description=words, layout=W.Layout(width="34px", min_width="34px"))

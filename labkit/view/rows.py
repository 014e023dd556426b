"""The row of one control on a bench: a slider for a range, a list for a choice."""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.errors import LabkitError
from labkit.site import Site
from labkit.sun import Sun
from labkit.view.controls import Choice, Control
from labkit.view.sliders import LABEL_WIDTH, SettingSlider


class SettingChoice:
    """The list of one choice; the same to a bench as a `SettingSlider`.

    Parameters
    ----------
    control : Choice
        What it turns.
    options : tuple of str
        What can be chosen.
    start : str
        What is chosen at first; it is added to the options if it is none of them.
    changed : callable
        Called when a person has chosen.

    Attributes
    ----------
    value : str
        What is chosen.
    slider : Dropdown
        The list.
    box : HBox
        The list in its row.
    """

    def __init__(
        self,
        control: Choice,
        options: tuple[str, ...],
        *,
        start: str,
        changed: Callable[[], None],
    ) -> None:
        self.control, self.start, self.value = control, start, start
        self._changed, self._quiet = changed, False
        self._options = options if start in options else (start, *options)
        self.slider = W.Dropdown(
            options=[(control.option_words(option), option) for option in self._options],
            value=start,
            description=control.words,
            style={"description_width": LABEL_WIDTH},
            layout=W.Layout(width="100%", max_width="620px"),
        )
        self.box = W.HBox([self.slider], layout=W.Layout(width="100%", max_width="780px"))
        self.box.add_class("labkit-setting")
        self.slider.observe(self._moved, "value")

    def use(self, system: str) -> None:
        """Show the same choice in the units of a system: words have none."""

    def reset(self) -> None:
        """Go back to the start."""
        self.value, self._quiet = self.start, True
        try:
            self.slider.value = self.start
        finally:
            self._quiet = False

    def words(self) -> str:
        """Say what is chosen, such as ``"Pump centrifugal"``."""
        return f"{self.control.words} {self.control.option_words(self.value)}"

    def ends(self) -> tuple[str, ...]:
        """Give all that can be chosen."""
        return self._options

    def lock(self, *, locked: bool) -> None:
        """Let it be changed or not."""
        self.slider.disabled = locked

    def _moved(self, change: dict[str, Any]) -> None:
        if not self._quiet:
            self.value = str(change["new"])
            self._changed()


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
    """Give the sites at the ends of each row, the other rows left as they start."""
    for row in rows:
        apply: Callable[..., tuple[Site, Sun]] = row.control.apply
        for value in row.ends():
            try:
                yield apply(site, sun, value)[0]
            except LabkitError:  # an end that this site cannot take says so when it is tried
                continue

"""The bench: sliders, one sentence, and the two linked pictures of the run they give."""

import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from IPython.core.getipython import get_ipython
from IPython.display import display

from labkit.engine.run import simulate
from labkit.engine.warm import is_warm
from labkit.errors import LabkitError
from labkit.sun import Sun, as_sun
from labkit.units import Quantity, quantity, si
from labkit.view.controls import Choice, Control, apply_all, control_named
from labkit.view.language import MINUTE
from labkit.view.limits import Limits
from labkit.view.moment import telling_moment
from labkit.view.page import Page
from labkit.view.rows import row_of, sites_at_ends
from labkit.view.shown import Shown
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace

Run = Callable[["Site", Sun], "Trace"]
"""What a bench calls for each setting."""

_OPEN: Final[dict[str, "Bench"]] = {}
"""The bench that stands under each name: running a cell again closes the one before."""


class Bench:
    """Sliders over one site, and the run that they give; made with `bench`.

    Attributes
    ----------
    sliders : dict
        The sliders and lists by the names of their controls, in display units.
    page : Page
        The other widgets: units, reset, status line, picture, moment.
    system : {"US", "metric"}
        Whose units are shown.
    site, sun, trace : Site, Sun, Trace or None
        Of the last good run; None before the first.
    error : Exception or None
        Why the setting that stands could not be run.
    """

    def __init__(
        self,
        site: "Site",
        sun: Sun,
        controls: Sequence[Control | Choice],
        *,
        run: Run,
        system: str = "US",
        question: str = "",
        whole: float = 0.0,
    ) -> None:
        self._start, self._run, self._whole = (site, sun), run, whole
        self._lock, self._held, self._stands = threading.RLock(), 0, False
        self._chosen: float | None = None
        self._shown: Shown | None = None
        self._heard: list[Callable[[], None]] = []
        self.system, self.site, self.sun = system, site, sun
        self.trace: Trace | None = None
        self.error: Exception | None = None
        self._rows = {
            control.name: row_of(control, site, sun, system=system, changed=self._on_setting)
            for control in controls
        }
        rows = [row.box for row in self._rows.values()]
        self.page = Page(rows, question=question, system=system, on_paper=self.snapshot_html)
        self.page.moment.observe(self._on_moment, "value")
        self.page.units.observe(self._on_units, "value")
        self.page.reset.on_click(self._on_reset)

    @property
    def sliders(self) -> dict[str, Any]:
        """The sliders and lists by the names of their controls."""
        return {name: row.slider for name, row in self._rows.items()}

    @property
    def text(self) -> str:
        """The sentence about the last good run."""
        return self._shown.text if self._shown else ""

    @property
    def alt(self) -> str:
        """The words that stand for the picture."""
        return self._shown.alt if self._shown else ""

    @property
    def png_bytes(self) -> bytes:
        """The picture as a PNG; empty before the first good run."""
        return self._shown.png if self._shown else b""

    def picture_png(self) -> bytes:
        """Give the picture as it stands, as a PNG."""
        return self.png_bytes

    def snapshot_html(self) -> str:
        """Give the picture and what is counted in it as plain HTML: on paper questions follow."""
        return self._shown.snapshot(judged=False) if self._shown else ""

    @contextmanager
    def together(self) -> Iterator[None]:
        """Move several sliders and run once, at the end."""
        with self._lock:
            self._held += 1
        try:
            yield
        finally:
            with self._lock:
                self._held -= 1
            self._on_setting()

    def update(self) -> None:
        """Run the line as the sliders stand, and show what happens."""
        with self._lock:
            values = [(row.control, row.value) for row in self._rows.values()]
            try:
                site, sun = apply_all(self._start, values)
                self._take(self._run(site, sun))
                self.site, self.sun, self.error = site, sun, None
                for hear in self._heard:
                    hear()
            except LabkitError as error:
                self._complain(error, str(error))
            except Exception as error:  # noqa: BLE001 - a callback's error would reach no learner
                self._complain(error, WORDS["unexpected"].format(what=type(error).__name__))

    def listen(self, hear: Callable[[], None]) -> None:
        """Call `hear` after every good run."""
        self._heard.append(hear)

    def lock(self) -> None:
        """Hold the sliders until a prediction is made."""
        self._set_locked(locked=True)

    def unlock(self) -> None:
        """Let the sliders move, and look at the most telling moment again."""
        self._chosen = None
        self._set_locked(locked=False)

    def close(self) -> None:
        """Take the bench off the page."""
        for slider in self.sliders.values():
            slider.unobserve_all()
        self.page.close()

    def prepare(self) -> None:
        """Before the engine compiles for the first time, stand on the page and say what goes on."""
        self.page.say(WORDS["preparing"])
        if get_ipython() is not None:
            display(self.page.box)  # type: ignore[no-untyped-call]
            self._stands = True

    def _ipython_display_(self) -> None:
        """Show itself as the result of a cell, unless it stands there already."""
        if not self._stands:
            display(self.page.box)  # type: ignore[no-untyped-call]
        self._stands = False

    def _on_setting(self) -> None:
        """Run again when a setting changed; synchronous, so the last value always shows."""
        with self._lock:
            if not self._held:
                self.update()

    def _on_moment(self, change: dict[str, Any]) -> None:
        """Move the cursor; nothing is run."""
        with self._lock:
            if self._held or self._shown is None or not self.page.is_moved(change["new"]):
                return
            self._chosen = MINUTE * float(change["new"])
            self._shown.point(self._chosen, self._settings())
            self.page.view.value = self._shown.image()

    def _on_units(self, change: dict[str, Any]) -> None:
        """Show the same run in other units; nothing is run."""
        with self._lock:
            self.system = str(change["new"])
            for row in self._rows.values():
                row.use(self.system)
            if self.trace is not None:
                self._take(self.trace)

    def _on_reset(self, _button: object = None) -> None:
        with self._lock:
            self._chosen = None
            for row in self._rows.values():
                row.reset()
            self.update()
            if self.error is None:
                self.page.say(WORDS["reset done"] + self.text)

    def _set_locked(self, *, locked: bool) -> None:
        for row in self._rows.values():
            row.lock(locked=locked)
        self.page.lock(locked=locked)

    def _complain(self, error: Exception, words: str) -> None:
        """Say what is wrong with a setting; the picture stays."""
        self.error = error
        kept = WORDS["kept"] if self._shown else ""
        self.page.warn(WORDS["problem"].format(what=words.rstrip(".")) + kept)

    def _take(self, trace: "Trace") -> None:
        """Show a run in the units in use."""
        if self._shown is None or self._shown.system != self.system:
            self._shown = Shown(trace, self.system, whole=self._whole, reach=self._reach(trace))
        time = telling_moment(trace) if self._chosen is None else self._chosen
        self._shown.take(trace, time, self._settings())
        self.trace = trace
        self._held += 1  # the cursor is set here, not by a person
        self.page.place_moment(time / MINUTE, last=float(trace.time[-1]) / MINUTE)
        self._held -= 1
        self.page.say(self._shown.text, beneath=self._shown.so_far)
        self.page.view.value = self._shown.image()

    def _settings(self) -> str:
        """Say how the sliders stand."""
        return "; ".join(row.words() for row in self._rows.values())

    def _reach(self, trace: "Trace") -> Iterator[Limits]:
        """Give limits that hold everything that can be set."""
        for site in sites_at_ends(self._rows.values(), *self._start):
            yield Limits.of_site(site, clock=trace.clock)


def bench(
    site: "Site",
    controls: Sequence[str | Control | Choice] = (
        "irradiance",
        "head",
        "switch differential",
        "leak size",
    ),
    *,
    duration: str | Quantity = "1 hour",
    sun: Sun | str | Quantity = "700 W/m^2",
    start: str = "12:00",
    levels: Mapping[str, str | Quantity] | None = None,
    units: str = "US",
    question: str = "",
    name: str = "",
    simulate: Callable[..., "Trace"] = simulate,
) -> Bench:
    """Give sliders over a site with the run that they make, for a notebook.

    Parameters
    ----------
    site : Site
        Where the bench starts; it is never changed.
    controls : sequence of str, Control or Choice
        What can be turned, see `labkit.view.controls`.
    duration : str or Quantity
        How long a run is.
    sun : Sun, str or Quantity
        The sun, or a constant irradiance on the array.
    start : str
        Time of day at which a run begins.
    levels : dict, optional
        Depth of water in troughs at the start; the others are full to the float.
    units : {"US", "metric"}
        Whose units at first.
    question : str, optional
        What to find out, shown above the sliders.
    name : str, optional
        What the bench goes by: a second one of the same name closes the first. Left out, the
        site's title, the controls and the question.
    simulate : callable
        What runs the line.

    Raises
    ------
    SiteError
        If a control or the sun is none that is known.
    """
    chosen = [control_named(control) for control in controls]
    light = as_sun(sun, site)

    def run(changed: "Site", its_sun: Sun) -> "Trace":
        return simulate(changed, duration, sun=its_sun, start=start, levels=levels)

    key = name or "|".join([site.title, *(control.name for control in chosen), question])
    if key in _OPEN:
        _OPEN.pop(key).close()
    whole = si(quantity(duration, "s"))
    made = Bench(site, light, chosen, run=run, system=units, question=question, whole=whole)
    _OPEN[key] = made
    if not is_warm():
        made.prepare()
    made.update()
    return made

"""The bench: what can be turned beside the run that it gives, painted in the page."""

import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Final

from IPython.core.getipython import get_ipython
from IPython.display import display
from typing_extensions import override

from labkit.engine.run import simulate
from labkit.engine.warm import is_warm
from labkit.errors import LabkitError
from labkit.figures.limits import Limits
from labkit.figures.scene import Grip, Scene, grip_heights, scene_of
from labkit.site import Site
from labkit.sun import Sun, as_sun
from labkit.text.shared import WORDS
from labkit.trace import Trace
from labkit.units import Quantity, quantity, si
from labkit.view.controls import FAR_TROUGH, Choice, Control, apply_all, control_named
from labkit.view.page import Followed, Page, Row, SettingSlider, from_display, row_of, sites_at_ends

Run = Callable[[Site, Sun], Trace]  # what a bench calls for each setting


ChartHtml = Callable[[Site, Sun, str], str]
"""Draws a chart for a site, its sun and units, as HTML."""

_OPEN: Final[dict[str, "Bench"]] = {}
"""The bench that stands under each name: running a cell again closes the one before."""


class Bench(Followed):
    """Sliders over one site, and the run that they give; made with `bench`.

    Attributes
    ----------
    sliders : dict
        What can be turned by the names of their controls; ``.value`` is in display units.
    site, sun, trace : Site, Sun, Trace or None
        Of the last good run; None before the first.
    scene : Scene or None
        What is painted of it.
    error : Exception or None
        Why the setting that stands could not be run.
    """

    def __init__(
        self,
        site: Site,
        sun: Sun,
        controls: Sequence[Control | Choice],
        *,
        run: Run,
        system: str = "US",
        question: str = "",
        whole: float = 0.0,
    ) -> None:
        super().__init__(system)
        self._start, self._run, self._whole = (site, sun), run, whole
        self._lock, self._held, self._stands = threading.RLock(), 0, False
        self._limits: Limits | None = None
        self._grips: dict[str, dict[str, Grip]] = {}
        self._charts: list[ChartHtml] = []
        self.site, self.sun = site, sun
        self.trace: Trace | None = None
        self.scene: Scene | None = None
        self.error: Exception | None = None
        self.sliders: dict[str, Row] = {
            control.name: row_of(control, site, sun, system=system, changed=self.on_setting)
            for control in controls
        }
        self.page = Page(
            self.sliders, question=question, system=system, turned=self, on_paper=self.snapshot_html
        )

    @property
    def text(self) -> str:
        """The sentences about the last good run."""
        return self.scene.text if self.scene else ""

    @property
    def alt(self) -> str:
        """The words that stand for the picture."""
        return self.scene.alt if self.scene else ""

    def picture_png(self) -> bytes:
        """Return the picture as it stands, as a PNG."""
        from labkit.figures.paper import scene_png  # noqa: PLC0415 - matplotlib takes a while

        return scene_png(self.scene) if self.scene else b""

    def snapshot_html(self) -> str:
        """Return the picture and what is counted in it as plain HTML: on paper questions follow."""
        from labkit.figures.paper import scene_html  # noqa: PLC0415

        return scene_html(self.scene, judged=False) if self.scene else ""

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
            self.on_setting()

    def update(self) -> None:
        """Run the line as the sliders stand, and show what happens."""
        with self._lock, self.page.together():
            values = [(row.control, row.si) for row in self.sliders.values()]
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

    def follow(self, chart: ChartHtml) -> None:
        """Let a chart stand under the picture and follow the runs."""
        self._charts.append(chart)
        self.page.has_charts = True
        self.page.send()

    def close(self) -> None:
        """Take the bench off the page."""
        self._run = _no_run
        self.page.close()

    def prepare(self) -> None:
        """Before the engine compiles for the first time, stand on the page and say what goes on."""
        self.page.say(WORDS["preparing"])
        if get_ipython() is not None:
            display(self.page.box)  # type: ignore[no-untyped-call]
            self._stands = True

    def on_setting(self) -> None:
        """Run again when a setting changed; synchronous, so the last value always shows."""
        with self._lock:
            if not self._held:
                self.update()

    @override
    def _turn_units(self, system: str) -> None:
        with self._lock:
            super()._turn_units(system)

    def on_reset(self) -> None:
        """Send everything back to the start."""
        with self._lock, self.page.together():
            for row in self.sliders.values():
                row.reset()
            self.update()
            if self.error is None:
                self.page.say(WORDS["reset done"])

    def draw_charts(self) -> str:
        """Return the charts of the last good run."""
        with self._lock:
            return "".join(chart(self.site, self.sun, self.system) for chart in self._charts)

    def _ipython_display_(self) -> None:
        """Show itself as the result of a cell, unless it stands there already."""
        if not self._stands:
            display(self.page.box)  # type: ignore[no-untyped-call]
        self._stands = False

    @override
    def _show(self) -> None:
        if self.trace is not None:
            self._take(self.trace)

    def _complain(self, error: Exception, words: str) -> None:
        """Say what is wrong with a setting; the picture stays."""
        self.error = error
        kept = WORDS["kept"] if self.page.scene else ""
        self.page.warn(WORDS["problem"].format(what=words.rstrip(".")) + kept)

    def _take(self, trace: Trace) -> None:
        """Show a run in the units in use."""
        if self._limits is None:
            self._limits = self._reach(trace)
        wanted = self._limits.holding(Limits.of_trace(trace))
        if wanted != self._limits:
            self._limits = wanted.with_room(self._limits)
        self.scene = scene_of(
            trace,
            self.system,
            limits=self._limits,
            grips=self._grips_now(),
            settings="; ".join([row.words() for row in self.sliders.values()]),
            whole=self._whole,
        )
        self.trace = trace
        self.page.take(self.scene)

    def _reach(self, trace: Trace) -> Limits:
        """Return limits that hold everything that can be set."""
        limits = Limits.of_trace(trace)
        for site in sites_at_ends(self.sliders.values(), *self._start):
            limits = limits.holding(Limits.of_site(site, clock=trace.clock))
        return limits

    def _grips_now(self) -> dict[str, Grip]:
        """Return what can be taken hold of in the picture, found once for each system of units."""
        if self.system not in self._grips:
            self._grips[self.system] = dict(self._find_grips())
        return self._grips[self.system]

    def _find_grips(self) -> Iterator[tuple[str, Grip]]:
        """Try how far each thing in the picture goes when its slider goes a step."""
        site, sun = self._start
        for row in self.sliders.values():
            if not isinstance(row, SettingSlider) or not row.control.grip:
                continue
            control, grip = row.control, row.control.grip
            name = site.farthest().name if grip == FAR_TROUGH else grip
            if name == "sun":
                yield name, Grip(control=control.name, per=1.0)
                continue
            step = row.step if row.value + row.step <= row.max else -row.step
            way = from_display(step, control.kind, self.system)
            turned = row.si + way - from_display(0.0, control.kind, self.system)
            try:
                before, after = (
                    grip_heights(control.apply(site, sun, value)[0], self.system)[name]
                    for value in (row.si, turned)
                )
            except LabkitError:  # where a step cannot be taken, there is nothing to hold
                continue
            if after != before:
                yield name, Grip(control=control.name, per=step / (after - before))


def _no_run(_site: Site, _sun: Sun) -> Trace:
    """Stand for the run of a bench that is closed."""
    raise LabkitError(WORDS["closed bench"])


def bench(
    site: Site,
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
    simulate: Callable[..., Trace] = simulate,
) -> Bench:
    """Return sliders over a site with the run that they make, for a notebook.

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

    def run(changed: Site, its_sun: Sun) -> Trace:
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

"""What a lesson shows beside its bench: a run in the page, the paper twin of a chart."""

import html
from collections.abc import Callable
from typing import TYPE_CHECKING

from IPython.core.getipython import get_ipython
from IPython.display import display

from labkit.figures.scene import scene_of
from labkit.view.page import Page
from labkit.view.printed import PrintableBox

if TYPE_CHECKING:
    from labkit.trace import Trace


class RunView:
    """A run that can be played in the page, and stands as a picture on paper."""

    def __init__(
        self,
        trace: "Trace",
        system: str,
        *,
        moment: float | None,
        whole: float,
        explains: bool,
        is_paper: bool,
        is_waiting: Callable[[], bool],
    ) -> None:
        self._trace, self._explains, self._is_paper = trace, explains, is_paper
        self._moment, self._whole, self._is_waiting = moment, whole, is_waiting
        # whether it must be made anew when a prediction is kept
        self.waits = explains or whole > 0.0
        # what stands on the page
        self.page = Page({}, question="", system=system, turned=None, on_paper=self._on_paper)
        self.page.box.is_screen_only = not is_paper
        self.use(system)
        if get_ipython() is not None:
            display(self.page.box)  # type: ignore[no-untyped-call]

    @property
    def text(self) -> str:
        """Its words."""
        return html.escape(self.page.text)

    def use(self, system: str) -> None:
        """Show it in the units of a system, or with what has changed."""
        with self.page.together():
            self.page.system = system
            scene, waiting = None, self._is_waiting()
            if not (self._explains and waiting):
                scene = scene_of(
                    self._trace,
                    system,
                    moment=self._moment,
                    whole=self._whole,
                    rest="so far" if waiting or self._is_paper else "so far predicted",
                )
            self.page.take(scene)

    def _on_paper(self) -> str:
        from labkit.figures.paper import scene_html  # noqa: PLC0415 - matplotlib takes a while

        return scene_html(self.page.scene) if self.page.scene else ""


class ChartPlace:
    """Where a chart that follows a bench stands on paper; in the page it stands under the bench."""

    waits = False  # whether it must be made anew when a prediction is kept: the bench sees to that

    def __init__(self, make: Callable[[], str], *, is_paper: bool) -> None:
        self._make = make
        if is_paper and get_ipython() is not None:
            display(PrintableBox([], on_paper=make))  # type: ignore[no-untyped-call]

    @property
    def text(self) -> str:
        """Its HTML."""
        return self._make()

    def use(self, system: str) -> None:
        """Show it in the units of a system: the bench does."""

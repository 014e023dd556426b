"""A page that teaches: prose, predictions, a bench, questions, all in one reader's units."""

import contextlib
import datetime as dt
import html
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final, Protocol

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.core.getipython import get_ipython
from IPython.core.magic import no_var_expand
from IPython.display import HTML, DisplayObject, Markdown, display

from labkit.engine.run import simulate
from labkit.errors import LabkitError
from labkit.figures.scene import scene_of
from labkit.questions import Question
from labkit.questions.bank import over_bench
from labkit.questions.marking import Outcome
from labkit.questions.progress import keep_state, progress_file, read_progress
from labkit.questions.returning import AT_ONCE, PAGE, Due, due
from labkit.text import sentence
from labkit.text.shared import WORDS
from labkit.units import quantity, si
from labkit.view.asking import PredictionWidget, QuestionWidget, compared
from labkit.view.bench import Bench, bench
from labkit.view.keeping import ProgressStore
from labkit.view.numbered_page import NumberedPage
from labkit.view.page import Page, paragraph
from labkit.view.tell_cell import read_cell
from labkit.view.telling import LiveOutput, inline_markup
from labkit.view.widgets import PrintableBox, units_choice

if TYPE_CHECKING:
    from labkit.advice.stop_methods import StopCase
    from labkit.questions import ChoiceQuestion, NumberQuestion
    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.trace import Trace
    from labkit.units import Quantity
    from labkit.view.charts.base import Chart
    from labkit.view.stop_method_bench import StopMethodBench


class Returning:
    """A question or two from earlier on; nothing where none is due."""

    def __init__(self, system: str) -> None:
        self.asked: list[QuestionWidget] = []
        self.box = W.VBox([])
        self._today = dt.datetime.now().astimezone().date()
        due_now: tuple[Due, ...] = ()
        with contextlib.suppress(LabkitError):  # the page's own note says why nothing can be read
            due_now = due(read_progress(progress_file()), self._today)
        for one in due_now[:AT_ONCE]:
            question = one.question()
            if question is not None:
                self._ask(one, question, system)
        if self.asked:
            title = f"<h4>{html.escape(sentence('returning', 'title', count=len(self.asked)))}</h4>"
            note = paragraph(sentence("returning", "note"))
            self.box.children = [W.HTML(title + note), *(asked.box for asked in self.asked)]

    def use(self, system: str) -> None:
        """Write the questions in the units of a system."""
        for asked in self.asked:
            asked.use(system)

    def _ask(self, one: Due, question: "NumberQuestion | ChoiceQuestion", system: str) -> None:
        answered: list[bool] = []

        def hear() -> None:
            marked = asked.marked
            if marked is None or answered or marked.outcome is Outcome.UNREAD:
                return
            answered.append(marked.is_right)  # the first answer counts; the next ones are practice
            kept = one.answered(self._today, is_right=marked.is_right)
            with contextlib.suppress(LabkitError):  # as above
                keep_state(progress_file(), PAGE, one.part, kept)

        asked: QuestionWidget = QuestionWidget(question, system, heard=hear)
        self.asked.append(asked)


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


NOTHING: Final = Markdown("")  # type: ignore[no-untyped-call]
"""What stands for something that waits."""


class Shows(Protocol):
    """What can be shown with `Lesson.show`."""

    def html(self) -> str:
        """Return it as an element of HTML."""
        ...


class Lesson:
    """What the cells of a lesson put on its page; once it has begun, a cell can be ``%%tell``.

    What would give a prediction away waits until all of them are kept: the benches, what follows
    them, the pages that were handed to `hold`, and all that is told after `compare`. Nothing waits
    on paper, where nobody can be held back; there a new sheet begins (`labkit.view.handout`).

    Attributes
    ----------
    name : str
        The page's, such as ``"lesson 1"``, by which its answers are kept and its bank is found.
    system : {"US", "metric"}
        Whose units are shown.
    keeper : ProgressStore
        Keeps the answers, if the page has a name.
    units : ToggleButtons
        The one choice of units for the whole page.
    predictions, questions : list
        What was asked so far, before the run and after it.
    told : list of LiveOutput, RunView or ChartPlace
        The prose and pictures so far.
    benches : list of Bench or StopMethodBench
        The benches so far.
    held : list of NumberedPage
        Other pages that wait, such as the rig.
    returning : Returning or None
        Questions that come back on this visit, if the page has a name.
    """

    def __init__(self, page: str = "", *, system: str = "US") -> None:
        self.name = page
        self.keeper = ProgressStore(page)
        before = str(self.keeper.state("page").get("units"))
        self.system = system = before if before in {"US", "metric"} else system
        self.units = units_choice(system)
        self.units.add_class("labkit-page-units")
        self.units.observe(lambda change: self.use(str(change["new"])), "value")
        self.predictions: list[PredictionWidget] = []
        self.questions: list[QuestionWidget] = []
        self.told: list[LiveOutput | RunView | ChartPlace] = []
        self.benches: list[Bench | StopMethodBench] = []
        self.held: list[NumberedPage] = []
        self.returning = Returning(system) if page else None
        self._is_paper = self._explains = False
        self._learner = ""
        self._tell_cells: set[str] = set()
        shell: Any = get_ipython()
        if shell is not None:
            shell.register_magic_function(self._on_tell_cell, "cell", "tell")

    @property
    def is_waiting(self) -> bool:
        """Whether a prediction is still to be made; on paper nothing waits for that."""
        return not self._is_paper and not all(one.is_kept for one in self.predictions)

    def use(self, system: str) -> None:
        """Show everything on the page in the units of a system."""
        if system == self.system:
            return
        self.system = self.units.value = system
        self.keeper.leave("page", {"units": system})
        for part in (*self.predictions, *self.questions, *self.told, *self.benches):
            part.use(system)
        if self.returning is not None:
            self.returning.use(system)

    def for_paper(self, learner: str = "") -> None:
        """Show from here on what a sheet of paper needs: all of it, though nobody predicts.

        `learner` is the number by which the drill brings its call; empty for a sheet that fits any.
        """
        self._is_paper, self._learner = True, learner
        self.keeper = ProgressStore("")  # nobody's answers belong on a sheet

    @no_var_expand
    def _on_tell_cell(self, head: str, words: str) -> None:
        """Write what a ``%%tell`` cell holds, see `labkit.view.tell_cell`.

        One that is run again has been changed by somebody who knows its words: they wait no longer.
        """
        shell: Any = get_ipython()
        cell = getattr(shell, "parent_header", {}).get("metadata", {}).get("cellId")
        is_changed = cell in self._tell_cells
        self._tell_cells |= {cell} - {None}
        try:
            told = read_cell(head, words, shell.user_ns)
        except LabkitError as mistake:
            if self._is_paper:
                raise
            first, rest = str(mistake)[0].upper(), html.escape(str(mistake)[1:], quote=False)
            said = WORDS["told wrongly"].format(mistake=first + rest)
            note = HTML(f'<p class="labkit-mistake" role="alert">{said}</p>')  # type: ignore[no-untyped-call]
            display(note)  # type: ignore[no-untyped-call]
            return
        self._put(told.markdown, at_once=is_changed)

    def picture(
        self, trace: "Trace", *, moment: float | None = None, whole: "str | Quantity" = "0 s"
    ) -> None:
        """Show a run at a moment [s]; left out, at the most telling.

        One that is shorter than the `whole` run is only begun, and not judged.
        """
        view = RunView(
            trace,
            self.system,
            moment=moment,
            whole=si(quantity(whole, "s")),
            explains=self._explains,
            is_paper=self._is_paper,
            is_waiting=lambda: self.is_waiting,
        )
        self.told.append(view)

    def chart(
        self, chart: "Chart | Callable[[Site, Sun], Chart]", *, follows: Bench | None = None
    ) -> None:
        """Show a chart; one that follows a bench is made anew for each of its runs.

        It stands under the bench's picture and stays back until all predictions are made. For it,
        `chart` is what makes it from the site and the sun of the bench.
        """
        from labkit.view.charts.base import chart_figure  # noqa: PLC0415 - matplotlib is slow

        if follows is None:
            self._put(lambda system: HTML(chart_figure(chart, system)))  # type: ignore[no-untyped-call,arg-type]
            return

        def drawn(site: "Site", sun: "Sun", system: str) -> str:
            if self.is_waiting:
                return f"<p>{inline_markup(WORDS['chart waits'])}</p>"
            return chart_figure(chart(site, sun), system)  # type: ignore[operator]

        follows.follow(drawn)
        place = ChartPlace(
            lambda: drawn(follows.site, follows.sun, self.system), is_paper=self._is_paper
        )
        self.told.append(place)

    def show(self, made: "Callable[[str], Shows]") -> None:
        """Show what is made for a system of units and knows its own HTML, such as a table."""

        def page(system: str) -> HTML:
            return HTML(made(system).html())  # type: ignore[no-untyped-call]

        self._put(page)

    def _put(self, make: Callable[[str], DisplayObject], *, at_once: bool = False) -> LiveOutput:
        """Put something on the page; what explains the outcome waits for the predictions."""
        waits = self._explains and not at_once

        def shown(system: str) -> DisplayObject:
            return NOTHING if waits and self.is_waiting else make(system)

        told = LiveOutput(shown, self.system, waits=waits)
        self.told.append(told)
        return told

    def predict(self, question: Question) -> PredictionWidget:
        """Ask before the run; the answer is kept and the benches wait for it."""
        asked = PredictionWidget(question, self.system, heard=lambda: self._on_prediction(asked))
        self.keeper.recall(asked)
        self.predictions.append(asked)
        if self.is_waiting:  # what stands above did not know yet that it is to be predicted
            self._tell_anew()
        return asked

    def ask(self, question: Question) -> QuestionWidget:
        """Ask, and mark the answer at once."""
        asked = QuestionWidget(question, self.system, heard=lambda: self.keeper.mark(asked))
        self.keeper.recall(asked)
        self.questions.append(asked)
        return asked

    def bench(
        self,
        site: "Site",
        *args: Any,
        so_far: "str | Quantity | None" = None,
        asks: str = "bench",
        **options: Any,
    ) -> Bench:
        """Return a bench that shows the run `so_far`, and all of it once predictions are made.

        Over it stands what the table `asks` of the page's file in the bank asks. Controls and other
        parameters as in `labkit.view.bench.bench`.
        """

        def run(changed: "Site", whole: "str | Quantity", **more: Any) -> "Trace":
            length = so_far if so_far is not None and self.is_waiting else whole
            return simulate(changed, length, **more)

        question = over_bench(self.name, asks)
        options |= {"units": self.system, "question": question, "simulate": run}
        made = bench(site, *args, **options)
        self._stand(made)
        return made

    def weigh(self, case: "StopCase", *, asks: str = "bench") -> "StopMethodBench":
        """Return a bench that weighs the three ways to say stop, once predictions are made."""
        from labkit.view.stop_method_bench import StopMethodBench  # noqa: PLC0415 - one lesson needs it

        made = StopMethodBench(case, system=self.system, question=over_bench(self.name, asks))
        self._stand(made)
        return made

    def _stand(self, made: "Bench | StopMethodBench") -> None:
        """Let a bench wait for predictions and follow the units of the page."""
        made.page.box.is_screen_only = not self._is_paper  # drawing takes longer than all the rest
        if self.is_waiting:
            made.lock()
        part = f"bench {len(self.benches) + 1}"
        self.keeper.follow(made, part, put_back=not self.is_waiting)
        made.listen_to_units(self.use)
        self.benches.append(made)

    def hold(self, page: NumberedPage) -> None:
        """Let a page such as the rig or the drill wait for the predictions and follow the units."""
        page.box.is_screen_only = not self._is_paper  # its sheet takes seconds to work out
        page.follow(self.units)
        page.lock(locked=self.is_waiting)
        if self._learner:
            page.begin(self._learner)
        elif not self._is_paper:
            page.come_back(self.keeper)
        self.held.append(page)

    def surge_bench(self, *args: Any, asks: str = "bench", **options: Any) -> Bench:
        """Return a bench for the wave that a shutting float valve makes, once predictions are made.

        Other parameters as in `labkit.view.surge_bench.SurgeBench`.
        """
        from labkit.view.surge_bench import SurgeBench  # noqa: PLC0415 - few lessons need waves

        options |= {"system": self.system, "question": over_bench(self.name, asks)}
        made = SurgeBench(*args, **options)
        self._stand(made)
        made.update()
        return made

    def compare(self) -> None:
        """Hold every prediction against what the run showed, now and when one is made later.

        What is told after this explains the outcome: it waits for the predictions.
        """

        def comparison(system: str) -> DisplayObject:
            return compared(self.predictions, system, on_paper=self._is_paper)

        self.told.append(LiveOutput(comparison, self.system, waits=True))
        self._explains = True

    def _on_prediction(self, made: PredictionWidget) -> None:
        """Keep a prediction, write it where it is compared, let the benches go after the last."""
        self.keeper.predict(made)
        self._tell_anew()
        if self.is_waiting:
            return
        for one in self.benches:
            one.unlock()
            one.update()
        for page in self.held:
            page.lock(locked=False)

    def _tell_anew(self) -> None:
        """Make anew what hangs on whether the predictions are made."""
        for part in self.told:
            if part.waits:
                part.use(self.system)

    def _ipython_display_(self) -> None:
        """Show the choice of units as the result of a cell."""
        kept = PrintableBox([self.units, self.keeper.note, self.keeper.again], on_paper=str)
        kept.add_class("labkit-page-note")
        if self.returning is not None and self.returning.asked:
            kept.children = [*kept.children, self.returning.box]
        display(kept)  # type: ignore[no-untyped-call]

"""The page of the commissioning rig: hands and eyes, a gauge, a sheet, a handing over, a replay."""

import html
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any, Final

import attrs
import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override

from labkit import rigs
from labkit.advice.remedies import EASIEST_FIRST
from labkit.advice.rules import UNDER_CUT_IN
from labkit.errors import LabkitError, UnitError
from labkit.figures.scene import Scene, scene_of
from labkit.figures.style import BLUE, GREEN, VERMILION
from labkit.language import say_clock
from labkit.pages.looks import look
from labkit.questions import learner_number
from labkit.questions.progress import RIG_VISIT, Plain, Result
from labkit.rigs.rig import HIGHEST_AIR
from labkit.rigs.scoring import MOST
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.units import quantity, si
from labkit.units.customary import PSI
from labkit.view import widgets
from labkit.view.asking import LOOKS
from labkit.view.field_numbers import gauge
from labkit.view.gauge_picture import gauge_tag
from labkit.view.mastery_sheet import sheet_link
from labkit.view.numbered_page import NumberedPage
from labkit.view.page import Page, paragraph
from labkit.view.paper import table_form
from labkit.view.rig_told import (
    amount,
    done,
    heard,
    hint_words,
    last_read,
    left_at,
    others,
    price,
    read_words,
    reading_row,
    say,
    states,
    story,
    undone_words,
    why,
)
from labkit.view.sketches import line_sketch
from labkit.view.tables import list_html, table_html
from labkit.view.window_told import setting_lines

_LOOK: Final = look("rig.css")
_WAITS: Final = (1, 5, 20, 60)
_AMOUNTS: Final = {"quarter": 1, "half": 2, "whole": 4, "double": 8}
_HIGHEST_DIAL: Final = 1.15


class RigPage(NumberedPage):
    """The widgets of a rig; made with `rig`."""

    part = "rig"

    def __init__(self, site: Site | str | None, *, system: str = "US") -> None:
        super().__init__(system, asks=WORDS["drill number"], starts=say("come"))
        self._site = site
        self.rig: rigs.Rig | None = None  # none before a number is given
        self.left: rigs.Handover | None = None  # none since something was changed
        self._hinted, self._problem = "", ""
        self.hands: dict[str, Any] = {}  # buttons, by act: ``"screw out"``, ``"floats elm"``
        amounts = [(say(key), count) for key, count in _AMOUNTS.items()]
        self.amount = widgets.choice_list(say("by"), amounts)
        self.air = widgets.choice_list(say("air-to"), _airs(system))
        remedies = [(say(f"remedy-{kind}"), kind) for kind in EASIEST_FIRST]
        self.remedy = widgets.choice_list(say("remedy"), remedies)
        self.boxes = {
            name: widgets.text_box(say(f"sheet-{name}"), wide="24em") for name in rigs.SHEET
        }
        for box in self.boxes.values():
            box.style.description_width = "14em"  # one under the other
            widgets.on_enter(box, self.write)
        self.story, self.view, self.stands, self.log = (W.HTML() for _ in range(4))
        self.board = W.VBox([])
        self.which = W.ToggleButtons(
            options=[(say(f"run-{one}"), one) for one in ("visit", "clear", "hazy")],
            description=say("run"),
            style={"button_width": "auto", "description_width": "4em"},
        )
        self.replay = Page({}, question="", system=system, turned=None, on_paper=str)
        self.debrief = W.VBox([self.which, self.replay.box])
        self.box = self._laid_out()
        self.which.observe(lambda _: self._play(), "value")

    @override
    def start(self) -> None:
        """Come to the line with the number in the box."""
        self.status.value = paragraph(WORDS["drill wait"])
        self.rig = self.left = None
        try:
            self.rig = rigs.start_rig(learner_number(self.number.value), self._site)
        except LabkitError as error:
            self._problem = widgets.sentence_of(error)
            self.use(self.system)
        else:
            self._show(self.rig, "")
            self._leave()

    @override
    def take_up(self, left: Mapping[str, Plain], acts: Any) -> Callable[[], None]:
        done = [(str(k), str(w), float(n), str(s)) for k, w, n, s in acts]
        number = learner_number(str(left["number"]))
        rig = rigs.done_over(rigs.start_rig(number, self._site), done)

        def go_on() -> None:
            self.rig, self.number.value = rig, str(number)
            self._show(rig, say("as-left"))

        return go_on

    def _show(self, rig: rigs.Rig, words: str) -> None:
        """Put the board and the sheet of a line on the page, and words first."""
        self._hinted, self._problem = "", words
        for name, box in self.boxes.items():
            box.value = self._typed(name, self.system)
        self._deal_out(rig)
        self.use(self.system)

    def _leave(self) -> None:
        if self.rig is not None:
            acts = [[one.key, one.where, one.amount, one.state] for one in self.rig.log[1:]]
            self.keep(acts, number=self.rig.number)

    def do(self, key: str, where: str = "", amount: float = 0.0, state: str = "") -> None:
        """Do something on the line, and write down what is read."""
        if self.rig is None:
            return
        self.left, self._hinted, self._problem = None, "", ""
        try:
            self.rig = self.rig.act(key, where, amount, state)
        except LabkitError as error:
            self._problem = say("not-done", problem=widgets.sentence_of(error))
        self.use(self.system)
        self._leave()

    def write(self) -> None:
        """Take what is in the boxes over to the sheet."""
        if self.rig is None:
            return
        self.left, self._problem = None, ""
        for name, box in self.boxes.items():
            typed = box.value.strip()
            if not typed:
                continue
            try:
                pressure = _pressure(typed, self.system)
            except UnitError:
                example = amount(30.0 * PSI, "pressure", self.system)
                self._problem = say(
                    "sheet-unread", name=box.description, example=example, typed=typed[:40]
                )
                continue
            if abs(self.rig.sheet.get(name, -PSI) - pressure) > 1.0:
                self.rig = self.rig.act("sheet", name, amount=pressure)
        self.use(self.system)
        self._leave()

    def ask(self) -> None:
        """Show a hint."""
        if self.rig is not None:
            self.rig, self.left, self._problem = self.rig.hinted(), None, ""
            self.use(self.system, is_hinted=True)

    def leave(self, remedy: str = "") -> None:
        """Hand the line over to its stock, or with word of what it needs."""
        if self.rig is None:
            return
        self._hinted, self._problem = "", ""
        if self.rig.undone:
            self.left, self._problem = None, undone_words(self.rig)
            self.rig = self.rig.act("leave")
        else:
            self.left = rigs.hand_over(self.rig, remedy)
            self._count(self.rig, self.left)
        self.use(self.system)
        self._leave()

    def _count(self, rig: rigs.Rig, left: rigs.Handover) -> None:
        """Keep a visit that is finished; of each line the first one counts."""
        if any(one.figures.get("number") == rig.number for one in self._visits()):
            return
        figures: dict[str, Plain] = {
            "number": rig.number, "points": left.score, "minutes": left.minutes,
            "readings missed": len(left.missed), "slips": len(left.slips),
            "hints": rig.hints, "kind": ", ".join(rig.kind),
        }  # fmt: skip
        self.keeper.finish(Result(task=RIG_VISIT, passed=left.is_passed, figures=figures))

    @override
    def use(self, system: str, *, is_hinted: bool = False) -> None:
        if system != self.system:
            kept = self.air.value
            self.air.options = _airs(system)
            self.air.value = kept
            for name, box in self.boxes.items():
                box.value = self._typed(name, system)
        self.system = system
        widgets.show(self.rig, self.board)
        if self.rig is None:
            for part in (self.story, self.view, self.stands, self.log, self.said):
                part.value = ""
            widgets.show(None, self.debrief)
            self.status.value = paragraph(self._problem) if self._problem else ""
            return
        rig = self.rig
        self._hinted = hint_words(rigs.hint(rig), system) if is_hinted or self._hinted else ""
        self.story.value = "".join(paragraph(line) for line in story(rig, system))
        last = last_read(rig.log[-1], system)
        clock = say_clock(rig.came + 60.0 * rig.minutes, system)
        now = say("now", clock=clock, worked=f"{rig.worked:g}", tries=rig.tries)
        self.status.value = paragraph(self._problem or f"{last} {now}")
        read = next(one.value for one in rig.log[-1].values if one.name == "gauge")
        highest = _HIGHEST_DIAL * rig.window.dead_head[1]
        self.view.value = gauge_tag(float(read), highest, say("picture", read=last), system)
        self.stands.value = paragraph(" ".join(states(rig, system)))
        self.log.value = log_table(rig, system)
        if self.left is not None:
            self.said.value = left_table(rig, self.left, system) + self._so_far()
        else:
            self.said.value = widgets.edged(BLUE, self._hinted) if self._hinted else ""
        widgets.show(self.left, self.debrief)
        self._play()

    def _typed(self, name: str, system: str) -> str:
        """Write a line of the sheet for its box."""
        written = {} if self.rig is None else self.rig.sheet
        if name not in written:
            return ""
        return amount(written[name], "pressure", system).replace("\N{NO-BREAK SPACE}", " ")

    def _visits(self) -> list[Result]:
        """Return the visits that were finished, as the learner's file has them."""
        return [one for one in self.keeper.results() if one.task == RIG_VISIT]

    def _so_far(self) -> str:
        """Say how many visits were passed so far, as the learner's file has them."""
        finished = self._visits()
        if not finished:
            return ""
        figures = finished[-1].figures
        words = say(
            "kept",
            passed=sum(one.passed for one in finished),
            all=len(finished),
            number=str(figures.get("number", "")),
            score=str(figures.get("points", "")),
        )
        return paragraph(words) + sheet_link()

    def _play(self) -> None:
        """Put the chosen run on the page's own player, what was done marked on the visit's."""
        scene = None
        if self.left is not None and self.rig is not None:
            which = str(self.which.value)
            scene = (
                visit_scene(self.rig, self.system)
                if which == "visit"
                else scene_of(self.left.days[which == "hazy"], self.system)
            )
        with self.replay.together():
            self.replay.system = self.system
            self.replay.take(scene)

    def _deal_out(self, rig: rigs.Rig) -> None:
        """Put buttons for what can be done on this line, each group with its caution."""
        site = rig.site
        least = rig.window.sun.least
        floats = [
            self._hand(state, "float", where=trough.name, state=state)
            for trough in site.troughs
            for state in ("always shut", "always open", "floats")
        ]
        buckets = [self._hand(k, where=t.name) for k in ("bucket", "plug") for t in site.troughs]
        hang = amount(least, "irradiance", self.system)
        sun = [
            self._hand("cloth on", "cloth", amount=least, sun=hang),
            self._hand("cloth off", "cloth"),
        ]
        wires = [
            self._hand(f"{key} {state}", key, state=state)
            for key in ("power", "pair")
            for state in ("off", "on")
        ]
        wires.append(self._hand("meter"))
        cautions = say(f"caution-wires-{site.drive.stop_when}")
        if rig.has_displacement_pump:
            cautions += f" {say('caution-wires-displacement')}"
        valves = ["relief"] if site.relief_valve is not None else []
        pressure = [self._hand(key) for key in (*valves, "bleed", "refill", "test gauge")]
        if rig.air is not None:
            pressure += [
                self._hand("air read", "air"), self.air,
                self._own("air", lambda: self.do("air", amount=float(self.air.value))),
            ]  # fmt: skip
        ways = [("screw", "out", 1), ("screw", "in", -1)]
        ways += [("nut", "in", 1), ("nut", "out", -1)] if rig.has_nut else []
        turns = [self._own(f"{key} {way}", partial(self._turn, key, n)) for key, way, n in ways]
        waits = [self._hand("wait", amount=minutes) for minutes in _WAITS]
        leaving = [
            self._own("hint", self.ask), self._own("hand over", self.leave), self.remedy,
            self._own("hand remedy", lambda: self.leave(str(self.remedy.value)), name="remedy"),
            self._own("again", self.start),
        ]  # fmt: skip
        groups = [
            ("look", "", [*waits, self._hand("day")]),
            ("floats", "", [*floats, *buckets]),
            ("sun", say("caution-sun"), sun),
            ("wires", cautions, wires),
            ("pressure", say("caution-pressure"), pressure),
            ("switch", "", [self.amount, *turns]),
            ("sheet", "", [*self.boxes.values(), self._own("write", self.write)]),
            ("leave", "", leaving),
        ]
        self.board.children = [_group(*group) for group in groups]

    def _turn(self, key: str, sign: int) -> None:
        self.do(key, amount=float(sign * int(self.amount.value)))

    def _hand(
        self,
        words: str,
        key: str = "",
        *,
        where: str = "",
        amount: float = 0.0,
        state: str = "",
        sun: str = "",
    ) -> Any:
        """Make a button that does something on the line, named by its words and what they leave."""
        key = key or words
        minutes = price(key) if key != "wait" else f"{amount:g}"
        name = " ".join(filter(None, (words, where, minutes if key == "wait" else "")))
        said = say(words, where=where, minutes=minutes, sun=sun)
        act = partial(self.do, key, where, float(amount), state)
        self.hands[name] = self.button(said, act)
        return self.hands[name]

    def _own(self, words: str, act: Callable[[], None], *, name: str = "") -> Any:
        """Make a button that does something of the page's, and keep it by a name or its words."""
        key = words.split(maxsplit=1)[0]
        minutes = price(key) if key in ("screw", "nut", "air") else ""
        made = self.hands[name or words] = self.button(say(words, minutes=minutes), act)
        return made

    def _laid_out(self) -> Any:
        asked = widgets.row(self.number, self.start_button, self.units)
        eye = W.VBox([self.view, self.status, self.stands]).add_class("labkit-eye")
        work = W.Box([eye, self.board]).add_class("labkit-work")
        parts = [self.note, asked, self.story, work]
        box = widgets.PrintableBox(
            [*parts, self.said, self.debrief, self.log, widgets.styled(LOOKS, _LOOK)],
            on_paper=lambda: rig_sheet(self._site, self.system, self.rig),
        )
        box.add_class("labkit-rig")
        for part in (self.story, self.status, self.stands, self.said):
            part.add_class("labkit-story")
        widgets.show(None, self.board, self.debrief)
        return box


def visit_scene(rig: rigs.Rig, system: str) -> Scene:
    """Make the scene of a whole visit, with what was done as its events."""
    run = rigs.visit(rig)
    scene = scene_of(run, system, moment=0.0)
    events, acts = [], []
    for number, (at, entry) in enumerate(rigs.marks(rig), start=1):
        events.append([at, f"{number} · {done(entry, system)}"])
        if entry.key != "wait":
            acts.append([at, str(number)])
    parts = {**scene.parts, "events": events, "acts": acts}
    if nights := rigs.folds(rig):
        clock = {"folds": nights, "by_clock": True, "label": WORDS["clock title"]}
        parts["x"] = parts["x"] | clock
        parts["labels"] = parts["labels"] | {"night": WORDS["night"]}
    return attrs.evolve(scene, verdict=None, cautions=(), parts=parts)


def rig(
    site: Site | str | None = None, number: int | str | None = None, *, units: str = "US"
) -> RigPage:
    """Return the page of the commissioning rig, for a notebook.

    Parameters
    ----------
    site : Site or str, optional
        A line, or the name of a demo ranch; left out, each number brings its own line.
    number : int or str, optional
        The learner's own number; left out, the page asks for it.
    units : {"US", "metric"}
        Whose units at first.
    """
    page = RigPage(site, system=units)
    if number is not None:
        page.begin(number)
    return page


def _group(name: str, caution: str, hands: list[Any]) -> Any:
    """Put a row of buttons under its heading and its caution."""
    head = f"<h4>{html.escape(say(f'group-{name}'))}</h4>"
    if caution:
        head += f'<p class="labkit-hurts"><b>{html.escape(WORDS["caution"])}</b> '
        head += f"{html.escape(caution)}</p>"
    return W.VBox([W.HTML(head), widgets.row(*hands)])


def _airs(system: str) -> list[tuple[str, float]]:
    """List the pressures to which the air of a tank can be set."""
    pressures = [PSI * psi for psi in range(2, round(HIGHEST_AIR) + 1)]
    return [(amount(p, "pressure", system), p) for p in pressures]


def _pressure(typed: str, system: str) -> float:
    """Read a pressure; a bare number is in the units that the page shows."""
    bare = typed.replace(".", "", 1).isdecimal()
    unit = "psi" if system == "US" else "kPa"
    return float(si(quantity(f"{typed} {unit}" if bare else typed, "psi")))


_HEADS: Final = ("sheet-try", "when", "did", "heard", "gauge", "pump", "sun", "other")


def log_table(rig: rigs.Rig, system: str) -> str:
    """Write what was done, heard and read, a row for each thing done."""
    rows = []
    for number, entry in enumerate(rig.log, start=1):
        clock = say_clock(rig.came + 60.0 * entry.minutes, system)
        cells = [str(number), clock, done(entry, system)]
        if entry.truth is not None:
            read = read_words(entry, system)
            found = (read.get(name, "") for name in ("gauge", "pump", "sun"))
            cells += [heard(entry, system), *found, others(entry, system)]
        rows.append([*cells, *[""] * (len(_HEADS) - len(cells))])
    return table_html(map(say, _HEADS), rows, caption=say("log"))


def left_table(rig: rigs.Rig, left: rigs.Handover, system: str) -> str:
    """Write how a line was handed over: parts and points, readings, slips."""
    color, sign, key = (
        (GREEN, "\N{CHECK MARK}", "passed")
        if left.is_passed
        else (VERMILION, "\N{RIGHTWARDS ARROW}", "not-passed")
    )
    reasons = why(left)
    points = [
        [say(f"part-{name}"), f"{left.points[name]}", f"{most:.0f}", reasons[name]]
        for name, most in MOST.items()
    ]
    points.append([say("total"), f"{left.score}", f"{sum(MOST.values()):.0f}", ""])
    readings = [reading_row(one, rig, system) for one in left.readings]
    under = gauge(UNDER_CUT_IN, system)
    slips = [say(f"slip-{slip}", under=under) for slip in left.slips]
    told = "" if left.remedy else paragraph(left_at(left, system))
    if left.is_passed and not left.remedy:
        told += "".join(paragraph(line) for line in setting_lines(rig.window, system))
    return (
        widgets.edged(color, f"{sign} {say(key)}")
        + table_html(map(say, ("part", "points", "of", "why")), points)
        + table_html(map(say, ("reading", "wrote", "had", "verdict")), readings)
        + (paragraph(say("slips"), bold=True) + list_html(slips) if slips else "")
        + told
    )


_ANY: Final = 1  # a number for a sheet that nobody asked for by a number of their own

_TRIES: Final = 7


def rig_sheet(site: Site | str | None, system: str, rig: "rigs.Rig | None" = None) -> str:
    """Return the sheet on which a line is set up; without a site, the number's own."""
    there = rigs.start_rig(_ANY, site) if rig is None else rig
    told = "".join(paragraph(line) for line in story(there, system))
    limits = [(say(f"sheet-{name}"), "", say(f"sheet-means-{name}")) for name in rigs.SHEET]
    heads = (say("sheet-limits"), say("sheet-reads"), say("sheet-so"))
    tries = [(str(number), *[""] * 5) for number in range(1, _TRIES + 1)]
    columns = ("try", "turns", "over", "back", "contact", "remark")
    return (
        f'<div class="labkit-sheet"><h3>{html.escape(say("sheet-title"))}</h3>'
        f"{paragraph(say('sheet-whose', number=str(there.number)))}{told}"
        f"<figure>{line_sketch(there.window.site, system)}</figure>"
        + table_form("", heads, limits, widths=(46, 20, 34))
        + table_form(
            say("sheet-tries"),
            tuple(say(f"sheet-{key}") for key in columns),
            tries,
            widths=(6, 16, 13, 13, 14, 38),
            tall=True,
        )
        + "</div>"
    )

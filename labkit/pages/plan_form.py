"""A form for one's own line: boxes beside a sketch that grows with it; it writes the site file."""

import html
import tomllib
from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any, Final

import attrs
import ipywidgets as W  # noqa: N812 - the widgets' usual short name
import tomli_w
from ipywidgets.widgets.widget_bool import CheckboxStyle
from ipywidgets.widgets.widget_description import DescriptionStyle
from ipywidgets.widgets.widget_string import HTMLStyle, TextStyle

from labkit.catalogue import pipe_sizes
from labkit.errors import LabkitError, SiteError
from labkit.pages import plan_boxes as boxes
from labkit.pages.looks import look
from labkit.pages.plan_boxes import Box, Group
from labkit.pages.plan_figures import figure, sketch
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.sitefile import loads
from labkit.text import bundle, speaker
from labkit.units import quantity, si, written
from labkit.units.customary import FOOT, PSI

_say = speaker("plan")

_KINDS: Final = ("centrifugal", "positive displacement")

TEE: Final = "tee"  # the node at which the main pipe ends

LOOKS: Final = look("plan_form.css")

_SIGNS: Final = "\"'\N{DEGREE SIGN}\N{PRIME}\N{DOUBLE PRIME}"  # signs that are units by themselves
_BELOW: Final = 60.0 * FOOT  # how far under the water a pump is taken to hang [m]
_UNDER: Final = 2.0 * PSI  # how far under cut-in a precharge is taken to be [Pa]


class Shares:
    """Layouts and styles that many widgets share.

    Each is a message of its own to the page. A burst of two thousand, as a form sends whose parts
    each have their own layout, loses some on the way: the queues between kernel and page
    are not endless.
    """

    def __init__(self) -> None:
        self.plain, self.words = W.Layout(), HTMLStyle()
        self.wraps = W.Layout(flex_flow="row wrap")
        self.wide = W.Layout(width="36em", max_width="100%")
        self.number = W.Layout(width="26em", max_width="100%")
        self.unit, self.unknown = W.Layout(width="6.5em"), W.Layout(width="9em")
        self.typing = TextStyle(description_width="15em")
        self.choice = DescriptionStyle(description_width="15em")
        self.units, self.tick = DescriptionStyle(), CheckboxStyle()

    def html(self, value: str = "") -> Any:
        """Return words."""
        return W.HTML(value, layout=self.plain, style=self.words)

    def ticked(self, key: str, *, value: bool = False, layout: Any = None) -> Any:
        """Return a box to tick."""
        return W.Checkbox(
            value=value, description=_say(key), indent=False, style=self.tick,
            layout=layout or self.plain,
        )  # fmt: skip

    def stacked(self, parts: list[Any]) -> Any:
        """Return widgets one below the other."""
        return W.VBox(parts, layout=self.plain)


class BoxView:
    """A box on the page: label, number, unit, "I don't know", complaint, where it is found."""

    def __init__(self, box: Box, shares: Shares, on_change: Callable[[], None]) -> None:
        self.box = box
        label = _say(box.key)
        self.text: Any
        if box.kind == "pipe":
            self.text = W.Dropdown(
                options=list(pipe_sizes()), value=box.start, description=label,
                style=shares.choice, layout=shares.wide,
            )  # fmt: skip
        else:
            self.text = W.Text(
                value=box.start, description=label, style=shares.typing, continuous_update=False,
                layout=shares.wide if box.kind == "words" else shares.number,
            )  # fmt: skip
        self.unit: Any = None  # what chooses a unit, where there is a choice
        self.unknown: Any = None  # "I don't know", where one need not know
        row, more = [self.text], []
        units = boxes.UNITS.get(box.kind, ())
        if len(units) > 1:
            self.unit = W.Dropdown(
                options=list(units), tooltip=f"{label}: {_say('unit')}", style=shares.units,
                layout=shares.unit,
            )  # fmt: skip
            self.unit.add_class("labkit-plan-unit")
            row.append(self.unit)
        if box.assumed:
            self.unknown = shares.ticked("unknown", layout=shares.unknown)
            more.append(self.unknown)
        if where := self._where():
            more.append(shares.html(where))
        self.said = shares.html()
        parts = [W.HBox(row, layout=shares.wraps), self.said]
        if more:
            parts.insert(1, W.HBox(more, layout=shares.wraps).add_class("labkit-plan-more"))
        self.view = shares.stacked(parts).add_class("labkit-plan-box")
        for part in filter(None, (self.text, self.unit, self.unknown)):
            part.observe(lambda _: on_change(), "value")

    @property
    def is_unknown(self) -> bool:
        """Whether nobody knows it."""
        return self.unknown is not None and bool(self.unknown.value)

    def typed(self) -> str:
        """Return what is in the box, with the chosen unit where no unit was typed."""
        value = " ".join(str(self.text.value).split())
        if self.box.kind in ("words", "count", "pipe") or not value:
            return value
        is_bare = not any(sign.isalpha() or sign in _SIGNS for sign in value)
        unit = self.unit.value if self.unit else boxes.UNITS[self.box.kind][0]
        return f"{value} {unit}" if is_bare else value

    def assume(self, value: str) -> None:
        """Say what stands for it while nobody knows."""
        self.text.disabled = True
        why = _say(f"{self.box.key}.why")
        self.said.value = f"<p>{html.escape(_say('assumed', value=value, why=why))}</p>"

    def complain(self, words: str) -> None:
        """Say what is wrong with it, or nothing."""
        self.text.disabled = self.is_unknown
        what = html.escape(_say("complaint", what=words)) if words else ""
        self.said.value = f'<p class="labkit-plan-complaint">{what}</p>' if words else ""

    def put(self, value: str) -> None:
        """Put a value from a file into the box."""
        if self.unknown:
            self.unknown.value = False
        number, _, unit = value.rpartition(" ")
        if unit in boxes.UNITS.get(self.box.kind, ()):
            self.text.value = number
            if self.unit:
                self.unit.value = unit
        else:
            self.text.value = value

    def _where(self) -> str:
        """Return where the number is found, as words and a drawing that fold away."""
        message = bundle("plan").get_message(self.box.key)
        if "where" not in message.attributes:
            return ""
        words = html.escape(_say(f"{self.box.key}.where"))
        title = html.escape(_say("where"))
        return f"<details><summary>{title}</summary><p>{words}</p>{figure(self.box.key)}</details>"


class TroughView:
    """The boxes of one trough."""

    def __init__(self, number: int, shares: Shares, on_change: Callable[[], None]) -> None:
        self.number = number
        self.head = shares.html()
        name, *others = boxes.TROUGH
        if number > 1:
            name = attrs.evolve(name, start=f"trough {number}")
        self.boxes = [BoxView(box, shares, on_change) for box in (name, *others)]
        self.ridge, self.vent = shares.ticked("ridge"), shares.ticked("vent")
        self.crest = [BoxView(box, shares, on_change) for box in boxes.RIDGE]
        self.more = W.VBox([*(one.view for one in self.crest), self.vent])
        self.more.layout.display = "none"
        self.view = W.VBox([self.head, *(one.view for one in self.boxes), self.ridge, self.more])
        for part in (self.ridge, self.vent):
            part.observe(lambda _: on_change(), "value")

    def every(self) -> list[BoxView]:
        """Return its boxes that count now."""
        return [*self.boxes, *(self.crest if self.ridge.value else ())]


class PlanForm:
    """The whole form; `on_site` gets the text of the site file whenever every box reads."""

    def __init__(self, on_site: Callable[[str], None]) -> None:
        self._busy = True
        self._on_site: Callable[[str], None] = lambda _text: None
        self._base: dict[str, Any] = {}
        self.site: Site | None = None  # what the boxes say, where every one can be read
        self._shares = shares = Shares()
        self._groups = [
            (group, [BoxView(box, shares, self.look) for box in group.boxes])
            for group in boxes.GROUPS
        ]
        self.kind = W.Dropdown(
            options=[(_say(f"pump-{kind.split()[-1]}"), kind) for kind in _KINDS],
            description=_say("kind"), style=shares.choice,
            layout=W.Layout(width="34em", max_width="100%"),
        )  # fmt: skip
        self.count = W.BoundedIntText(
            value=1, min=1, max=boxes.MOST_TROUGHS, description=_say("troughs"),
            style={"description_width": "15em"}, layout=W.Layout(width="21em"),
        )  # fmt: skip
        self.trunk, self.tank = shares.ticked("trunk"), shares.ticked("tank", value=True)
        self.troughs: list[TroughView] = []
        self.status, self.picture = shares.html(), shares.html()
        self.status.add_class("labkit-status")
        self.box = self._laid_out()
        for part in (self.kind, self.count, self.trunk, self.tank):
            part.observe(lambda _: self.look(), "value")
        self._busy = False
        self.look()
        self._on_site = on_site

    def look(self) -> None:
        """Read every box, put each complaint beside its box, and draw the line."""
        if self._busy:
            return
        self._show_what_counts()
        table, assumed = self._table()
        views = dict(self._views())
        self._say_assumed(assumed)
        try:
            site = loads(tomli_w.dumps(table))
        except SiteError as problem:
            self.site = None
            self._complain(problem, views)
            return
        self._say_ready(site)
        guesses = f"# {_say('guesses')}: {', '.join(assumed)}\n" if assumed else ""
        self._on_site(guesses + tomli_w.dumps(table))

    def show(self, site: Site, text: str) -> bool:
        """Fill the boxes from a site file; says that it cannot where the form shows too little."""
        if not _fits(site):
            self.status.value = f"<p>{html.escape(_say('too-rich'))}</p>"
            return False
        table = tomllib.loads(text)
        self._busy, self._base = True, table
        try:
            self._fill(site, deepcopy(table))
            assumed = self._guess_again(_guessed(text))
        finally:
            self._busy = False
        self._show_what_counts()
        self._say_assumed(assumed)
        self._say_ready(site)
        return True

    def _say_assumed(self, assumed: dict[str, str]) -> None:
        """Say in each box what is assumed for it, and that nothing else is wrong."""
        for path, view in self._views():
            if path in assumed:
                view.assume(assumed[path])
            else:
                view.complain("")

    def _say_ready(self, site: Site) -> None:
        """Show a site that can be read."""
        self.site = site
        self.status.value = f"<p>{html.escape(_say('ready', title=site.title))}</p>"
        self.picture.value = sketch(site)

    def _shown_troughs(self) -> list[TroughView]:
        """Return the troughs that count now; those that never counted are yet to be made."""
        count = int(self.count.value)
        while len(self.troughs) < count:
            self.troughs.append(TroughView(len(self.troughs) + 1, self._shares, self.look))
            self._left.children = (*self._left.children, self.troughs[-1].view)
        return self.troughs[:count]

    def _counts(self, group: Group) -> bool:
        """Whether a group of boxes is asked for now."""
        ticks = {"tank": self.tank.value, "trunk": self.trunk.value}
        return not group.when or bool(ticks.get(group.when, group.when == self.kind.value))

    def _views(self) -> Iterator[tuple[str, BoxView]]:
        """Return every box that counts now, by its place in the site file."""
        for group, views in self._groups:
            if self._counts(group):
                yield from ((f"{group.place}{view.box.path}", view) for view in views)
        for place, trough in enumerate(self._shown_troughs()):
            for view in trough.every():
                yield f"trough.{place}.{view.box.path}", view

    def _table(self) -> tuple[dict[str, Any], dict[str, str]]:
        """Return the site file as a table, and what is assumed, by place."""
        values: dict[str, str] = {}
        assumed: dict[str, str] = {}
        for path, view in self._views():
            if view.is_unknown:
                values[path] = assumed[path] = self._assumed(view.box, values)
            else:
                values[path] = view.typed()
        table = self._frame()
        table["title"] = values.pop("title") or "My Ranch"
        for path, value in values.items():
            _put(table, path.split("."), value)
        for trough, shown in zip(table["trough"], self._shown_troughs(), strict=True):
            _finish(trough, is_vented=bool(shown.vent.value))
        return table, assumed

    def _frame(self) -> dict[str, Any]:
        """Return the site file without the boxes' values: what else it said stays as it was."""
        table = deepcopy(self._base)
        table.setdefault("drive", {"kind": "solar"})
        if table.get("pump", {}).get("kind", "centrifugal") != self.kind.value:
            table.pop("pump", None)
        table.setdefault("pump", {})["kind"] = self.kind.value
        if not self.tank.value:
            table.pop("pressure_tank", None)
        runs = table.pop("pipe", [])
        if self.trunk.value:
            table["pipe"] = runs or [{"from": MANIFOLD, "to": TEE}]
        start = table["pipe"][0]["to"] if self.trunk.value else MANIFOLD
        old = table.get("trough", [])
        new = {"herd": {"kind": "cow with calf"}}
        shown = self._shown_troughs()
        table["trough"] = [*old, *(deepcopy(new) for _ in shown)][: len(shown)]
        for trough in table["trough"]:
            trough.setdefault("float_valve", {})
            pipe = trough.setdefault("pipe", {})
            pipe["from"] = start
            for key in ("profile", "vents"):
                pipe.pop(key, None)
        return table

    def _assumed(self, box: Box, values: dict[str, str]) -> str:
        try:
            if box.key == "intake-depth":
                level = si(quantity(values["well.static_level"], "ft"))
                return f"{(level + _BELOW) / FOOT:.0f} ft"
            if box.key == "precharge":
                cut_in = si(quantity(values["pressure_switch.cut_in"], "psi"))
                return f"{max(cut_in - _UNDER, 0.0) / PSI:.0f} psi"
        except (LabkitError, KeyError):
            pass
        return box.assumed

    def _complain(self, problem: SiteError, views: dict[str, BoxView]) -> None:
        """Put each complaint beside its box; what has no box goes into the status line."""
        told, elsewhere = 0, []
        for one in problem.problems:
            view = _box_of(one.key or "", views, self._shown_troughs())
            words = f"{one.rule[:1].upper()}{one.rule[1:]}."
            if view is None:
                elsewhere.append(str(one))
                continue
            view.complain(words)
            told += 1
        lines = [_say("broken", count=told)] if told else []
        if elsewhere:
            lines.append(_say("elsewhere", count=len(elsewhere), what="; ".join(elsewhere)))
        self.status.value = "".join(
            f'<p class="labkit-plan-complaint">{html.escape(line)}</p>' for line in lines
        )

    def _show_what_counts(self) -> None:
        for group, part in self._parts:
            part.layout.display = "" if self._counts(group) else "none"
        self._shown_troughs()
        count = int(self.count.value)
        for trough in self.troughs:
            trough.view.layout.display = "" if trough.number <= count else "none"
            title = html.escape(_say("section-trough", count=count, number=trough.number))
            trough.head.value = f"<h4>{title}</h4>"
            trough.more.layout.display = "" if trough.ridge.value else "none"

    def _fill(self, site: Site, table: dict[str, Any]) -> None:
        self.kind.value = table["pump"].get("kind", "centrifugal")
        self.count.value = len(site.troughs)
        self.trunk.value, self.tank.value = bool(site.pipes), site.pressure_tank is not None
        for place, trough in enumerate(site.troughs):
            view = self._shown_troughs()[place]
            view.ridge.value = bool(trough.pipe.profile)
            view.vent.value = bool(trough.pipe.vents)
            if trough.pipe.profile:
                (out, up), *_ = table["trough"][place]["pipe"]["profile"]
                view.crest[0].put(str(out))
                view.crest[1].put(str(up))
            flow, _, at = table["trough"][place]["float_valve"]["flow"].partition(" at ")
            table["trough"][place] |= {"float flow": flow, "float at": at}
        for path, box in self._views():
            way = path.split(".")
            value = _get(table, way)
            if value is None:  # it stands at its default
                value = _of_site(site, way)
            if value is not None:
                box.put(str(value))

    def _guess_again(self, paths: set[str]) -> dict[str, str]:
        """Tick what a file says was assumed, unless another value has been typed since."""
        views = {path: view for path, view in self._views() if path in paths and view.box.assumed}
        for view in views.values():
            view.unknown.value = True
        _, assumed = self._table()
        for path, view in views.items():
            view.unknown.value = view.typed() == assumed[path]
        return {path: assumed[path] for path, view in views.items() if view.is_unknown}

    def _laid_out(self) -> Any:
        sections: dict[str, list[Any]] = {
            group.section: [self._shares.html(f"<h4>{html.escape(_say(group.section))}</h4>")]
            for group, _ in self._groups
        }
        sections["section-pump"].append(self.kind)
        sections["section-tank"].append(self.tank)
        sections["section-trunk"] += [self.count, self.trunk]
        self._parts: list[tuple[Group, Any]] = []  # groups that come and go
        for group, views in self._groups:
            seen = [view.view for view in views]
            if group.when:
                self._parts.append((group, W.VBox(seen)))
                seen = [self._parts[-1][1]]
            sections[group.section] += seen
        self._left = W.VBox(
            [self._shares.stacked(parts) for parts in sections.values()],
            layout=W.Layout(max_width="36em"),
        )
        picture = W.VBox(
            [self.picture, self.status], layout=W.Layout(min_width="18em", flex="1 1 20em")
        )
        picture.add_class("labkit-plan-picture")
        looks = W.HTML(f"<style>{LOOKS}</style>", layout={"display": "none"})
        box = W.HBox([self._left, picture, looks], layout=self._shares.wraps)
        box.add_class("labkit-plan")
        return box


def _guessed(text: str) -> set[str]:
    """Return what comments of a site file name, in any language: after a colon, between commas."""
    comments = (line for line in text.splitlines() if line.startswith("#"))
    return {name.strip() for line in comments for name in line.partition(":")[2].split(",")}


def _put(table: dict[str, Any], way: list[str], value: str) -> None:
    """Put a value into nested tables and lists."""
    here: Any = table
    for step in way[:-1]:
        here = here[int(step)] if step.isdigit() else here.setdefault(step, {})
    here[way[-1]] = int(value) if way[-1] == "head" and value.isdigit() else value


def _get(table: Any, way: list[str]) -> Any:
    """Return what stands at a place of nested tables and lists; nothing where there is none."""
    try:
        for step in way:
            table = table[int(step) if step.isdigit() else step]
    except (LookupError, TypeError):
        return None
    return table


def _of_site(site: Site, way: list[str]) -> str | None:
    """Return what a site has at a place, as it would be written; nothing where there is none."""
    here: Any = site
    for step in way:
        name = "troughs" if step == "trough" else step
        here = here[int(step)] if step.isdigit() else getattr(here, name, None)
        if here is None:
            return None
    return written(here) if hasattr(here, "units") else str(here)


def _finish(trough: dict[str, Any], *, is_vented: bool) -> None:
    """Write a float valve's flow and the high ground as a site file has them."""
    flow, at = trough.pop("float flow"), trough.pop("float at")
    trough["float_valve"]["flow"] = f"{flow} at {at}"
    if "crest out" in trough:
        out, up = trough.pop("crest out"), trough.pop("crest up")
        trough["pipe"]["profile"] = [[out, up]]
        if is_vented:
            trough["pipe"]["vents"] = [out]


_MEANT: Final = {"flow": "float flow", "profile": "crest up", "vents": "crest out"}


def _box_of(key: str, views: dict[str, BoxView], troughs: list[TroughView]) -> BoxView | None:
    way = key.split(".")
    if way[0] == "trough" and len(way) > 1:
        names = [trough.boxes[0].typed() for trough in troughs]
        place = way[1] if way[1].isdigit() else str(names.index(way[1])) if way[1] in names else "0"
        leaf = _MEANT.get(way[-1])
        tries = [".".join(("trough", place, *way[2:]))]
        tries += [f"trough.{place}.{leaf}"] if leaf else []
    elif way[0] == "pipe":
        tries = [f"pipe.0.{way[-1]}"]
    else:
        tries = [key]
    return next((views[one] for one in tries if one in views), None)


def _fits(site: Site) -> bool:
    """Whether the form shows all of a site."""
    own = {trough.pipe.from_ for trough in site.troughs}
    is_plain_tree = (not site.pipes and own == {MANIFOLD}) or (
        len(site.pipes) == 1 and not site.pipes[0].profile and own == {str(site.pipes[0].to)}
    )
    has_more = bool(site.leaks or site.level_sensors) or site.relief_valve is not None
    small = len(site.troughs) <= boxes.MOST_TROUGHS
    small &= all(len(trough.pipe.profile) <= 1 for trough in site.troughs)
    vented = all(
        [*trough.pipe.vents] in ([], [out for out, _ in trough.pipe.profile])
        for trough in site.troughs
    )
    return is_plain_tree and not has_more and small and vented

"""Pressure, wire and radio side by side: a table for a page or a terminal, and a few sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from labkit.language import say, say_time
from labkit.text.shared import ADVICE
from labkit.units.customary import HOUR
from labkit.view.field_numbers import gauge
from labkit.view.judge_words import headline
from labkit.view.loop_told import ohms
from labkit.view.tables import Rows

if TYPE_CHECKING:
    from labkit.advice.stop_methods import Method, StopMethods, Watched


NOTHING: Final = 0.004  # water that is not worth a word [m3]: a gallon


def methods_rows(methods: StopMethods, units: str = "US") -> Rows:
    """Return a column for each way to say stop: does it work, what it costs, how it fails."""
    troughs = len(methods.site.troughs)
    sensors = "sensors" if troughs > 1 else "sensors for one"
    absent = ADVICE["not there"]

    def points(method: Method) -> str:
        if method.setting is None:
            return absent
        low, high = (gauge(p, units) for p in (method.setting.cut_in, method.setting.cut_out))
        return ADVICE["points"].format(cut_in=low, cut_out=high)

    def failed(name: str) -> list[str]:
        rows = [method.failure(name) for method in methods.methods]
        return [absent if row is None else outcome(row, units) for row in rows]

    as_set = [method.as_set for method in methods.methods]
    facts = [
        (ADVICE["works here"], *(_works(method, units) for method in methods.methods)),
        (ADVICE[sensors].format(troughs=troughs), *(str(m.sensors) for m in methods.methods)),
        (ADVICE["price"], *(dollars(method.cost) for method in methods.methods)),
        (ADVICE["set to"], *map(points, methods.methods)),
        (ADVICE["as it stands"], *(headline(one.verdict) if one else absent for one in as_set)),
        *(
            (ADVICE["if"].format(what=ADVICE[f"failure {name}"]), *failed(name))
            for name in methods.failure_names
        ),
    ]
    return Rows(
        title=ADVICE["methods title"].format(title=methods.site.title),
        headers=(ADVICE["what"], *(ADVICE[method.name] for method in methods.methods)),
        cells=tuple(facts),
    )


def methods_lines(methods: StopMethods) -> list[str]:
    """Say which of the ways work on a line, and what their failures have in common."""
    working = [method for method in methods.methods if method.feasible]
    said = ADVICE["methods none"]
    if working:
        best = min(working, key=lambda method: method.cost)
        said = ADVICE["methods cheapest"].format(method=ADVICE[best.name], price=dollars(best.cost))
    closed = methods.site.drive.stop_when == "closed"
    care = ADVICE["methods care" if closed else "methods care open"]
    return [said, ADVICE["methods days"], care]


def choice_lines(methods: StopMethods, money: float) -> list[str]:
    """Say which of the ways work on a line, and which is the cheapest that money [USD] can buy."""

    def named(some: list[Method]) -> str:
        return ", ".join(
            ADVICE["stop one"].format(method=ADVICE[one.name], price=dollars(one.cost))
            for one in some
        )

    working = [method for method in methods.methods if method.feasible]
    others = [method for method in methods.methods if not method.feasible]
    said = [ADVICE["stop works"].format(ways=named(working))] if working else []
    said += [ADVICE["stop works not"].format(ways=named(others))] if others else []
    within = [method for method in working if method.cost <= money]
    if not within:
        return [*said, ADVICE["stop none within"].format(money=dollars(money))]
    best = ADVICE[min(within, key=lambda method: method.cost).name]
    return [*said, ADVICE["stop within"].format(money=dollars(money), method=best)]


def dollars(cost: float) -> str:
    """Say a price, rounded to ten dollars."""
    return f"${round(cost, -1):,.0f}"


def outcome(row: Watched, units: str) -> str:
    """Say what the pump does in a run, with the number that matters."""
    pushed = round(row.dead_head / HOUR) * HOUR if row.dead_head > HOUR else row.dead_head
    key = "stays off so far" if row.outcome == "stays off" and row.short < NOTHING else row.outcome
    return ADVICE[key].format(
        short=say(row.short, "volume", units),
        spilled=say(row.spilled, "volume", units),
        dead=say_time(pushed),
        starts=f"{row.starts:,}+" if row.is_cut_short else row.starts,
    )


def _works(method: Method, units: str) -> str:
    """Say whether a method works on the line, or what stands in its way."""
    if method.feasible:
        return ADVICE["yes"]
    if method.as_set is not None and method.setting is None:
        return ADVICE["no: window"]
    for name, loop in method.loops.items():
        if not loop.works:
            limit = ohms(loop.stop_input.limit)
            words = ADVICE["no: pair"]
            return words.format(trough=name, ohms=ohms(loop.loop_resistance), limit=limit)
    for name, path in method.paths.items():
        if not path.works:
            margin, wanted = f"{path.margin:.0f}", f"{path.gear.wanted_margin:.0f}"
            return ADVICE["no: path"].format(trough=name, margin=margin, wanted=wanted)
    if not method.judged.works:
        return ADVICE["no: judged"].format(what=headline(method.judged.verdict).lower())
    return ADVICE["no: run"].format(outcome=outcome(method.sound, units))

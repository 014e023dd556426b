"""What the advice comes to in words, all from one bundle: a year's water, a pair, a path, the ways.

Each is a few sentences, and a table for a page or a terminal.
"""

from __future__ import annotations

from math import inf, isfinite
from typing import TYPE_CHECKING, Final

from labkit.language import say, say_time, say_under
from labkit.text.shared import ADVICE
from labkit.units.customary import DAY, HOUR
from labkit.view.field_numbers import gauge
from labkit.view.judge_words import headline
from labkit.view.tables import Rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labkit.advice.radio_link import RadioCheck
    from labkit.advice.signal_loop import LoopCheck, Reading, Short
    from labkit.advice.stop_methods import Method, StopMethods, Watched
    from labkit.advice.water_budget import Month, WaterBudget

NOTHING: Final = 0.004  # water that is not worth a word [m3]: a gallon


def budget_lines(budget: WaterBudget, units: str = "US") -> list[str]:
    """Say what a year's water comes to, a sentence or two for each thing."""
    tight = budget.tightest
    return [
        ADVICE["budget tightest"].format(
            month=tight.name,
            needed=_daily(tight.needed, units),
            able=_daily(tight.able, units),
            ratio=f"{tight.able / tight.needed:.1f}",
        ),
        *_shortages(budget),
        _dull(budget, units),
        _handbook(budget, tight, units),
        ADVICE["rule of three"].format(days=f"{tight.storage_days:.1f}", month=tight.name),
    ]


def budget_rows(budget: WaterBudget, units: str = "US") -> Rows:
    """Return a row for each month."""
    words = ("month", "air temperature", "takes", "delivers", "clear day", "overcast day",
             "by handbook", "herds got", "storage")  # fmt: skip
    spell = ADVICE["dull spell"].format(count=budget.cloudy_days)
    return Rows(
        title=budget.site.title,
        headers=(*(ADVICE[word] for word in words), spell),
        cells=tuple(_month_row(month, units) for month in budget.months),
    )


def _month_row(month: Month, units: str) -> tuple[str, ...]:
    water = (month.needed, month.able, month.clear, month.overcast, month.handbook)
    dry = ADVICE["fine"]
    if isfinite(month.dry_after):
        hours = round(month.dry_after / HOUR) * HOUR
        dry = ADVICE["dry after"].format(time=say_time(hours))
    return (
        month.name,
        say(month.air_temperature, "temperature", units),
        *(_daily(value, units) for value in water),
        f"{100.0 * month.share_met:.0f}%",
        ADVICE["days"].format(days=f"{month.storage_days:.1f}"),
        dry,
    )


def _daily(volume: float, units: str) -> str:
    """Say a volume each day [m3/day]."""
    return say(volume / DAY, "daily volume", units)


def _shortages(budget: WaterBudget) -> list[str]:
    """Say in which months herds went short, and for want of what."""
    if not budget.short_months:
        return [ADVICE["budget enough"]]
    said = [ADVICE["budget short"].format(months=_named(budget.short_months))]
    for lack in ("pumping", "control", "storage"):
        months = [month for month in budget.short_months if month.lacks == lack]
        if months:
            days = min(month.storage_days for month in months)
            words = ADVICE[f"lacks {lack}"]
            said.append(words.format(months=_named(months), days=f"{days:.1f}"))
    return said


def _dull(budget: WaterBudget, units: str) -> str:
    """Say how a run of cloudy days ends."""
    given = {"count": budget.cloudy_days, "light": f"{100.0 * budget.cloudy_light:.0f}%"}
    dry = budget.dry_months
    if not dry:
        return ADVICE["dull fine"].format(**given)
    worst = max(dry, key=lambda month: month.short_in_spell)
    return ADVICE["dull short"].format(
        **given,
        months=_named(dry),
        month=worst.name,
        time=say_time(round(worst.dry_after / HOUR) * HOUR),
        volume=say(worst.short_in_spell, "volume", units),
    )


def _handbook(budget: WaterBudget, month: Month, units: str) -> str:
    """Hold the handbook's way against the run."""
    off = month.handbook / month.able - 1.0
    return ADVICE["budget handbook"].format(
        hours=f"{month.peak_sun_hours:.1f}",
        flow=say(budget.full_sun_flow, "flow", units),
        handbook=_daily(month.handbook, units),
        month=month.name,
        share=f"{100.0 * abs(off):.0f}%",
        than=ADVICE["less" if off < 0.0 else "more"],
    )


def _named(months: Sequence[Month]) -> str:
    """List months by name, or say that it is all the year."""
    if len(months) == 12:
        return ADVICE["every month"]
    names = [month.name for month in months]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def ohms(value: float) -> str:
    """Say a resistance [ohm]."""
    return ADVICE["meter ohms"].format(ohms=f"{value:.1f}" if value < 9.95 else f"{value:,.0f}")


def loop_lines(check: LoopCheck, units: str = "US") -> list[str]:
    """Say whether a pair of wires will do, and how to meter it."""
    return [
        ADVICE["loop works" if check.works else "loop fails"].format(
            ohms=ohms(check.loop_resistance),
            limit=ohms(check.stop_input.limit),
            gauge=check.gauge,
            farthest=say_under(check.farthest, "length", units),
        ),
        ADVICE["loop polarity"],
        ADVICE["loop short"].format(distance=say(check.short_at, "length", units)),
        ADVICE["loop care"],
    ]


def short_line(short: Short, units: str = "US") -> str:
    """Say where a pair is chewed together."""
    return ADVICE["short found"].format(
        distance=say(short.distance, "length", units), ohms=ohms(short.resistance)
    )


def loop_rows(check: LoopCheck, units: str = "US") -> Rows:
    """Return a row for each place of the meter, contact and condition of the pair."""
    words = ("loop where", "loop contact", "loop pair", "loop shows", "loop volts", "loop drive")
    return Rows(
        title=ADVICE["loop title"].format(
            gauge=check.gauge,
            distance=say(check.distance, "length", units),
            temperature=say(check.temperature, "temperature", units),
        ),
        headers=tuple(ADVICE[word] for word in words),
        cells=tuple(_reading_row(reading) for reading in check.readings),
    )


def _reading_row(reading: Reading) -> tuple[str, ...]:
    volts = "-" if reading.volts is None else f"{reading.volts:.1f} V"
    contact = ADVICE.get(reading.contact, reading.contact)
    return (
        ADVICE[reading.where],
        contact,
        ADVICE[reading.condition],
        ADVICE["meter open line"] if reading.ohms == inf else ohms(reading.ohms),
        volts,
        ADVICE[f"sees {reading.drive_sees}"] if reading.drive_sees else "-",
    )


def path_lines(check: RadioCheck, units: str = "US") -> list[str]:
    """Say whether a radio path carries."""
    said = [
        ADVICE[f"path {check.sight}"],
        ADVICE["path budget"].format(
            free=f"{check.free_space_loss:.0f}",
            edge=f"{check.diffraction_loss:.1f}",
            margin=f"{check.margin:.0f}",
            wanted=f"{check.gear.wanted_margin:.0f}",
        ),
        ADVICE["path holds" if check.works else "path fails"],
    ]
    if check.higher_far_mast > 0.0:
        height = say(check.higher_far_mast, "length", units)
        said.append(ADVICE["path mast"].format(height=height))
    return said


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
    idle = [ADVICE[method.name] for method in working if method.sound.starts == 0]
    days = [ADVICE["methods days"]]
    days += [ADVICE["methods idle"].format(ways=" or ".join(idle))] if idle else []
    closed = methods.site.drive.stop_when == "closed"
    care = ADVICE["methods care" if closed else "methods care open"]
    return [said, *days, care]


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

"""What is said in a drill, in the units that the learner reads."""

import html
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final

from labkit import drills
from labkit.drills import Debrief, Drill, Settling, Task
from labkit.drills.doing import seen
from labkit.faults import FAULTS
from labkit.faults.fault import each_trough
from labkit.questions import Amount
from labkit.questions.phrase import INCH, subset
from labkit.site import Site
from labkit.text import as_id, speaker
from labkit.units import Hole, leak_size, quantity, si
from labkit.view.tables import table_html
from labkit.view.telling import format_amount, render

_say = speaker("drill")

_FINE: Final = {"volume": "small volume"}


def task_of(key: str) -> Task:
    """Return a test, or the full cycle."""
    return drills.CYCLE if key == drills.CYCLE.key else drills.TASKS[key]


def read_out(key: str, values: Sequence[drills.Value], system: str) -> str:
    """Say what was read in a task."""
    amounts = {value.name: _amount(value) for value in values}
    return render(subset(task_of(key).words(values), {**amounts, "inch": INCH}), system)


def task_label(key: str, where: str, system: str) -> str:
    """Say what a task is, at its place."""
    return render(subset(task_of(key).label, {"where": f"“{where}”", "inch": INCH}), system)


def called_out(drill: Drill, system: str) -> str:
    """Tell the line as it was built."""
    site = drill.site
    far = site.farthest()
    switch, rise = site.pressure_switch, site.elevation(far.name)
    amounts = {
        "lift": Amount(si(site.well.static_level), "length"),
        "way": Amount(site.distances()[far.name], "length"),
        "rise": Amount(abs(rise), "length"),
        "low": Amount(si(switch.cut_in), "pressure"),
        "high": Amount(si(switch.cut_out), "pressure"),
        "clock": Amount(drill.came, "clock"),
    }
    said = {name: format_amount(amount, system) for name, amount in amounts.items()}
    words = _say(
        "story",
        title=site.title,
        stop="a closed" if site.drive.stop_when == "closed" else "an open",
        side=_say("story-below" if rise < 0.0 else "story-above"),
        far=_say("story-one" if len(site.troughs) == 1 else "story-many"),
        **said,
    )
    return words if len(drill.hidden) == 1 else f"{words} {_say('story-two')}"


def fault_words(placed: drills.Placed, system: str) -> str:
    """Name a fault with its place and its size."""
    size, where = _size_words(placed, system), place_words(placed.key, placed.where)
    told = {"fault": placed.fault.name, "where": where, "size": size}
    key = "-".join(part for part, is_told in (("at", placed.where), ("size", size)) if is_told)
    return _say(key, **told) if key else placed.fault.name


def place_words(key: str, where: str) -> str:
    """Say where a fault sits: at a trough, or in the run of pipe that ends there."""
    is_run = FAULTS[key].places is not each_trough
    return _say("in-run" if is_run else "at-trough", where=where)


def suspect_words(key: str) -> str:
    """Name a fault, and say in a few words what it is."""
    return _say("suspect", fault=FAULTS[key].name, brief=FAULTS[key].brief)


def _named(keys: Iterable[str]) -> str:
    """Name faults by their keys; two together, or one in its place, go by the name they have."""
    return ", ".join(FAULTS[key].name if key in FAULTS else key for key in keys)


def faults_words(hidden: Sequence[drills.Placed], system: str) -> str:
    """Name every fault that is hidden."""
    return "; ".join(fault_words(one, system) for one in hidden)


def repaired_words(drill: Drill) -> str:
    """Say what the last repair took; nobody knows yet whether it was the right one."""
    done = [key for key, _ in drill.repairs[-1].faults]
    took = [drills.PRICES[key] for key in done]
    minutes, dollars = sum(one.minutes for one in took), sum(one.dollars for one in took)
    return _say("repaired", fault=_named(done), minutes=f"{minutes:g}", dollars=f"{dollars:,.0f}")


def trip_words() -> str:
    """Say what handing back a line with its fault in it took."""
    return _say(
        "trip",
        minutes=f"{drills.CALLED_BACK.minutes:g}",
        dollars=f"{drills.CALLED_BACK.dollars:,.0f}",
    )


def bill_words(drill: Drill) -> str:
    """Say what wrong repairs and second trips have cost so far."""
    bill = drill.bill
    told = {"minutes": f"{bill.minutes:,.0f}", "dollars": f"{bill.dollars:,.0f}"}
    return _say("bill", count=len(drill.wrong), trips=drill.trips, **told)


def hint_words(drill: Drill, system: str) -> str:
    """Return a hint: what was read against the last wrong repair, or a test that would tell."""
    if drill.wrong and len(drill.hidden) == 1:
        wrong = drill.wrong[-1]
        if read := drill.against(wrong):
            times = (drill.log[place].minutes for place in read)
            clocks = [say_at(drill, minutes, system) for minutes in times]
            return _say(
                "hint-against", times=", ".join(dict.fromkeys(clocks)), fault=_named([wrong])
            )
    done = {(one.key, one.where) for one in drill.log}
    for proof in drill.settled().line:
        if (proof.key, proof.where) not in done:
            task = task_label(proof.key, proof.where, system)
            return _say("hint-test", task=f"{task[:1].lower()}{task[1:]}")
    return _say("hint-none")


def say_at(drill: Drill, minutes: float, system: str) -> str:
    """Say what the clock showed when so many minutes were spent."""
    return format_amount(Amount(drill.came + 60.0 * minutes, "clock"), system)


def outcome_lines(debrief: Debrief) -> list[str]:
    """Say whether a fault was found well, and if not, why."""
    drill = debrief.drill
    told = {"minutes": f"{drill.on_tests:g}", "par": f"{drills.PAR:g}"}
    if not debrief.missed:
        return [_say("passed", **told)]
    told |= {"names": _named(debrief.open)}
    count = len(debrief.open)
    return [
        _say("missed"),
        *(_say(f"missed-{why}", count=count, **told) for why in debrief.missed),
        *(
            _say("skipped", what=_named([key]) if key else _say("the-proof"), step=step_words(step))
            for key, step in dict.fromkeys(drill.skipped)
        ),
    ]


def step_words(step: str) -> str:
    """Say what a step is."""
    return _say(f"step-{as_id(step)}")


def tests_table(debrief: Debrief, system: str) -> str:
    """Return what each of the learner's tests told, as a table."""
    rows = []
    for number, one in enumerate(debrief.tests):
        later = (key for each in debrief.tests[number + 1 :] for key in each.out)
        left = list(dict.fromkeys([*later, *debrief.open]))
        if left and len(one.out) > len(left):  # what it left is the shorter list
            told = _say("told-many", count=len(one.out), names=_named(left))
        else:
            told = _say(one.why, names=_named(one.out))
        rows.append((task_label(one.key, one.where, system), told))
    heads = (_say("done"), _say("it-told"))
    return table_html(heads, rows, caption=_say("your-tests")) if rows else ""


def settled_lines(drill: Drill, settling: Settling, system: str) -> list[str]:
    """Tell what was wrong, the cheapest way to know, how it is mended, and the cautions."""
    lines = [_say("was", faults=faults_words(drill.hidden, system))]
    for one in drill.hidden:
        lines += [words for words in (one.fault.about, one.fault.alike_words) if words]
    lines.append(_say("cheapest", minutes=f"{settling.minutes:g}"))
    lines += [
        f"{task_label(proof.key, proof.where, system)}: {read_out(proof.key, proof.values, system)}"
        for proof in settling.line
    ]
    lines.append(_say("cheap-is-no-proof"))
    if settling.left:
        lines.append(_say("left", faults=_named(settling.left)))
    for one in drill.hidden:
        lines.append(_say("mend", repair=FAULTS[one.key].repair))
        lines.append(_say("cautions", cautions=FAULTS[one.key].caution))
    return lines


@lru_cache(maxsize=16)
def record_table(site: Site, system: str) -> str:
    """Return the readings of the day a line was commissioned, as a table that folds away."""
    rows = [
        (task_label(one.key, one.where, system), read_out(one.key, one.values, system))
        for one in drills.commissioning_record(site)
    ]
    table = table_html((_say("record-test"), _say("record-read")), rows)
    title, note = (html.escape(_say(f"record-{key}")) for key in ("title", "note"))
    return f"<details><summary>{title}</summary><p>{note}</p>{table}</details>"


def _amount(value: drills.Value) -> Amount | str:
    if isinstance(value.value, str):
        return seen(value.value)
    return Amount(value.value, _FINE.get(value.kind, value.kind))


def _size_words(placed: drills.Placed, system: str) -> str:
    """Write a size in the reader's units; shares stay unsaid."""
    kind = placed.fault.kind
    if kind == "leak":
        size = leak_size(placed.size)
        if isinstance(size, Hole):
            return placed.size
        flow = format_amount(Amount(si(size.flow), "flow"), system)
        pressure = format_amount(Amount(si(size.pressure), "pressure"), system)
        return _say("leak", flow=flow, pressure=pressure)
    if kind == "pipe":
        return placed.size
    if kind in ("", "share"):
        return ""
    like = {"pressure": "psi", "length": "ft", "small length": "in"}[kind]
    return format_amount(Amount(si(quantity(placed.size, like)), kind), system)

"""What is said in a drill, in the units that the learner reads."""

import html
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from labkit.drills import PRICES, TASKS, Placed, Value, commissioning_record
from labkit.faults import FAULTS
from labkit.faults.fault import each_trough
from labkit.questions import Amount, Phrase
from labkit.questions.phrase import INCH, of_those
from labkit.text import sentence
from labkit.units import FlowAt, Hole, leak_size, quantity, si
from labkit.view.telling import filled, written_amount
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.drills import Drill, Marking, Settling
    from labkit.site import Site

_FINE: Final = {"volume": "small volume"}
_STORY: Final = (
    "“{title}”: the water stands {lift} down in the well, {far} is {way} of pipe "
    "away and {rise} above the gauge. The switch is meant to cut in at {low} and out at {high}. "
    "Here {stop} contact tells the drive to stop; “held” means that it was told. "
    "The sky is clear. You come at {clock}; stock drank three hours ago."
)


def read_out(key: str, values: Sequence[Value], system: str) -> str:
    """Say what was read in a task."""
    amounts = {value.name: _amount(value) for value in values}
    return filled(of_those(TASKS[key].words(values), {**amounts, "inch": INCH}), system)


def task_label(key: str, where: str, system: str) -> str:
    """Say what a task is, at its place."""
    return filled(of_those(TASKS[key].label, {"where": f"“{where}”", "inch": INCH}), system)


def called_out(drill: "Drill", system: str) -> str:
    """Tell the line as it was built."""
    site = drill.site
    far = max(site.troughs, key=lambda trough: way_to(site, trough.name))
    switch = site.pressure_switch
    amounts = {
        "lift": Amount(si(site.well.static_level), "length"),
        "way": Amount(way_to(site, far.name), "length"),
        "rise": Amount(site.elevation(far.name), "length"),
        "low": Amount(si(switch.cut_in), "pressure"),
        "high": Amount(si(switch.cut_out), "pressure"),
        "clock": Amount(drill.clock - 60.0 * drill.minutes, "clock"),
    }
    stop = "a closed" if site.drive.stop_when == "closed" else "an open"
    name = "the trough" if len(site.troughs) == 1 else "the farthest trough"
    said = {"title": site.title, "stop": stop, "far": name}
    return filled(Phrase(_STORY, {**said, **amounts}), system)


def fault_words(placed: Placed, system: str) -> str:
    """Name a fault with its place and its size."""
    size = _size_words(placed, system)
    key = {
        (False, False): "",
        (True, False): "drill at",
        (False, True): "drill size",
        (True, True): "drill at and size",
    }[bool(placed.where), bool(size)]
    if not key:
        return placed.key
    where = place_words(placed.key, placed.where)
    return WORDS[key].format(fault=placed.key, where=where, size=size)


def place_words(key: str, where: str) -> str:
    """Say where a fault sits: at a trough, or in the run of pipe that ends there."""
    is_run = FAULTS[key].places is not each_trough
    return WORDS["drill in run" if is_run else "drill at trough"].format(where=where)


def suspect_words(key: str) -> str:
    """Name a fault, and say in a few words what it is."""
    return WORDS["drill suspect"].format(fault=key, brief=FAULTS[key].brief)


def faults_words(hidden: Sequence[Placed], system: str) -> str:
    """Name every fault that is hidden."""
    return "; ".join(fault_words(one, system) for one in hidden)


def marked_words(drill: "Drill", marking: "Marking", system: str) -> str:
    """Say how a diagnosis came out."""
    faults = faults_words(drill.hidden, system)
    if marking.is_right:
        return WORDS["drill right"].format(faults=faults, minutes=f"{drill.minutes:g}")
    said = []
    if len(drill.hidden) > 1:
        said.append(WORDS["drill some"].format(right=marking.right, all=len(drill.hidden)))
    said += [
        WORDS["drill misplaced"].format(fault=f"{key[:1].upper()}{key[1:]}")
        for key in marking.misplaced
    ]
    if marking.against:
        times = (drill.log[place].minutes for place in marking.against)
        arrived = drill.clock - 60.0 * drill.minutes
        clocks = [written_amount(Amount(arrived + 60.0 * t, "clock"), system) for t in times]
        said.append(WORDS["drill against"].format(times=", ".join(dict.fromkeys(clocks))))
    elif marking.next_task is not None:
        said.append(WORDS["drill next"].format(task=task_label(*marking.next_task, system)))
    else:
        said.append(WORDS["drill no next"])
    return " ".join(said)


def settled_lines(drill: "Drill", settling: "Settling", system: str) -> list[str]:
    """Tell what was wrong, what would have shown it fastest, how it is mended, and the cautions."""
    lines = [WORDS["drill was"].format(faults=faults_words(drill.hidden, system))]
    lines += [FAULTS[one.key].about for one in drill.hidden]
    lines.append(WORDS["drill shortest"].format(minutes=f"{settling.minutes:g}"))
    lines += [
        f"{task_label(proof.key, proof.where, system)}: {read_out(proof.key, proof.values, system)}"
        for proof in settling.line
    ]
    if settling.left:
        lines.append(WORDS["drill left"].format(faults=", ".join(settling.left)))
    for one in drill.hidden:
        lines.append(WORDS["drill repair"].format(repair=FAULTS[one.key].repair))
        lines.append(WORDS["drill cautions"].format(cautions=FAULTS[one.key].cautions))
    return lines


def bill_lines(drill: "Drill", *, is_right: bool) -> list[str]:
    """Return what the last wrong diagnosis would have cost, and what all of them come to."""
    total = drill.bill
    lines = []
    if not is_right:
        last = [PRICES[key] for key in drill.wrong[-1]]
        minutes, dollars = sum(one.minutes for one in last), sum(one.dollars for one in last)
        lines.append(sentence("drill", "cost", minutes=f"{minutes:g}", dollars=f"{dollars:,.0f}"))
    count, minutes, dollars = len(drill.wrong), total.minutes, total.dollars
    told = {"minutes": f"{minutes:g}", "dollars": f"{dollars:,.0f}"}
    return [*lines, sentence("drill", "bill", count=count, **told)]


@lru_cache(maxsize=16)
def record_table(site: "Site", system: str) -> str:
    """Return the readings of the day a line was commissioned, as a table that folds away."""
    rows = "".join(
        f"<tr><td>{html.escape(task_label(one.key, one.where, system))}</td>"
        f"<td>{html.escape(read_out(one.key, one.values, system))}</td></tr>"
        for one in commissioning_record(site)
    )
    title, note, test, read = (
        html.escape(sentence("drill", f"record-{key}")) for key in ("title", "note", "test", "read")
    )
    heads = f'<tr><th scope="col">{test}</th><th scope="col">{read}</th></tr>'
    table = f"<table>{heads}{rows}</table>"
    return f"<details><summary>{title}</summary><p>{note}</p>{table}</details>"


def _amount(value: Value) -> Amount | str:
    if isinstance(value.value, str):
        return value.value
    return Amount(value.value, _FINE.get(value.kind, value.kind))


def _size_words(placed: Placed, system: str) -> str:
    """Write a size in the reader's units; shares stay unsaid."""
    kind = placed.fault.kind
    if kind == "leak":
        size = leak_size(placed.size)
        if isinstance(size, Hole):
            return placed.size
        return _flow_words(size, system)
    if kind == "pipe":
        return placed.size
    if kind in ("", "share"):
        return ""
    like = {"pressure": "psi", "length": "ft", "small length": "in"}[kind]
    return written_amount(Amount(si(quantity(placed.size, like)), kind), system)


def _flow_words(size: FlowAt, system: str) -> str:
    flow = written_amount(Amount(si(size.flow), "flow"), system)
    pressure = written_amount(Amount(si(size.pressure), "pressure"), system)
    return WORDS["drill leak"].format(flow=flow, pressure=pressure)


def way_to(site: "Site", node: str) -> float:
    """Give the way along the pipe from the manifold to a node [m]."""
    runs = {run.end: run for run in site.runs()}
    way = 0.0
    while node in runs:
        way += si(runs[node].pipe.length)
        node = runs[node].start
    return way

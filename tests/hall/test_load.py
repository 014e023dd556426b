"""A hall of 24 on two processors: how soon all are in, what each takes, how soon a slider answers.

Each learner's lesson 1 is run to its end as the page runs it, and then a slider moves each second for
a minute. Prints what it measured, with the machine's load, since other work there counts against it.
"""

import json
import os
import statistics
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("jupyterhub")

from labkit.shipped import SHIPPED
from tests.hall.running import NEEDS, processes_of, running_hall
from tests.hall.visitor import Line, Visitor

pytestmark = NEEDS

LEARNERS = int(os.environ.get("HALL_LEARNERS", "24"))
NAMES = [f"n{number}" for number in range(LEARNERS)]
LESSON = SHIPPED / "lessons" / "01_pressure_tells_the_story.ipynb"
SECONDS = 60
PREDICT = """
for one in lesson.predictions:
    question, entry = one.question, one.answer.entry
    unit = {"pressure": " Pa", "time": " s"}.get(getattr(question, "kind", None), "")
    entry.value = 0 if hasattr(question, "options") else f"{question.answer:.6g}{unit}"
    one.press()
print(lesson.is_waiting)
"""


class Pupil:
    """A learner who has the lesson open, and moves its sliders."""

    def __init__(self, address: str, name: str) -> None:
        self.came = time.monotonic()
        self.visitor = Visitor(address, name, class_word="windy bench", own_word=f"own {name}")
        self.visitor.arrive()
        self.served = time.monotonic()
        self.line: Line = self.visitor.line(self.visitor.kernel())
        for cell in json.loads(LESSON.read_text())["cells"]:
            if cell["cell_type"] == "code":
                assert self.line.run("".join(cell["source"])) == ""
        self.computed = time.monotonic()
        assert self.line.run(PREDICT) == "False"
        self.waits: list[float] = []

    @property
    def bench(self) -> tuple[str, dict[str, Any]]:
        (found,) = [
            (name, shown)
            for name, state in self.line.widgets.items()
            if (shown := json.loads(state.get("show", "{}"))).get("rows")
        ]
        return found

    def leave(self) -> None:
        """Close the page."""
        self.line.close()
        self.visitor.web.close()

    def move(self, count: int) -> None:
        """Move one slider by a step or more, and wait for the answer, as the page does."""
        name, shown = self.bench
        sliders = [row for row in shown["rows"] if "step" in row]
        row = sliders[count // 10 % len(sliders)]
        way = 1 if count % 10 < 5 else -1
        value = row["value"] + way * row["step"]
        if not row["min"] <= value <= row["max"]:
            value = row["value"] - way * row["step"]
        number = f"moved-{count}"
        began = time.monotonic()
        self.line.tell_widget(name, {"set": {row["name"]: value}, "n": number})
        for _ in self.line.heard():
            shown = json.loads(self.line.widgets[name]["show"])
            if shown["to"] == number:
                break
        self.waits.append(time.monotonic() - began)
        assert not shown["problem"]

    def drag(self, share: float) -> None:
        """Move a slider each second for a minute, beginning at a share of a second."""
        begin = time.monotonic() + share
        for count in range(SECONDS):
            time.sleep(max(begin + count - time.monotonic(), 0.0))
            self.move(count)


def proportional(pid: int) -> float:
    """Memory of a process with its share of what it has in common with others [MiB]."""
    for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
        if line.startswith("Pss:"):
            return int(line.split()[1]) / 1024.0
    raise LookupError(pid)


def processor(pids: list[int]) -> float:
    """Processor time of processes so far [s]."""
    ticks = [
        Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[11:13] for pid in pids
    ]
    return sum(int(tick) for both in ticks for tick in both) / os.sysconf("SC_CLK_TCK")


@pytest.fixture(scope="module")
def measured() -> Iterator[dict[str, float]]:
    with running_hall("windy bench", NAMES) as hall, ThreadPoolExecutor(LEARNERS) as room:
        began, load = time.monotonic(), os.getloadavg()[0]
        pupils = list(room.map(lambda name: Pupil(hall.address, name), NAMES))
        pids = [pid for name in NAMES for pid in processes_of(f"learner-{name}")]
        cpu_start = processor(pids)
        list(room.map(Pupil.drag, pupils, [number / LEARNERS for number in range(LEARNERS)]))
        cpu = processor(pids) - cpu_start
        waits = [wait for one in pupils for wait in one.waits]
        found = {
            "load before": load,
            "load after": os.getloadavg()[0],
            "all servers [s]": max(one.served for one in pupils) - began,
            "all lessons [s]": max(one.computed for one in pupils) - began,
            "processor a start and lesson [s]": cpu_start / LEARNERS,
            "memory a learner [MiB]": sum(proportional(pid) for pid in pids) / LEARNERS,
            "moves": len(waits),
            "p50 [ms]": 1e3 * statistics.median(waits),
            "p90 [ms]": 1e3 * statistics.quantiles(waits, n=10)[-1],
            "processor a move [ms]": 1e3 * cpu / len(waits),
            "threads of this client": threading.active_count(),
        }
        print("", *(f"{name}: {value:.3g}" for name, value in found.items()), sep="\n")  # noqa: T201
        for one in pupils:
            one.leave()
        yield found


def test_all_are_in_within_90_seconds(measured: dict[str, float]) -> None:
    assert measured["all servers [s]"] <= 90.0


def test_a_learner_takes_130_mebibytes_at_most(measured: dict[str, float]) -> None:
    assert measured["memory a learner [MiB]"] <= 130.0


def test_nine_moves_in_ten_are_answered_within_a_quarter_of_a_second(
    measured: dict[str, float],
) -> None:
    assert measured["moves"] == LEARNERS * SECONDS
    assert measured["p90 [ms]"] < 250.0

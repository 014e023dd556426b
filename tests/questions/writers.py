"""Processes that answer questions at once, or until they are killed. Started by test_store.py.

``python writers.py together FILE WRITERS ANSWERS`` lets several write one file at once.
``python writers.py cut FILE CUTS SEED`` kills a writer at a random instant, again and again, and
prints for each cut how many answers it had acknowledged and how many are then in the file.
"""

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from labkit.questions.progress import Given, keep_answer, read_progress

LONGEST = 0.02
"""Latest instant of a cut after the first acknowledged answer [s]: three writes or more."""


def _write(path: Path, page: str, count: int, told: Callable[[], object]) -> None:
    for number in range(count):
        answer = Given(given=f"{number} psi", outcome="right", entry=f"{number} psi")
        keep_answer(path, page, f"question {number}", answer)
        told()


def _forked(work: Callable[[], None]) -> int:
    child = os.fork()
    if child == 0:
        work()
        os._exit(0)
    return child


def together(path: Path, writers: int, answers: int) -> None:
    children = [
        _forked(lambda page=f"lesson {n}": _write(path, page, answers, lambda: None))  # type: ignore[misc]
        for n in range(writers)
    ]
    for child in children:
        os.waitpid(child, 0)


def cut(path: Path, cuts: int, seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311
    for _ in range(cuts):
        path.unlink(missing_ok=True)
        out, into = os.pipe()
        child = _forked(lambda: _write(path, "lesson", 10_000, lambda: os.write(into, b".")))  # noqa: B023
        os.close(into)
        told = len(os.read(out, 1))
        time.sleep(rng.random() * LONGEST)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        while more := os.read(out, 10_000):
            told += len(more)
        os.close(out)
        kept = read_progress(path)["lesson"].answers
        whole = list(kept) == [f"question {number}" for number in range(len(kept))]
        print(told, len(kept) if whole else "torn", flush=True)  # noqa: T201


if __name__ == "__main__":
    {"together": together, "cut": cut}[sys.argv[1]](
        Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    )

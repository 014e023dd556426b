"""However a hall ends, nothing of it is left: no hub, no proxy, no learner's server or kernel.

What it needs stands in `tests.hall.running`.
"""

import os
import signal
import time
from pathlib import Path

import pytest

pytest.importorskip("jupyterhub")

from tests.hall.running import NEEDS, left_of, running_hall
from tests.hall.visitor import Visitor

WORD = "windy bench"
pytestmark = NEEDS


def _ends(folder: Path, *, within: float) -> dict[int, str]:
    until = time.monotonic() + within
    while (left := left_of(folder)) and time.monotonic() < until:
        time.sleep(0.2)
    return left


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGKILL])
def test_nothing_is_left_of_a_hall_that_is_told_to_end(number: signal.Signals) -> None:
    with running_hall(WORD, ["t1"]) as hall:
        visitor = Visitor(hall.address, "t1", class_word=WORD, own_word="own t1")
        visitor.arrive()
        assert visitor.run(visitor.kernel(), "print(2 + 2)") == "4"
        assert len(left_of(hall.folder)) == 6, "hall, hub, proxy, what is copied, server, kernel"

        hall.process.send_signal(number)

        assert _ends(hall.folder, within=40.0) == {}
        assert hall.process.wait(5) == (-signal.SIGKILL if number == signal.SIGKILL else 0)


def test_a_hub_that_is_killed_takes_the_hall_with_it() -> None:
    with running_hall(WORD, ["t1"]) as hall:
        visitor = Visitor(hall.address, "t1", class_word=WORD, own_word="own t1")
        visitor.arrive()
        (hub,) = [pid for pid, words in left_of(hall.folder).items() if "jupyterhub" in words]

        os.kill(hub, signal.SIGKILL)

        assert _ends(hall.folder, within=40.0) == {}
        assert hall.process.wait(5) == 2

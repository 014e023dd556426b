"""What loads behind the home page, each in a process of its own: the engine, and JupyterLab.

A process gets what it needs in one line of JSON on its input, so that no key is in a command line,
and stops when the input ends: nothing is left behind if the home page's process is killed.
"""

import json
import os
import signal
import subprocess
import sys
import threading
from typing import IO, Any, Final

from labkit.pages.home import checks_file
from labkit.text import speaker

words = speaker("commands")

READY: Final = "ready"  # what a process says on its output when it is done


def start(function: str, **given: Any) -> "subprocess.Popen[str]":
    """Start a process that calls a function by its full name, such as ``labkit.lab.behind.engine``.

    The function's module is imported only there.
    """
    module, name = function.rsplit(".", 1)
    code = f"from {__name__} import given\nfrom {module} import {name}\n{name}(**given())"
    process = subprocess.Popen(  # noqa: S603 - this very interpreter
        [sys.executable, "-c", code],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )
    put = process.stdin
    assert put is not None  # noqa: S101 - asked for above
    put.write(json.dumps(given) + "\n")
    put.flush()
    return process


def given() -> dict[str, Any]:
    """Read what this process was given, and stop it when its input ends."""
    found: dict[str, Any] = json.loads(sys.stdin.readline())
    threading.Thread(target=_stop_with, args=(sys.stdin,), daemon=True).start()
    return found


def _stop_with(source: IO[str]) -> None:
    source.read()
    os.kill(os.getpid(), signal.SIGTERM)


def engine() -> None:
    """Compile the engine, then work out the checks of the home page; tell what is going on."""
    from labkit.engine.warm import warm  # noqa: PLC0415 - importing it is part of the work

    say(words("loading"))
    warm(say)
    from labkit.pages.wrong import keep  # noqa: PLC0415

    say(words("checks"))
    keep(checks_file())
    say(READY)


def say(words: str) -> None:
    """Tell the home page's process what is going on."""
    sys.stdout.write(words + "\n")
    sys.stdout.flush()

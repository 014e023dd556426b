"""A real hall on this machine, for as long as a test needs it.

Needs root on Linux, the extra ``hall``, its proxy, and a Python that other accounts can run (name
one in ``HALL_PYTHON`` if this one is in a locked home). Accounts ``learner-…`` are made and removed.
"""

import contextlib
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import pytest
import requests

from labkit.hall.hub import PROXY

PYTHON = os.environ.get("HALL_PYTHON", sys.executable)

NEEDS = [
    pytest.mark.slow,
    pytest.mark.skipif(
        sys.platform != "linux" or os.geteuid() != 0, reason="a hall needs root on Linux"
    ),
    pytest.mark.skipif(shutil.which(PROXY) is None, reason="the hall's proxy is not here"),
]


class Hall(NamedTuple):
    """Where a hall is, its folder, and the process of ``labkit hub``."""

    address: str
    folder: Path
    process: subprocess.Popen[bytes]


@contextlib.contextmanager
def running_hall(word: str, names: Sequence[str]) -> Iterator[Hall]:
    """Start a hall, and take away the accounts `names` at its end."""
    folder = Path(tempfile.mkdtemp(prefix="hall-", dir="/var/tmp"))
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [PYTHON, "-m", "labkit.cli", "hub", "--word", word, "--folder", str(folder),
               "--address", "127.0.0.1", "--port", str(port)]  # fmt: skip
    try:
        with subprocess.Popen(command, cwd="/", start_new_session=True) as hub:  # noqa: S603
            try:
                _wait_for(port, hub)
                yield Hall(f"http://127.0.0.1:{port}", folder, hub)
            finally:
                _end(hub, folder)
    finally:
        for name in names:
            with contextlib.suppress(KeyError):
                _remove(f"learner-{name}")
        shutil.rmtree(folder)


def _end(hub: subprocess.Popen[bytes], folder: Path) -> None:
    """Ask the hub to end, which closes the learners' servers first; then end what is left."""
    hub.terminate()
    try:
        hub.wait(60)
    except subprocess.TimeoutExpired:
        hub.kill()
    for pid in left_of(folder):
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)


def left_of(folder: Path) -> dict[int, str]:
    """Processes of a hall, with their command lines: those that name its folder or work in it."""
    found = {}
    for path in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            words = (path / "cmdline").read_bytes().replace(b"\0", b" ").decode(errors="replace")
            if str(folder) in words or (path / "cwd").resolve().is_relative_to(folder):
                found[int(path.name)] = words
    return found


def processes_of(account: str) -> list[int]:
    uid = pwd.getpwnam(account).pw_uid
    found = []
    for path in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(FileNotFoundError):
            if path.stat().st_uid == uid:
                found.append(int(path.name))
    return found


def _wait_for(port: int, hub: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + 240.0
    while time.monotonic() < until and hub.poll() is None:
        with contextlib.suppress(requests.RequestException):
            if requests.get(f"http://127.0.0.1:{port}/hub/health", timeout=10).ok:
                return
        time.sleep(0.5)
    raise TimeoutError


def _remove(account: str) -> None:
    while left := processes_of(account):
        for one in left:
            with contextlib.suppress(ProcessLookupError):
                os.kill(one, signal.SIGKILL)
        time.sleep(0.5)
    subprocess.run(["userdel", account], check=False)  # noqa: S603, S607

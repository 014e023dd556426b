"""A real hall with two learners: both get a lesson, and neither gets at the other's things.

Needs root on Linux, the extra ``hall``, its proxy, and a Python that other accounts can run (name
one in ``HALL_PYTHON`` if this one is in a locked home). Accounts ``learner-t1`` and ``learner-t2``
are made and removed.
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
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests

pytest.importorskip("jupyterhub")

from labkit.hall.hub import PROXY
from labkit.questions.gradebook import gradebook
from tests.hall.visitor import Visitor

PYTHON = os.environ.get("HALL_PYTHON", sys.executable)
WORD = "windy bench"
NAMES = ("t1", "t2")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        sys.platform != "linux" or os.geteuid() != 0, reason="a hall needs root on Linux"
    ),
    pytest.mark.skipif(shutil.which(PROXY) is None, reason="the hall's proxy is not here"),
]


@pytest.fixture(scope="module")
def hall() -> Iterator[tuple[str, Path]]:
    folder = Path(tempfile.mkdtemp(prefix="hall-", dir="/var/tmp"))
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [PYTHON, "-m", "labkit.cli", "hub", "--word", WORD, "--folder", str(folder),
               "--address", "127.0.0.1", "--port", str(port)]  # fmt: skip
    with subprocess.Popen(command, cwd="/", start_new_session=True) as hub:  # noqa: S603
        try:
            _wait_for(port, hub)
            yield f"http://127.0.0.1:{port}", folder
        finally:
            _end(hub.pid)
    for name in NAMES:
        while left := _processes_of(f"learner-{name}"):
            for one in left:
                with contextlib.suppress(ProcessLookupError):
                    os.kill(one, signal.SIGKILL)
            time.sleep(0.5)
        subprocess.run(["userdel", f"learner-{name}"], check=False)  # noqa: S603, S607
    shutil.rmtree(folder)


def _end(group: int) -> None:
    """Ask the hub to end, and wait for it: it closes the learners' servers first."""
    os.killpg(group, signal.SIGTERM)
    until = time.monotonic() + 60.0
    with contextlib.suppress(ProcessLookupError, ChildProcessError):
        while time.monotonic() < until:
            os.waitpid(group, os.WNOHANG)
            os.killpg(group, 0)
            time.sleep(0.5)


def _processes_of(account: str) -> list[int]:
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


@pytest.fixture(scope="module")
def learners(hall: tuple[str, Path]) -> list[Visitor]:
    address, _ = hall
    both = [Visitor(address, name, class_word=WORD, own_word=f"own {name}") for name in NAMES]
    for one in both:
        assert "/lab/tree/lessons/01_" in one.arrive()
    return both


@pytest.fixture(scope="module")
def kernels(learners: list[Visitor]) -> list[str]:
    return [one.kernel() for one in learners]


def test_strangers_and_other_words_stay_outside(
    hall: tuple[str, Path], learners: list[Visitor]
) -> None:
    address, _ = hall
    assert not Visitor(address, "t1", class_word="wrong word", own_word="own t1").is_in
    assert not Visitor(address, "t1", class_word=WORD, own_word="own t2").is_in
    assert learners[0].is_in


def test_a_lesson_computes_and_the_trainer_sees_the_answers(
    hall: tuple[str, Path], learners: list[Visitor], kernels: list[str]
) -> None:
    code = (
        "import labkit as lab\n"
        "from labkit.questions.progress import Given, keep_answer, progress_file\n"
        "keep_answer(progress_file(), 'lesson 1', 'lift', Given(given='9 ft', outcome='right'))\n"
        "print(lab.simulate(lab.demo_site('first_line'), '10 min', sun='700 W/m^2').verdict)"
    )
    assert learners[0].run(kernels[0], code)

    _, folder = hall
    book = gradebook(folder / "homes")

    assert [(row.learner, row.page, row.right) for row in book.rows] == [
        ("learner-t1", "lesson 1", 1)
    ]


ATTEMPTS = {
    "list the home": "os.listdir(home)",
    "read the progress": "open(home + '/my_progress.toml').read()",
    "write the progress": "open(home + '/my_progress.toml', 'a').write('x')",
    "plant a lesson": "open(home + '/lessons/x.ipynb', 'w')",
    "enter the sockets": "os.listdir(home + '/.run')",
    "list all homes": "os.listdir(os.path.dirname(home))",
    "read the hub's folder": "os.listdir(os.path.dirname(os.path.dirname(home)) + '/private')",
    "change what all copy": "open(os.path.dirname(os.path.dirname(home)) + '/compiled/x', 'w')",
    "read the environment": "open(f'/proc/{pid}/environ').read()",
    "read the memory": "open(f'/proc/{pid}/mem').read(1)",
    "stop the server": "os.kill(pid, 15)",
    "become the other": "os.setuid(uid)",
    "become root": "os.setuid(0)",
}


@pytest.mark.parametrize("attempt", ATTEMPTS)
def test_one_learners_attempts_on_another_are_refused(
    learners: list[Visitor], kernels: list[str], attempt: str
) -> None:
    account = pwd.getpwnam("learner-t1")
    theirs = _processes_of("learner-t1")
    start = f"import os\nhome, pid, uid = {account.pw_dir!r}, {theirs[0]}, {account.pw_uid}\n"

    said = learners[1].run(kernels[1], f"{start}print('got', {ATTEMPTS[attempt]})")

    assert said == "PermissionError", attempt


def test_the_other_learners_server_and_the_hub_are_refused_as_well(
    learners: list[Visitor], kernels: list[str]
) -> None:
    _, other = learners
    paths = ("api/contents/my_progress.toml", f"api/kernels/{kernels[0]}", "api/sessions", "lab")
    for path in paths:
        assert other.ask("GET", f"/user/learner-t1/{path}").status_code in (302, 403, 404), path
    assert other.ask("POST", "/user/learner-t1/api/kernels", json={}).status_code in (302, 403, 404)
    answer = other.web.get(f"{other.address}/hub/api/users/learner-t1", timeout=30)
    assert answer.status_code in (403, 404)


def test_a_link_in_a_home_leads_the_trainer_nowhere(
    hall: tuple[str, Path], learners: list[Visitor], kernels: list[str]
) -> None:
    _, folder = hall
    code = (
        "import os\nos.path.lexists('my_progress.toml')\nhome = os.environ['HOME']\n"
        "os.symlink(home.replace('t2', 't1') + '/my_progress.toml', home + '/my_progress.toml')"
    )
    learners[1].run(kernels[1], code)

    book = gradebook(folder / "homes")

    assert {row.learner for row in book.rows} <= {"learner-t1"}
    assert any("learner-t2" in problem for problem in book.unread)

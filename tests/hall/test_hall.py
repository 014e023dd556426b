"""A real hall with two learners: both get a lesson, and neither gets at the other's things.

What it needs stands in `tests.hall.running`.
"""

import json
import os
import pwd
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("jupyterhub")

from labkit.questions.gradebook import gradebook
from labkit.shipped import SHIPPED
from tests.hall.running import NEEDS, processes_of, running_hall
from tests.hall.visitor import Visitor

WORD = "windy bench"
NAMES = ("t1", "t2")

pytestmark = NEEDS


@pytest.fixture(scope="module")
def hall() -> Iterator[tuple[str, Path]]:
    with running_hall(WORD, NAMES) as (address, folder, _):
        yield address, folder


@pytest.fixture(scope="module")
def learners(hall: tuple[str, Path]) -> list[Visitor]:
    address, _ = hall
    both = [Visitor(address, name, class_word=WORD, own_word=f"own {name}") for name in NAMES]
    for one in both:
        assert "/doc/tree/lessons/01_" in one.arrive()
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


def test_what_can_be_wrong_with_a_line_is_there_for_all_and_worked_out_by_none(
    learners: list[Visitor], kernels: list[str]
) -> None:
    page = learners[0].ask("GET", "labkit/wrong").text
    assert page.count("<details") > 5
    found = learners[0].run(
        kernels[0], "import pathlib; print(list(pathlib.Path.home().rglob('checks-*')))"
    )
    assert found == "[]"


def test_what_only_some_pages_compile_is_compiled_without_a_word(
    learners: list[Visitor], kernels: list[str]
) -> None:
    line = learners[0].line(kernels[0])
    for cell in json.loads(next(SHIPPED.glob("lessons/05_*.ipynb")).read_text())["cells"]:
        if cell["cell_type"] == "code":
            assert line.run("".join(cell["source"])) == ""
    line.close()


def test_a_learner_who_asks_for_ever_more_processes_stands_in_nobodys_way(
    learners: list[Visitor], kernels: list[str]
) -> None:
    flood = (
        "import os, socket\nheld = []\n"
        "for _ in range(400):\n"
        "    line = socket.socket(socket.AF_UNIX)\n"
        "    line.connect(os.environ['LABKIT_COPIES'])\n"
        "    held.append(line)\n"
        "import time; time.sleep(3)\n"
        "print(sum(os.stat(f'/proc/{one}').st_uid == os.getuid() for one in os.listdir('/proc') if one.isdigit()) < 100)\n"
        "del held"
    )
    assert learners[1].run(kernels[1], flood) == "True"
    other = learners[0].kernel()
    assert learners[0].run(other, "print(2 + 2)") == "4"
    learners[0].ask("DELETE", f"api/kernels/{other}")


def test_a_loop_that_starts_processes_comes_to_an_end(
    learners: list[Visitor], kernels: list[str]
) -> None:
    code = (
        "import os, signal\nmade = []\n"
        "try:\n"
        "    for _ in range(3000):\n"
        "        if not (one := os.fork()):\n            signal.pause()\n"
        "        made.append(one)\n"
        "except BlockingIOError:\n    print(len(made) < 1000)\n"
        "for one in made:\n    os.kill(one, 9), os.waitpid(one, 0)"
    )
    assert learners[1].run(kernels[1], code) == "True"


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
    theirs = processes_of("learner-t1")
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


def test_no_process_is_had_but_ones_own(learners: list[Visitor], kernels: list[str]) -> None:
    code = (
        "import os\nfrom labkit.hall.copies import copy_for\n"
        "for account in ('root', 'learner-t1'):\n"
        "    copy = copy_for(os.environ['LABKIT_COPIES'], 'kernel', [], env=dict(os.environ), cwd='/', account=account)\n"
        "    status = open(f'/proc/{copy.pid}/status').read().splitlines()\n"
        "    ids = {int(word) for line in status if line[:4] in ('Uid:', 'Gid:') for word in line.split()[1:]}\n"
        "    print(ids == {os.getuid(), os.getgid()}, [line.split()[1:] for line in status if line[:7] == 'Groups:'])\n"
        "    copy.kill(), copy.wait()"
    )
    assert learners[1].run(kernels[1], code).splitlines() == ["True [[]]"] * 2


def test_a_kernel_that_is_killed_comes_back_and_goes_with_its_server(
    learners: list[Visitor], kernels: list[str]
) -> None:
    first = int(learners[1].run(kernels[1], "import os; print(os.getpid())"))
    learners[1].ask("POST", f"api/kernels/{kernels[1]}/restart")
    second = int(learners[1].run(kernels[1], "import os; print(os.getpid())"))
    left = processes_of("learner-t2")
    assert first not in left
    assert second in left
    (server,) = set(left) - {second}
    os.kill(server, signal.SIGKILL)
    until = time.monotonic() + 20.0
    while processes_of("learner-t2") and time.monotonic() < until:
        time.sleep(0.2)
    assert not processes_of("learner-t2")

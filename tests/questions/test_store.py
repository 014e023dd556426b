"""The learner's file loses nothing: several windows at once, cuts, full disks, hostile files."""

import contextlib
import datetime as dt
import errno
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from labkit import files
from labkit.errors import LabkitError
from labkit.questions.progress import (
    LARGEST,
    Given,
    Page,
    Result,
    keep_answer,
    keep_result,
    keep_state,
    read_progress,
    start_over,
)
from labkit.sitefile import demo_site, load_site, save_site
from labkit.view.paper import write_page

WRITERS = Path(__file__).with_name("writers.py")
RIGHT = Given(given="9 ft", outcome="right")
WRONG = Given(given="1 ft", outcome="not yet", wrong=1, slips=("meters",))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "my_progress.toml"


def _writers(*words: object) -> list[str]:
    """Run the processes of ``writers.py`` to their end, and return what they print."""
    command = [sys.executable, str(WRITERS), *map(str, words)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)  # noqa: S603
    return done.stdout.splitlines()


def test_four_windows_at_once_keep_every_answer(path: Path) -> None:
    _writers("together", path, 4, 50)

    pages = read_progress(path)

    assert sum(len(page.answers) for page in pages.values()) == 200
    for page in pages.values():
        assert [one.given for one in page.answers.values()] == [f"{n} psi" for n in range(50)]


def test_two_tabs_in_one_kernel_keep_every_answer(path: Path) -> None:
    def answer(name: str) -> None:
        for number in range(20):
            keep_answer(path, name, f"question {number}", RIGHT)

    tabs = [threading.Thread(target=answer, args=(name,)) for name in ("left", "right")]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()

    assert {name: len(page.answers) for name, page in read_progress(path).items()} == {
        "left": 20,
        "right": 20,
    }


@pytest.mark.parametrize("cuts", [50, pytest.param(1000, marks=pytest.mark.slow)])
def test_a_cut_at_any_instant_leaves_the_old_file_or_the_new(path: Path, cuts: int) -> None:
    """Kill the writer while it writes: what it said was kept is there, and at most one more."""
    for line in _writers("cut", path, cuts, 20):
        told, kept = map(int, line.split())
        assert told <= kept <= told + 1

    keep_answer(path, "lesson a", "after the cuts", RIGHT)
    assert {one.name for one in path.parent.iterdir()} <= {path.name, f".{path.name}.lock"}


def test_a_right_answer_is_never_taken_back(path: Path) -> None:
    for answer in (WRONG, WRONG, RIGHT, WRONG):
        keep_answer(path, "lesson 1", "lift", answer)

    kept = read_progress(path)["lesson 1"].answers["lift"]
    assert (kept.given, kept.outcome, kept.wrong, kept.slips) == ("9 ft", "right", 2, ("meters",))


def test_how_a_page_was_left_comes_back_until_it_is_started_over(path: Path) -> None:
    call = Result(
        task="service call", passed=True, figures={"number": 17, "minutes": 12.5, "line": "x"}
    )
    keep_state(
        path, "lesson 4", "bench", {"cut_in": 30.0, "units": "metric", "float_up": True, "n": 3}
    )
    keep_state(path, "lesson 4", "bench", {"cut_in": 31.5})
    keep_state(path, "lesson 4", "rig", {"day": 2})
    keep_state(path, "lesson 4", "rig", {})
    keep_answer(path, "lesson 4", "lift", RIGHT)
    keep_result(path, "lesson 4", call)
    keep_answer(path, "lesson 5", "lift", RIGHT)

    assert read_progress(path)["lesson 4"] == Page(
        answers={"lift": RIGHT}, state={"bench": {"cut_in": 31.5}}, results=(call,)
    )
    start_over(path, "lesson 4")
    assert read_progress(path) == {
        "lesson 4": Page(results=(call,)), "lesson 5": Page(answers={"lift": RIGHT})
    }  # fmt: skip


def test_a_file_of_the_first_form_loads_and_keeps_its_answers(path: Path) -> None:
    path.write_text(
        '# Your answers\n["lesson 1".lift]\ngiven = "9 ft"\noutcome = "right"\nwrong = 2\n'
        'slips = ["feet for psi"]\ndate = 2026-11-20\n'
    )
    old = Given(
        given="9 ft", outcome="right", wrong=2, slips=("feet for psi",), date=dt.date(2026, 11, 20)
    )
    assert read_progress(path) == {"lesson 1": Page(answers={"lift": old})}

    keep_answer(path, "lesson 2", "rise", WRONG)

    assert read_progress(path)["lesson 1"].answers == {"lift": old}


def test_mode_and_link_of_the_file_stay(tmp_path: Path, path: Path) -> None:
    real = tmp_path / "shared" / "amber.toml"
    real.parent.mkdir()
    keep_answer(real, "lesson 1", "lift", WRONG)
    assert real.stat().st_mode & 0o777 == 0o600
    real.chmod(0o640)
    path.symlink_to(real)

    keep_answer(path, "lesson 1", "lift", RIGHT)

    assert path.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert read_progress(real)["lesson 1"].answers["lift"].outcome == "right"


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _endless(path: Path) -> None:
    path.symlink_to("/dev/zero")


def _huge(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(3_000_000_000)


def _looped(path: Path) -> None:
    path.symlink_to(path)


HOSTILE: dict[str, Callable[[Path], object]] = {
    "a folder": Path.mkdir,
    "a pipe": _pipe,
    "an endless file": _endless,
    "a huge file": _huge,
    "a link to itself": _looped,
    "not UTF-8": lambda path: path.write_bytes(b"\xff\xfe\x00"),
    "zeros": lambda path: path.write_bytes(bytes(5000)),
    "nested": lambda path: path.write_text("a = " + "[" * 5000),
    "a long name": lambda path: path.write_text("a." * 150_000 + "b = 1"),
    "many long names": lambda path: path.write_text("\n".join(f"[{'a.' * 1990}b{n}]" for n in range(74))),
    "a number": lambda path: path.write_text("a = " + "9" * 7000),
    "a newer form": lambda path: path.write_text("format = 3"),
    "an odd form": lambda path: path.write_text("format = 2\npages = 3"),
    "wrong below zero": lambda path: path.write_text("[a.b]\ngiven = 'x'\noutcome = 'right'\nwrong = -1"),
    "wrong beyond count": lambda path: path.write_text(f"[a.b]\ngiven = 'x'\noutcome = 'right'\nwrong = 1{'0' * 4000}"),
    "a state that is a table": lambda path: path.write_text("format = 2\n[pages.a.state.b.c]\nd = 1"),
}  # fmt: skip


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_file_is_refused_in_one_sentence_at_once(path: Path, kind: str) -> None:
    HOSTILE[kind](path)

    for act in (read_progress, lambda file: keep_answer(file, "lesson 1", "lift", RIGHT)):
        began = time.process_time()
        with pytest.raises(
            LabkitError, match=r"^(Answers aren't being kept\. )?my_progress\.toml: [^\n]+$"
        ):
            act(path)
        assert time.process_time() - began < 2.0

    assert not path.with_name(f".{path.name}.new").exists()


def test_a_file_that_an_editor_on_windows_saved_is_read(path: Path) -> None:
    keep_answer(path, "lesson 1", "lift", RIGHT)
    path.write_text(path.read_text(encoding="utf-8"), encoding="utf-8-sig", newline="\r\n")

    keep_answer(path, "lesson 1", "rise", RIGHT)

    assert read_progress(path)["lesson 1"].answers == {"lift": RIGHT, "rise": RIGHT}


@contextlib.contextmanager
def _full_disk() -> Iterator[None]:
    """A limit on the size of files stands for the disk: writing fails half way, as it would there."""
    limit = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, limit[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limit)


def test_a_sheet_or_a_site_of_before_stays_where_the_disk_is_full(tmp_path: Path) -> None:
    card, ranch = tmp_path / "card.html", tmp_path / "ranch.toml"
    write_page("the card of before", card)
    card.chmod(0o640)
    site = demo_site("three_troughs")
    save_site(site, ranch)

    with _full_disk():
        with pytest.raises(LabkitError, match=r"card\.html: it can't be written"):
            write_page("x" * 5000, card)
        with pytest.raises(LabkitError, match=r"ranch\.toml"):
            save_site(site.changed({"switch.cut_out": "55 psi"}), ranch)

    assert card.read_text() == "the card of before"
    assert load_site(ranch) == site
    assert sorted(one.name for one in tmp_path.iterdir()) == ["card.html", "ranch.toml"]
    write_page("x" * 5000, card)
    assert card.stat().st_mode & 0o777 == 0o640


def test_a_full_disk_is_said_and_the_old_answers_stay(path: Path) -> None:
    for number in range(20):
        keep_answer(path, "lesson 1", f"question {number}", RIGHT)
    before = path.read_bytes()
    with (
        _full_disk(),
        pytest.raises(
            LabkitError,
            match=r"Answers aren't being kept\. my_progress\.toml: it can't be written: ",
        ),
    ):
        keep_answer(path, "lesson 1", "lift", RIGHT)

    assert path.read_bytes() == before
    keep_answer(path, "lesson 1", "lift", RIGHT)
    assert len(read_progress(path)["lesson 1"].answers) == 21


@contextlib.contextmanager
def _as_somebody_else() -> Iterator[None]:
    """Give up the rights of an administrator, who may write everywhere."""
    was = os.geteuid()
    if was == 0:
        os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(was)


def test_a_folder_that_may_only_be_read_is_said() -> None:
    folder = Path(tempfile.mkdtemp())
    try:
        path = folder / "my_progress.toml"
        keep_answer(path, "lesson 1", "lift", RIGHT)
        path.with_name(f".{path.name}.lock").unlink(missing_ok=True)
        path.chmod(0o444)
        folder.chmod(0o555)
        with _as_somebody_else():
            assert read_progress(path)["lesson 1"].answers == {"lift": RIGHT}
            with pytest.raises(
                LabkitError, match=r"my_progress\.toml: it can't be written: permission denied"
            ):
                keep_answer(path, "lesson 1", "rise", RIGHT)
        assert read_progress(path)["lesson 1"].answers == {"lift": RIGHT}
    finally:
        folder.chmod(0o700)
        shutil.rmtree(folder)


def test_a_file_that_a_sync_client_holds_is_waited_for(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_answer(path, "lesson 1", "lift", WRONG)
    real, refusals = os.replace, iter([True, True, False])

    def held(self: Path, target: Path) -> Path:
        if next(refusals):
            raise PermissionError(errno.EACCES, "Permission denied")
        real(self, target)
        return target

    monkeypatch.setattr(Path, "replace", held)
    keep_answer(path, "lesson 1", "lift", RIGHT)

    assert read_progress(path)["lesson 1"].answers["lift"].outcome == "right"


def test_a_window_that_never_lets_go_is_said(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "PATIENCE", 0.1)
    with files._alone_with(path), pytest.raises(LabkitError, match="another window keeps it busy"):
        keep_answer(path, "lesson 1", "lift", RIGHT)


def test_what_a_cut_left_over_is_cleared_away_and_not_followed(tmp_path: Path, path: Path) -> None:
    victim = tmp_path / "victim"
    victim.write_text("mine")
    path.with_name(f".{path.name}.new").symlink_to(victim)

    keep_answer(path, "lesson 1", "lift", RIGHT)

    assert victim.read_text() == "mine"
    assert not path.is_symlink()


def test_a_learner_cannot_grow_the_file_beyond_what_is_read(path: Path) -> None:
    for sign in ("x", "\x01", "\N{PILE OF POO}"):
        keep_answer(path, "lesson 1", "lift", Given(given=sign * 1_000_000, outcome="right"))
        assert read_progress(path)["lesson 1"].answers["lift"].given[:2] == 2 * sign

    with pytest.raises(LabkitError, match="would grow past"):
        keep_state(path, "lesson 1", "bench", {"text": "x" * LARGEST})
    assert len(read_progress(path)) == 1

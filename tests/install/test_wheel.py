"""The wheel alone is enough: outside the checkout it has the ranches, the lessons and the papers."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
import zipfile
from pathlib import Path

import pytest

from labkit.shipped import FOLDERS, LAID, lay_copy

CHECKOUT = Path(__file__).resolve().parents[2]
RANCHES = len(list((CHECKOUT / "lessons" / "sites").glob("*.toml")))
START = 120.0
"""Seconds that a server may take to answer on a busy machine."""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(command, cwd=CHECKOUT, check=True, capture_output=True)  # noqa: S603
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What a wheel unpacks to; the libraries that it needs are this environment's."""
    place = tmp_path_factory.mktemp("installed")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(place)
    return place


def _command(installed: Path, *words: str) -> tuple[list[str], dict[str, str]]:
    """Return a labkit command of the unpacked wheel, and the environment in which to run it."""
    return [sys.executable, "-m", "labkit.cli", *words], {
        **os.environ,
        "PYTHONPATH": str(installed),
    }


def _said(installed: Path, here: Path, *words: str) -> str:
    command, environment = _command(installed, *words)
    done = subprocess.run(  # noqa: S603
        command, cwd=here, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_everything_travels_in_the_wheel(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        inside = {name.removeprefix("labkit/shipped_files/") for name in packed.namelist()}

    listed = subprocess.run(  # noqa: S603
        ["git", "ls-files", *FOLDERS],  # noqa: S607
        cwd=CHECKOUT, capture_output=True, text=True, check=True,
    ).stdout.splitlines()  # fmt: skip
    assert set(listed) <= inside


def test_ranches_come_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    assert len(_said(installed, tmp_path, "sites").splitlines()) == RANCHES


def test_a_copy_is_laid_and_kept_up_to_date_without_touching_what_was_changed(
    tmp_path: Path,
) -> None:
    source, copy, said = tmp_path / "came", tmp_path / "mine", list[str]()
    for folder in FOLDERS:
        (source / folder).mkdir(parents=True)
    lesson, site = source / "lessons" / "01.ipynb", source / "lessons" / "ranch.toml"

    def write(words: str) -> None:
        cell = {"cell_type": "markdown", "source": [words]}
        lesson.write_text(json.dumps({"cells": [cell], "metadata": {"n": words}}))
        site.write_text(words)

    write("first")
    lay_copy(copy, said.append, source=source)
    assert said == [f"Copying the lessons to {copy} (2 files)"]
    mine = copy / "lessons" / "ranch.toml"

    lay_copy(copy, said.append, source=source)
    assert len(said) == 1

    # Saved by JupyterLab, a lesson has other metadata but the same words: that is no change.
    cell = {"cell_type": "markdown", "source": "first", "metadata": {}}
    (copy / "lessons" / "01.ipynb").write_text(
        json.dumps({"metadata": {}, "cells": [cell]}, indent=1)
    )
    mine.write_text("my own")
    write("second")
    lay_copy(copy, said.append, source=source)

    assert json.loads((copy / "lessons" / "01.ipynb").read_text())["cells"][0]["source"] == [
        "second"
    ]
    assert mine.read_text() == "my own"
    assert "(1 files)" in said[1]
    assert "lessons/ranch.toml is as you changed it" in said[2]
    assert json.loads((copy / LAID).read_text()).keys() == {
        "lessons/01.ipynb",
        "lessons/ranch.toml",
    }


def test_files_of_somebody_else_are_left_alone(tmp_path: Path) -> None:
    source, copy, said = tmp_path / "came", tmp_path / "mine", list[str]()
    for place, words in ((source, "ours"), (copy, "theirs")):
        (place / "lessons").mkdir(parents=True)
        (place / "lessons" / "notes.md").write_text(words)

    lay_copy(copy, said.append, source=source)

    assert (copy / "lessons" / "notes.md").read_text() == "theirs"
    assert said == []


def _answers(address: str) -> bytes:
    until = time.monotonic() + START
    while True:
        try:
            with urllib.request.urlopen(address, timeout=10) as page:  # noqa: S310
                return bytes(page.read())
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.5)


@pytest.mark.slow
def test_lessons_exercises_and_papers_come_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    for words, name in (
        (("handout", "1"), "lesson.html"),
        (("handout", "1", "--exercises", "--number", "17"), "exercise.html"),
        (("plan", "1"), "plan.html"),
        (("card", "one_trough"), "card.html"),
    ):
        _said(installed, tmp_path, *words, "--out", name)
        assert (tmp_path / name).stat().st_size > 5000
    command, environment = _command(
        installed, "open", "2", "--in", "mine", "--no-browser", "--port", "8871", "--token", "word"
    )
    with subprocess.Popen(command, cwd=tmp_path, env=environment) as server:  # noqa: S603
        try:
            listed = _answers("http://127.0.0.1:8871/api/contents/lessons?token=word")
        finally:
            server.send_signal(signal.SIGTERM)
    shown = {one["name"] for one in json.loads(listed)["content"]}
    assert {path.name for path in (CHECKOUT / "lessons").glob("*.ipynb")} <= shown
    (tmp_path / "mine" / "lessons" / "02_what_the_sun_can_push.ipynb").write_text("spoilt")
    (tmp_path / "class").mkdir()
    shutil.copy(CHECKOUT / "tests" / "install" / "amber.toml", tmp_path / "class")
    assert "1 of 1" in _said(installed, tmp_path, "gradebook", "class")

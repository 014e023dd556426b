"""Finding a lesson, refusing in one sentence, and the files that set up the page."""

import copy
import json
import os
import socket
import subprocess
import sys
import time
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, Final

import jsonschema
import nbformat
import pytest
from jupyterlab.commands import get_app_dir
from nbformat.sign import NotebookNotary

from labkit import shell

SETTINGS: Final = Path(shell.__file__).parent / "jupyter" / "settings" / "overrides.json"
NAMES: Final = ("01_a_switch", "02_a_tank", "10_a_leaking_line")


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three lessons and one exercise, with the person standing in their folder."""
    for folder, names in (("lessons", NAMES), ("exercises", ("01_for_the_switch",))):
        (tmp_path / folder).mkdir()
        for name in names:
            notebook = nbformat.v4.new_notebook(metadata={"labkit": {"autorun": True}})
            nbformat.write(notebook, tmp_path / folder / f"{name}.ipynb")
    monkeypatch.chdir(tmp_path)
    return tmp_path.resolve()


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (None, "lessons/01_a_switch.ipynb"),
        ("2", "lessons/02_a_tank.ipynb"),
        ("02", "lessons/02_a_tank.ipynb"),
        ("10", "lessons/10_a_leaking_line.ipynb"),
        ("02_a_tank.ipynb", "lessons/02_a_tank.ipynb"),
        ("Leaking line", "lessons/10_a_leaking_line.ipynb"),
        ("exercises/01_for_the_switch.ipynb", "exercises/01_for_the_switch.ipynb"),
    ],
)
def test_a_lesson_is_found_by_number_part_of_its_name_or_path(
    checkout: Path, asked: str | None, found: str
) -> None:
    assert shell.find_notebook(asked, root=checkout) == checkout / found


def test_exercises_are_looked_up_in_their_own_folder(checkout: Path) -> None:
    found = shell.find_notebook("1", root=checkout, folder="exercises")

    assert found == checkout / "exercises" / "01_for_the_switch.ipynb"


def test_an_unknown_lesson_is_answered_with_the_nearest(checkout: Path) -> None:
    with pytest.raises(shell.ShellError, match=r"named '02_a_tnk'; the nearest: 02_a_tank"):
        shell.find_notebook("02_a_tnk", root=checkout)


def test_a_name_that_fits_several_is_refused(checkout: Path) -> None:
    with pytest.raises(shell.ShellError, match="'_a_'"):
        shell.find_notebook("_a_", root=checkout)


def test_a_notebook_outside_the_folder_is_refused(
    checkout: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    outside = tmp_path_factory.mktemp("elsewhere") / "mine.ipynb"
    nbformat.write(nbformat.v4.new_notebook(), outside)

    with pytest.raises(shell.ShellError, match="lies outside"):
        shell.find_notebook(str(outside), root=checkout)


def test_the_current_folder_comes_before_the_one_labkit_came_from(checkout: Path) -> None:
    assert shell.find_root(checkout) == checkout


def test_no_lessons_anywhere_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shell, "SHIPPED", tmp_path)

    with pytest.raises(shell.ShellError, match="go to the folder that holds 'lessons'"):
        shell.find_root(tmp_path)


def test_a_fresh_copy_is_the_shipped_lesson_beside_the_edited_one(checkout: Path) -> None:
    lesson = checkout / "lessons" / "01_a_switch.ipynb"
    shipped = lesson.read_bytes()
    person = ["-c", "user.name=nobody", "-c", "user.email=nobody@example.org"]
    for command in (["init", "-q"], ["add", "."], [*person, "commit", "-q", "-m", "as shipped"]):
        subprocess.run(["git", "-C", str(checkout), *command], check=True)  # noqa: S603, S607
    lesson.write_text("spoilt")

    copies = [shell.fresh_copy(lesson, root=checkout) for _ in range(2)]

    assert [path.name for path in copies] == [
        "01_a_switch-fresh-1.ipynb",
        "01_a_switch-fresh-2.ipynb",
    ]
    assert all(path.read_bytes() == shipped for path in copies)
    assert lesson.read_text() == "spoilt"


def test_without_history_a_fresh_copy_is_refused(checkout: Path) -> None:
    with pytest.raises(shell.ShellError, match="get a new copy of the lessons instead"):
        shell.fresh_copy(checkout / "lessons" / "01_a_switch.ipynb", root=checkout)


def test_a_taken_port_is_refused_and_another_is_found_by_itself() -> None:
    with socket.create_server((shell.LOOPBACK, 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(shell.ShellError, match=f"Port {port} cannot be used"):
            shell.free_port(port)
        assert shell.free_port(None) != port


def test_the_lessons_of_this_copy_are_trusted_and_a_changed_one_is_not(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(checkout / "data"))
    lesson = checkout / "lessons" / "01_a_switch.ipynb"

    shell.trust([lesson])

    notebook = nbformat.read(lesson, as_version=4)
    changed = copy.deepcopy(notebook)
    changed.cells.append(nbformat.v4.new_code_cell("print('hello')"))
    assert NotebookNotary().check_signature(notebook)
    assert not NotebookNotary().check_signature(changed)


@pytest.mark.parametrize(
    "text",
    ["", "spoilt", "[]", '{"cells": 3}', '{"nbformat": 4, "cells": [{}]}', "[" * 90_000, "\x00"],
)
def test_a_damaged_notebook_is_named_and_the_others_are_trusted(
    checkout: Path, monkeypatch: pytest.MonkeyPatch, text: str
) -> None:
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(checkout / "data"))
    good, bad = (checkout / "lessons" / f"{name}.ipynb" for name in NAMES[:2])
    bad.write_text(text)

    assert shell.trust([bad, good]) == [bad]
    assert NotebookNotary().check_signature(nbformat.read(good, as_version=4))


def test_the_key_is_in_no_command_line_and_in_a_file_for_its_owner_only(tmp_path: Path) -> None:
    """The browser is a script that writes down its words and copies the page that it is given."""
    key, seen = "a-key-to-look-for", tmp_path / "seen"
    browser = tmp_path / "browser"
    browser.write_text(
        f'#!/bin/sh\nls -l "${{1#file://}}" > {seen}.mode; cat "${{1#file://}}" > {seen}.page; echo "$1" > {seen}\n'
    )
    browser.chmod(0o700)
    (tmp_path / "lessons").mkdir()
    code = (
        "from pathlib import Path; from labkit import shell; shell.serve("
        f"root=Path({str(tmp_path)!r}), page='/lab', port=shell.free_port(None), "
        f"token=Path({str(tmp_path / 'key')!r}).read_text(), browser=True)"
    )
    (tmp_path / "key").write_text(key)
    environment = {**os.environ, "BROWSER": f"{browser} %s"}
    with subprocess.Popen([sys.executable, "-c", code], env=environment) as server:  # noqa: S603
        until = time.monotonic() + 90.0
        while not (seen.is_file() and seen.read_text()) and time.monotonic() < until:
            time.sleep(0.2)
        time.sleep(2.0)  # until it listens, so that it stops in its own way
        lines = [
            path.read_bytes() for path in Path("/proc").glob("[0-9]*/cmdline") if path.is_file()
        ]
        server.terminate()

    assert not any(key.encode() in line for line in lines)
    assert key not in seen.read_text()
    assert key in Path(f"{seen}.page").read_text()
    assert Path(f"{seen}.mode").read_text().startswith("-rw-------")
    assert not (tmp_path / "open_lesson.html").exists()


def ran(metadata: dict[str, Any]) -> dict[str, Any]:
    cell = nbformat.v4.new_code_cell(
        "1 + 1",
        id="sum",
        execution_count=3,
        metadata={"deletable": False, "execution": {"iopub.status.busy": "now"}},
        outputs=[nbformat.v4.new_output("stream", text="2")],
    )
    notebook = nbformat.v4.new_notebook(
        cells=[cell], metadata={**metadata, "language_info": {"name": "python"}}
    )
    return {"type": "notebook", "content": notebook}


def test_what_a_run_leaves_is_not_saved_in_a_lesson() -> None:
    model = ran({"labkit": {"autorun": True}})

    shell.save_without_outputs(model=model, path="a.ipynb", contents_manager=None)

    cell = model["content"]["cells"][0]
    assert (cell["outputs"], cell["execution_count"]) == ([], None)
    assert cell["metadata"] == {"deletable": False}
    assert model["content"]["metadata"] == {"labkit": {"autorun": True}}


@pytest.mark.parametrize(
    "model", [ran({}), {"type": "file", "content": "words"}], ids=["own", "file"]
)
def test_what_is_no_lesson_is_saved_as_it_is(model: dict[str, Any]) -> None:
    before = copy.deepcopy(model)

    shell.save_without_outputs(model=model, path="a", contents_manager=None)

    assert model == before


def test_the_command_takes_the_options_of_the_readme() -> None:
    parser = ArgumentParser()
    shell.COMMANDS[0].add(parser.add_subparsers())

    options = parser.parse_args(["open", "2", "--exercises", "--no-browser", "--port", "9000"])

    assert (options.lesson, options.exercises, options.no_browser, options.port) == (
        "2",
        True,
        True,
        9000,
    )


@pytest.mark.parametrize(("plugin", "values"), json.loads(SETTINGS.read_text()).items())
def test_page_settings_are_ones_that_jupyterlab_knows(plugin: str, values: dict[str, Any]) -> None:
    """A wrong value here can leave JupyterLab on its loading screen for ever."""
    package, name = plugin.split(":")
    path = Path(get_app_dir()) / "schemas" / package / f"{name}.json"
    schema = json.loads(path.read_text(encoding="utf-8"))

    assert set(values) <= set(schema["properties"])
    jsonschema.validate(values, schema)

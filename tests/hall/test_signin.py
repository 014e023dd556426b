"""The hall's door and its settings, without a hall: names, words, one sentence where it can't be."""

import asyncio
import json
import shutil
import sys
import time
from collections.abc import Coroutine
from pathlib import Path

import pytest
from typing_extensions import override

pytest.importorskip("jupyterhub")
pytest.importorskip("segno")

from labkit.cli import main
from labkit.errors import LabkitError
from labkit.hall import hub, signin, spawner
from labkit.hall.signin import ClassSignIn, OwnWords, account_of
from labkit.hall.spawner import learner_options, make_account


@pytest.mark.parametrize(
    ("typed", "account"),
    [
        ("17", "learner-17"), (" Amber ", "learner-amber"), ("learner-17", "learner-17"),
        ("", None), ("../root", None), ("a b", None), ("x" * 17, None), ("ä", None), ("-r", None), ("\N{FULLWIDTH DIGIT ONE}", None),
    ],
)  # fmt: skip
def test_a_name_becomes_an_account_that_is_none_of_the_machines_own(
    typed: str, account: str | None
) -> None:
    assert account_of(typed) == account


def test_the_first_word_is_ones_own_and_nobody_elses_fits(tmp_path: Path) -> None:
    words = OwnWords(tmp_path / "words.json")

    assert not words.fits("learner-1", "abc"), "too short, and not taken"
    assert words.fits("learner-1", "apple")
    assert words.fits("learner-1", "apple")
    assert not words.fits("learner-1", "pears")
    assert not words.fits("learner-1", "apple" * 100)
    assert words.fits("learner-2", "pears")

    kept = (tmp_path / "words.json").read_text()
    assert "apple" not in kept
    assert (tmp_path / "words.json").stat().st_mode & 0o777 == 0o600
    assert sorted(json.loads(kept)) == ["learner-1", "learner-2"]
    words.forget("learner-1")
    assert words.fits("learner-1", "plums")


def test_who_forgot_a_word_chooses_one_anew(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "hall"
    hub.make_folders(folder)
    words = OwnWords(folder / "private" / hub.OWN_WORDS)
    assert words.fits("learner-17", "apple")

    assert main(["hub", "--folder", str(folder), "--forget", "17"]) == 0
    assert words.fits("learner-17", "pears")
    for name in ("18", "../root", ""):
        assert main(["hub", "--folder", str(folder), "--forget", name]) == 2
        assert f"'{name}' has not signed in" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "class_word", "own", "account"),
    [
        ("17", "windy bench", "apple", "learner-17"), ("17", " Windy Bench ", "apple", "learner-17"),
        ("17", "windy", "apple", None), ("17", "", "apple", None), ("root/", "windy bench", "apple", None),
        ("17", "windy bench", "", None),
    ],
)  # fmt: skip
def test_both_words_are_asked_for(
    tmp_path: Path, name: str, class_word: str, own: str, account: str | None
) -> None:
    door = ClassSignIn(class_word="windy bench", own_words=str(tmp_path / "words.json"))
    data = {"username": name, "class_word": class_word, "password": own}

    assert asyncio.run(door.authenticate(None, data)) == account


def test_a_script_guesses_no_faster_than_one_word_in_a_pause(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(signin, "PAUSE", 0.3)
    door = ClassSignIn(class_word="windy bench", own_words=str(tmp_path / "words.json"))

    def typed(name: str, own: str) -> Coroutine[None, None, str | None]:
        data = {"username": name, "class_word": "windy bench", "password": own}
        return door.authenticate(None, data)

    async def all_at_once() -> tuple[list[str | None], float, float]:
        await typed("1", "apple")
        began = time.monotonic()
        guesses = asyncio.gather(*(typed("1", f"guess {one}") for one in range(4)))
        await typed("2", "pears")
        other = time.monotonic() - began
        return await guesses, time.monotonic() - began, other

    guessed, took, other = asyncio.run(all_at_once())

    assert guessed == [None] * 4
    assert took >= 4 * 0.3
    assert other < 4 * 0.3, "nobody else waits"
    assert asyncio.run(typed("1", "apple")) == "learner-1"


def test_names_without_end_keep_nobody_out_who_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(signin, "MOST_NAMES", 3)
    words = OwnWords(tmp_path / "words.json")

    assert [words.fits(f"learner-{one}", "apple") for one in range(5)] == [True] * 3 + [False] * 2
    assert words.fits("learner-0", "apple")
    assert not words.fits("learner-4", "")


def test_the_longest_list_of_names_can_be_read(tmp_path: Path) -> None:
    words = OwnWords(tmp_path / "words.json")
    told = f"{'0' * 32} {'0' * 128}"
    longest = {f"learner-{one:016}": told for one in range(signin.MOST_NAMES)}
    (tmp_path / "words.json").write_text(json.dumps(longest, indent=0))

    assert not words.fits("learner-1", "apple")
    words.forget("learner-0000000000000001")
    assert words.fits("learner-1", "apple")


def test_a_door_without_a_class_word_stays_shut(tmp_path: Path) -> None:
    door = ClassSignIn(own_words=str(tmp_path / "words.json"))
    data = {"username": "17", "class_word": "", "password": "apple"}
    assert asyncio.run(door.authenticate(None, data)) is None


def test_the_settings_are_python_whatever_the_class_word(tmp_path: Path) -> None:
    word = 'it\'s "x" \\ {0}\N{SNOWMAN}'
    text = hub.hub_settings(
        tmp_path, word=word, port=8000, inner=(8081, 8001), lesson="lessons/01 a.ipynb"
    )

    class Namespace(dict[str, object]):
        def __getattr__(self, name: str) -> "Namespace":
            kept = self.setdefault(name, Namespace())
            assert isinstance(kept, Namespace)
            return kept

        @override
        def __setattr__(self, name: str, value: object) -> None:
            self[name] = value

    settings = Namespace()
    exec(text, {"get_config": lambda: settings})  # noqa: S102
    assert settings.ClassSignIn["class_word"] == word
    assert settings.Spawner["default_url"] == "/doc/tree/lessons/01%20a.ipynb"
    assert settings.JupyterHub["hub_ip"] == "127.0.0.1"
    assert settings.ConfigurableHTTPProxy["command"] == hub.ends_with_us([hub.PROXY])


def test_kernels_have_no_ports_and_the_key_is_the_hubs(tmp_path: Path) -> None:
    options = learner_options(tmp_path)
    assert "--KernelManager.transport=ipc" in options
    assert f"--ServerApp.root_dir={tmp_path}" in options
    assert not any(
        one.startswith(("--IdentityProvider", "--ServerApp.ip", "--ServerApp.port="))
        for one in options
    )


def test_a_trainers_words_reach_the_learners(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "LABKIT_WORDS" not in spawner._environment(tmp_path)
    monkeypatch.setenv("LABKIT_WORDS", "/srv/words")
    assert spawner._environment(tmp_path)["LABKIT_WORDS"] == "/srv/words"


def test_the_projector_shows_address_code_and_word() -> None:
    page = hub.projector_page("http://10.0.0.7:8000/", "<windy> bench")
    assert "<svg" in page
    assert "http://10.0.0.7:8000/" in page
    assert "&lt;windy&gt; bench" in page


@pytest.mark.parametrize("word", ["short", "       x", "tab\tin it here"])
def test_a_class_word_too_short_is_refused(word: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.geteuid", lambda: 0)
    with pytest.raises(LabkitError, match="class word needs 8 letters"):
        hub.check_machine(word)


def test_each_thing_that_is_missing_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.geteuid", lambda: 0)
    monkeypatch.setattr(shutil, "which", lambda name: None if name == "setpriv" else name)
    with pytest.raises(LabkitError, match="util-linux"):
        hub.check_machine("windy bench")
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(LabkitError, match="npm install -g configurable-http-proxy"):
        hub.check_machine("windy bench")
    monkeypatch.setattr(hub, "find_spec", lambda _: None)
    with pytest.raises(LabkitError, match=r"pip install 'labkit\[hall\]'"):
        hub.check_machine("windy bench")
    monkeypatch.setattr("os.geteuid", lambda: 1000)
    with pytest.raises(LabkitError, match="as root"):
        hub.check_machine("windy bench")
    monkeypatch.setattr(sys, "platform", "win32")
    with pytest.raises(LabkitError, match="on Windows or macOS use a Linux machine"):
        hub.check_machine("windy bench")


def test_a_home_with_a_long_path_is_refused_before_an_account_is_made(tmp_path: Path) -> None:
    with pytest.raises(LabkitError, match="shorter path"):
        make_account("learner-17", tmp_path / ("x" * 60))

"""The browser is told a page to open, and never the key; the page is its owner's alone."""

import contextlib
import threading
from pathlib import Path
from urllib.parse import urlparse
from urllib.request import url2pathname

import pytest

from labkit.errors import LabkitError
from labkit.lab import home_server
from labkit.lab.door import TO_HOME, private_door
from labkit.shell import free_port


def test_the_page_leads_to_the_address_and_is_for_its_owner_only(tmp_path: Path) -> None:
    victim = tmp_path / "victim"
    victim.write_text("mine")
    (tmp_path / TO_HOME).symlink_to(victim)

    door = private_door(tmp_path, name=TO_HOME, address="http://127.0.0.1:1/?a=1&token=k")

    assert door.stat().st_mode & 0o777 == 0o600
    assert "url=http://127.0.0.1:1/?a=1&amp;token=k" in door.read_text()
    assert victim.read_text() == "mine"


def test_the_next_folder_is_taken_and_none_is_said(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    assert private_door(gone, tmp_path, name=TO_HOME) == tmp_path / TO_HOME
    with pytest.raises(LabkitError, match="no page can be written there"):
        private_door(gone, name=TO_HOME)


def test_the_home_page_opens_without_its_key_in_a_command_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    opened, pages = threading.Event(), list[str]()

    def browser(address: str) -> None:
        told.append(address)
        pages.append(Path(url2pathname(urlparse(address).path)).read_text())
        opened.set()

    monkeypatch.setattr(home_server.webbrowser, "open", browser)  # type: ignore[attr-defined]
    monkeypatch.setattr(home_server, "_processes", lambda *_: contextlib.nullcontext())
    monkeypatch.setattr(home_server._Server, "serve_forever", lambda _: opened.wait(30))
    home_server.serve_home(
        root=tmp_path, port=free_port(None), lab_port=1,
        token="the-key", browser=True, report=lambda _: None,  # noqa: S106
    )  # fmt: skip

    assert opened.is_set()
    assert "the-key" not in told[0]
    assert "token=the-key" in pages[0]
    assert not (tmp_path / TO_HOME).exists()

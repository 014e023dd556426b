"""The icon on the desktop, as each system wants it; the systems that are not here are imitated."""

import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from labkit.errors import LabkitError
from labkit.lab.shortcut import find_desktop, make_shortcut

AWKWARD = 'a ranch, "North 40" & 100% $HOME `x`'


@pytest.fixture
def desktop(tmp_path: Path) -> Path:
    place = tmp_path / "Desktop"
    place.mkdir()
    return place


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / AWKWARD
    place.mkdir()
    return place


def test_a_mac_gets_a_script_that_goes_to_the_folder(
    desktop: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Run for real, with something harmless for Python: a shell is a shell."""
    monkeypatch.setattr(sys, "executable", "/bin/echo")
    path = make_shortcut(folder, system="darwin", desktop=desktop)

    assert path.name == "labkit.command"
    done = subprocess.run([str(path)], capture_output=True, text=True, check=True)  # noqa: S603
    assert done.stdout.strip() == "-m labkit.cli open"
    line = path.read_text().splitlines()[1]
    assert shlex.split(line)[:2] == ["cd", str(folder)]


def test_linux_gets_a_desktop_entry(
    desktop: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", '/opt/100% "py"/bin/py$thon')
    path = make_shortcut(folder, system="linux", desktop=desktop)

    entry = dict(line.split("=", 1) for line in path.read_text().splitlines()[1:])
    assert path.read_text().startswith("[Desktop Entry]\n")
    assert (entry["Type"], entry["Terminal"], entry["Path"]) == ("Application", "true", str(folder))
    assert Path(entry["Icon"]).read_text().startswith("<svg")
    assert path.stat().st_mode & 0o100, "it may be run"
    # by the Desktop Entry Specification: quoting of the command, then escaping of the file's text
    assert entry["Exec"] == r'"/opt/100%% \\"py\\"/bin/py\\$thon" "-m" "labkit.cli" "open"'


def test_windows_gets_a_batch_file(
    desktop: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", r"C:\Users\Ann Ü\100%\python.exe")
    path = make_shortcut(folder, system="win32", desktop=desktop)

    lines = path.read_bytes().decode().split("\r\n")
    assert path.name == "labkit.cmd"
    assert lines[1] == "chcp 65001 >nul", "names in any letters"
    assert lines[2] == f'cd /d "{str(folder).replace("%", "%%")}"'
    assert lines[3] == r'"C:\Users\Ann Ü\100%%\python.exe" -m labkit.cli open'


def test_a_second_icon_takes_the_first_ones_place(desktop: Path, folder: Path) -> None:
    first = make_shortcut(folder, system="linux", desktop=desktop)
    assert make_shortcut(folder, system="linux", desktop=desktop) == first


def test_without_a_desktop_it_asks_where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    monkeypatch.setenv("PATH", "")
    monkeypatch.delenv("OneDrive", raising=False)
    for system in ("linux", "darwin", "win32"):
        with pytest.raises(LabkitError, match="--to FOLDER"):
            make_shortcut(tmp_path, system=system)


def test_the_desktop_is_found_where_each_system_has_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    monkeypatch.setenv("OneDrive", str(tmp_path / "cloud"))
    for place in ("Desktop", "cloud/Desktop", "Schreibtisch"):
        (tmp_path / place).mkdir(parents=True)

    assert find_desktop("darwin") == tmp_path / "Desktop"
    assert find_desktop("win32") == tmp_path / "cloud" / "Desktop"
    monkeypatch.setattr(
        subprocess,
        "run",
        lambda *_, **__: subprocess.CompletedProcess([], 0, f"{tmp_path}/Schreibtisch\n"),
    )
    assert find_desktop("linux") == tmp_path / "Schreibtisch"


def test_a_desktop_that_cannot_be_written_is_named(
    desktop: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "write_text", refuse)
    with pytest.raises(LabkitError, match=r"Desktop: the icon can't be written there: permission"):
        make_shortcut(folder, system="linux", desktop=desktop)

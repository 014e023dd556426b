"""An icon on the desktop that opens the home page: for people who never see the black window."""

import os
import shlex
import stat
import subprocess
import sys
from pathlib import Path
from typing import Final

from labkit.errors import LabkitError
from labkit.files import reason
from labkit.text import sentence

NAME: Final = "labkit"
_ICON: Final = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64">
<rect width="64" height="64" rx="12" fill="#f3f5f6"/>
<path d="M8 50C26 50 30 30 44 30" fill="none" stroke="#41505a" stroke-width="6"/>
<path d="M40 24v18h18V24" fill="#56b4e9" stroke="#41505a" stroke-width="4"/>
<circle cx="20" cy="20" r="13" fill="#fff" stroke="#41505a" stroke-width="4"/>
<path d="M20 20l6-8" stroke="#d55e00" stroke-width="4" stroke-linecap="round"/></svg>
"""


def make_shortcut(folder: Path, *, system: str = sys.platform, desktop: Path | None = None) -> Path:
    """Put an icon on the desktop that runs ``labkit open`` in a folder; return the icon's file.

    The system is as `sys.platform` names it, the desktop this person's own if left out.
    """
    place = desktop or find_desktop(system)
    if place is None or not place.is_dir():
        raise LabkitError(
            "There is no desktop folder on this machine; say where the icon goes with --to FOLDER"
        )
    make = {"win32": _windows, "darwin": _mac}.get(system, _linux)
    try:
        return make(folder, place)
    except OSError as problem:
        raise LabkitError(f"{place}: the icon can't be written there: {reason(problem)}") from None


def find_desktop(system: str) -> Path | None:
    """Return this person's desktop folder; None if there is none."""
    home = Path.home()
    if system not in {"win32", "darwin"}:
        try:
            asked = ["xdg-user-dir", "DESKTOP"]
            said = subprocess.run(asked, capture_output=True, text=True, check=True).stdout.strip()  # noqa: S603
        except (OSError, subprocess.CalledProcessError):
            said = ""
        if said and Path(said) != home and Path(said).is_dir():
            return Path(said)
    synced = os.environ.get("OneDrive")  # noqa: SIM112 - the variable's own spelling
    places = [Path(synced) / "Desktop"] if system == "win32" and synced else []
    return next((place for place in [*places, home / "Desktop"] if place.is_dir()), None)


def _linux(folder: Path, place: Path) -> Path:
    """Write a desktop entry, by the freedesktop.org specification."""
    icon = place / f".{NAME}.svg"
    icon.write_text(_ICON, encoding="utf-8")
    path = place / f"{NAME}.desktop"
    command = " ".join(
        _desktop_quoted(word) for word in (sys.executable, "-m", "labkit.cli", "open")
    )
    lines = (
        "[Desktop Entry]",
        "Type=Application",
        "Version=1.5",
        "Name=labkit",
        f"Comment={sentence('commands', 'icon')}",
        f"Exec={command}",
        f"Path={_desktop_text(str(folder))}",
        f"Icon={_desktop_text(str(icon))}",
        "Terminal=true",
        "Categories=Education;",
    )
    _write(path, "\n".join(lines) + "\n")
    return path


def _desktop_text(words: str) -> str:
    return words.replace("\\", "\\\\")


def _desktop_quoted(word: str) -> str:
    """Quote a word of a command: twice, for the command and for the file, as the rules ask."""
    inner = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in word)
    return '"' + inner.replace("\\", "\\\\").replace("%", "%%") + '"'


def _mac(folder: Path, place: Path) -> Path:
    """Write a script that the finder runs in a terminal."""
    path = place / f"{NAME}.command"
    command = shlex.join([sys.executable, "-m", "labkit.cli", "open"])
    _write(path, f"#!/bin/sh\ncd {shlex.quote(str(folder))} && exec {command}\n")
    return path


def _windows(folder: Path, place: Path) -> Path:
    """Write a batch file; a percent sign in a name must stand twice in it."""
    path = place / f"{NAME}.cmd"
    where, python = (str(one).replace("%", "%%") for one in (folder, sys.executable))
    lines = (
        "@echo off",
        "chcp 65001 >nul",
        f'cd /d "{where}"',
        f'"{python}" -m labkit.cli open',
        "",
    )
    path.write_text("\r\n".join(lines), encoding="utf-8", newline="")
    return path


def _write(path: Path, text: str) -> None:
    """Write a file that may be run."""
    path.write_text(text, encoding="utf-8", newline="\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)

"""A folder for a USB stick: everything that a room without internet needs to install labkit.

What each kind of laptop needs is worked out for that kind, not for this machine: the libraries of
Windows differ from those of a Mac. Only ready-made wheels are taken, since a laptop in a classroom
has no compiler.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable, Sequence
from importlib.metadata import PackageNotFoundError, distribution
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

import attrs

from labkit.errors import LabkitError
from labkit.shipped import IS_CHECKOUT, SHIPPED

Report = Callable[[str], None]


@attrs.frozen(kw_only=True)
class System:
    """A kind of laptop.

    Attributes
    ----------
    name : str
        In people's words.
    target : str
        What the resolver calls it.
    tags : tuple of str
        Wheels that it can use, by the platform in their names; those without one it can always.
    """

    name: str
    target: str
    tags: tuple[str, ...]


def _mac(kind: str, first: int) -> tuple[str, ...]:
    old = tuple(
        f"macosx_10_{minor}_{one}" for minor in range(9, 16) for one in (kind, "universal2")
    )
    new = tuple(f"macosx_{n}_0_{one}" for n in range(first, 15) for one in (kind, "universal2"))
    return (*old, *new)


SYSTEMS: Final = {
    "windows": System(name="Windows", target="x86_64-pc-windows-msvc", tags=("win_amd64",)),
    "mac-arm": System(
        name="Mac with an Apple chip", target="aarch64-apple-darwin", tags=_mac("arm64", 11)
    ),
    "mac-intel": System(
        name="Mac with an Intel chip", target="x86_64-apple-darwin", tags=_mac("x86_64", 11)
    ),
    "linux": System(
        name="Linux",
        target="x86_64-manylinux_2_28",
        tags=(
            "manylinux1_x86_64", "manylinux2010_x86_64", "manylinux2014_x86_64",
            *(f"manylinux_2_{minor}_x86_64" for minor in range(5, 29)),
        ),
    ),
}  # fmt: skip

WHEELS: Final = "wheels"
PYTHONS: Final = ("3.11", "3.12", "3.13", "3.14")


def add_stick_command(commands: Any) -> None:
    """Add ``labkit stick``."""
    stick = commands.add_parser(
        "stick",
        help="make a folder for a USB stick that installs labkit without internet",
        description="Needs the internet once, and about 200 MB for each kind of laptop.",
    )
    stick.add_argument("folder", metavar="FOLDER", help="made if it isn't there")
    stick.add_argument(
        "--systems", nargs="+", choices=sorted(SYSTEMS), default=list(SYSTEMS), help="default: all"
    )
    stick.add_argument(
        "--python",
        nargs="+",
        choices=PYTHONS,
        default=[f"{sys.version_info.major}.{sys.version_info.minor}"],
        help="Python on the laptops (default: %(default)s, as here)",
    )
    stick.set_defaults(run=_run)


def _run(options: argparse.Namespace, report: Report) -> None:
    make_stick(Path(options.folder), systems=options.systems, pythons=options.python, report=report)


def make_stick(
    folder: Path, *, systems: Sequence[str], pythons: Sequence[str], report: Report
) -> None:
    """Put wheels, start files and a page that says what to do into a folder.

    Parameters
    ----------
    folder : Path
        Made if it isn't there; wheels that are there already are kept.
    systems : sequence of str
        Keys of `SYSTEMS`.
    pythons : sequence of str
        Versions of Python that the laptops have, such as ``"3.12"``.
    report : callable
        Takes each line of progress.

    Raises
    ------
    LabkitError
        If the tools are missing, something isn't to be had as a wheel, or the disk is full.
    """
    _check_tools()
    wheels = folder / WHEELS
    try:
        wheels.mkdir(parents=True, exist_ok=True)
        report("Packing labkit with its lessons …")
        own = own_wheel(wheels)
        for key in systems:
            for python in pythons:
                report(f"Fetching what {SYSTEMS[key].name} with Python {python} needs …")
                fetch(own, wheels, system=SYSTEMS[key], python=python)
        _write_start_files(folder, systems, pythons)
    except OSError as problem:
        why = (problem.strerror or "no reason given").lower()
        raise LabkitError(f"{folder}: the stick can't be made: {why}") from None
    size = sum(path.stat().st_size for path in wheels.iterdir()) / 1e6
    count = len(list(wheels.glob("*.whl")))
    report(f"{folder} is ready: {count} wheels, {size:.0f} MB. Copy the whole folder to the stick.")


def _check_tools() -> None:
    missing = [name for name in ("pip", "uv") if find_spec(name) is None and not shutil.which(name)]
    if missing:
        raise LabkitError(
            f"labkit stick needs {' and '.join(missing)}; install labkit with its extra: "
            "pip install 'labkit[stick]'"
        )


def own_wheel(folder: Path) -> Path:
    """Return a wheel of this very labkit: built in a checkout, else packed from its own files."""
    for old in folder.glob("labkit-*.whl"):
        old.unlink()
    if IS_CHECKOUT:
        _tool("uv", "build", "--wheel", "--quiet", "--out-dir", str(folder), str(SHIPPED))
        (folder / ".gitignore").unlink(missing_ok=True)
        return next(folder.glob("labkit-*.whl"))
    try:
        here = distribution("labkit")
    except PackageNotFoundError:
        raise LabkitError("labkit is not installed as a package here; install it first") from None
    wheel = folder / f"labkit-{here.version}-py3-none-any.whl"
    made_here = ("__pycache__", "direct_url.json", "INSTALLER", "REQUESTED")
    with zipfile.ZipFile(wheel, "w", zipfile.ZIP_DEFLATED) as packed:
        for file in here.files or ():
            if ".." not in file.parts and not any(one in file.parts for one in made_here):
                packed.write(str(file.locate()), file.as_posix())
    return wheel


def fetch(own: Path, wheels: Path, *, system: System, python: str) -> None:
    """Put the wheels that one kind of laptop needs into a folder.

    Raises
    ------
    LabkitError
        If something isn't to be had as a ready-made wheel.
    """
    listed = wanted(own, system=system, python=python)
    with tempfile.TemporaryDirectory(prefix="labkit-") as place:
        needs = Path(place) / "needs.txt"
        needs.write_text("\n".join(listed), encoding="utf-8")
        platforms = [word for tag in system.tags for word in ("--platform", tag)]
        _tool(
            "pip", "download", "--quiet", "--no-deps", "--only-binary", ":all:",
            "--dest", str(wheels), "--find-links", str(wheels), "--implementation", "cp",
            "--python-version", python, *platforms, "--requirement", str(needs),
        )  # fmt: skip


def wanted(own: Path, *, system: System, python: str) -> list[str]:
    """Return the exact versions of everything that labkit needs on one kind of laptop."""
    with tempfile.TemporaryDirectory(prefix="labkit-") as place:
        asked = Path(place) / "asked.txt"
        asked.write_text(f"labkit @ {own.resolve().as_uri()}\n", encoding="utf-8")
        said = _tool(
            "uv", "pip", "compile", "--quiet", "--no-header", "--no-annotate",
            "--only-binary", ":all:", "--python-platform", system.target,
            "--python-version", python, str(asked),
        )  # fmt: skip
    return [line for line in said.splitlines() if line.strip() and not line.startswith("labkit")]


def _tool(name: str, *words: str) -> str:
    """Run a tool of this environment, or of this machine; give what it prints."""
    inside = find_spec(name) is not None
    command = [sys.executable, "-m", name] if inside else [name]
    done = subprocess.run([*command, *words], capture_output=True, text=True, check=False)  # noqa: S603
    if done.returncode != 0:
        said = [line for line in done.stderr.splitlines() if line.strip()]
        why = said[-1].strip()[:300] if said else f"exit code {done.returncode}"
        raise LabkitError(f"{name} {words[0]} failed: {why}")
    return done.stdout


_UNIX: Final = """\
#!/bin/sh
# Installs labkit from this stick, without internet, and opens the first lesson.
here="$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)"
home="${LABKIT_HOME:-$HOME/labkit-lessons}"
for python in PYTHONS python3; do
  command -v "$python" >/dev/null 2>&1 && break
done
if ! command -v "$python" >/dev/null 2>&1; then
  echo "Python is missing. Open READ_ME_FIRST.html on the stick: it says what to install."; exit 1
fi
if [ ! -x "$home/.venv/bin/labkit" ]; then
  echo "Setting up in $home. This takes a few minutes."
  mkdir -p "$home" && "$python" -m venv "$home/.venv" || {
    echo "$home can't be set up. Set LABKIT_HOME to a folder of yours and start again."; exit 1
  }
fi
echo "Copying from the stick ..."
"$home/.venv/bin/python" -m pip install --no-index --find-links "$here/wheels" --upgrade labkit \\
  || { echo "This stick doesn't fit this laptop. READ_ME_FIRST.html says what fits."; exit 1; }
exec "$home/.venv/bin/labkit" open --in "$home" "$@"
"""
_WINDOWS: Final = """\
@echo off
rem Installs labkit from this stick, without internet, and opens the first lesson.
rem Names of folders stay in quotes: a bracket or an ampersand in one would end the line's meaning.
setlocal
set "here=%~dp0"
if not defined LABKIT_HOME set "LABKIT_HOME=%USERPROFILE%\\labkit-lessons"
set "bin=%LABKIT_HOME%\\.venv\\Scripts"
set "from=--no-index --find-links"
set "python="
for %%v in (VERSIONS) do if not defined python py -%%v -c "" >nul 2>nul && set "python=py -%%v"
if not defined python goto :no_python
if exist "%bin%\\labkit.exe" goto :copy
echo Setting up in "%LABKIT_HOME%". This takes a few minutes.
%python% -m venv "%LABKIT_HOME%\\.venv" || goto :no_folder
:copy
echo Copying from the stick ...
"%bin%\\python" -m pip install %from% "%here%wheels" --upgrade labkit || goto :no_fit
"%bin%\\labkit" open --in "%LABKIT_HOME%" %* || goto :ended
exit /b 0
:no_python
echo Python is missing. Open READ_ME_FIRST.html on the stick: it says what to install.
goto :ended
:no_folder
echo "%LABKIT_HOME%" can't be set up. Set LABKIT_HOME to a folder of yours and start again.
goto :ended
:no_fit
echo This stick doesn't fit this laptop. READ_ME_FIRST.html says what fits.
:ended
pause
exit /b 1
"""
_PAGE: Final = """\
<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Read me first</title><style>
body {{ font: 1.1rem/1.5 sans-serif; max-width: 40em; margin: 2em auto; padding: 0 1em; }}
</style></head><body>
<h1>labkit from a stick, without internet</h1>
<p>This stick fits: <b>{systems}</b>, with <b>Python {pythons}</b>.</p>
<ol>
<li>Copy the whole folder to the laptop's disk. A stick is slow, and gets pulled out.</li>
<li>Python must be on the laptop. Install it before the day, while there is internet. On Windows
keep the launcher <code>py</code> that comes along.</li>
<li>Open the start file: <b>start-windows.bat</b> by double-clicking it,
<b>start-mac.command</b> by right-click and Open,
<b>start-linux.sh</b> with <code>sh start-linux.sh</code> in a terminal.</li>
<li>The first time takes a few minutes. Then the first lesson opens in the browser.
Let it show its picture once, the evening before.</li>
</ol>
<p>Your lessons are then in the folder <b>labkit-lessons</b> in your home folder. The same start
file opens them again. Your answers are in <code>my_progress.toml</code> there.
That file is yours.</p>
</body></html>
"""


def _write_start_files(folder: Path, systems: Sequence[str], pythons: Sequence[str]) -> None:
    """Write a start file for each kind of laptop, and the page that says what to do."""
    unix = _UNIX.replace("PYTHONS", " ".join(f"python{version}" for version in pythons))
    for name, keys in (
        ("start-mac.command", {"mac-arm", "mac-intel"}),
        ("start-linux.sh", {"linux"}),
    ):
        if keys & set(systems):
            (folder / name).write_text(unix, encoding="utf-8", newline="\n")
            (folder / name).chmod(0o755)
    if "windows" in systems:
        words = _WINDOWS.replace("VERSIONS", " ".join(pythons))
        (folder / "start-windows.bat").write_text(words, encoding="ascii", newline="\r\n")
    names = ", ".join(SYSTEMS[key].name for key in systems)
    page = _PAGE.format(systems=names, pythons=" or ".join(pythons))
    (folder / "READ_ME_FIRST.html").write_text(page, encoding="utf-8")
    if hasattr(os, "sync"):
        os.sync()  # a stick is pulled out as soon as the last line is read

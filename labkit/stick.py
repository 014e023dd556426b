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
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, distribution
from importlib.util import find_spec
from pathlib import Path
from typing import Final

import attrs

from labkit.commands import Report, command, option, say
from labkit.errors import LabkitError
from labkit.files import reason
from labkit.shipped import IS_CHECKOUT, SHIPPED
from labkit.text import page


@attrs.frozen(kw_only=True)
class System:
    """A kind of laptop."""

    key: str  # what it goes by
    target: str  # what the resolver calls it
    # wheels that it can use, by the platform in their names; those without one it can always
    tags: tuple[str, ...]

    @property
    def name(self) -> str:
        """What people call it."""
        return say(f"system-{self.key}")


def _mac(kind: str, first: int) -> tuple[str, ...]:
    old = tuple(
        f"macosx_10_{minor}_{one}" for minor in range(9, 16) for one in (kind, "universal2")
    )
    new = tuple(f"macosx_{n}_0_{one}" for n in range(first, 15) for one in (kind, "universal2"))
    return (*old, *new)


SYSTEMS: Final = {
    one.key: one for one in (
    System(key="windows", target="x86_64-pc-windows-msvc", tags=("win_amd64",)),
    System(
        key="mac-arm", target="aarch64-apple-darwin", tags=_mac("arm64", 11)
    ),
    System(
        key="mac-intel", target="x86_64-apple-darwin", tags=_mac("x86_64", 11)
    ),
    System(
        key="linux",
        target="x86_64-manylinux_2_28",
        tags=(
            "manylinux1_x86_64", "manylinux2010_x86_64", "manylinux2014_x86_64",
            *(f"manylinux_2_{minor}_x86_64" for minor in range(5, 29)),
        ),
    ),
)}  # fmt: skip

WHEELS: Final = "wheels"
PYTHONS: Final = ("3.11", "3.12", "3.13", "3.14")


def _run(options: argparse.Namespace, report: Report) -> None:
    make_stick(Path(options.folder), systems=options.systems, pythons=options.python, report=report)


def make_stick(
    folder: Path, *, systems: Sequence[str], pythons: Sequence[str], report: Report
) -> None:
    """Put wheels, start files and a page that says what to do into a folder.

    It is made if it isn't there; wheels that are there already are kept.
    """
    _check_tools()
    wheels = folder / WHEELS
    try:
        wheels.mkdir(parents=True, exist_ok=True)
        report(say("packing"))
        own = own_wheel(wheels)
        for key in systems:
            for python in pythons:
                report(say("fetching", system=SYSTEMS[key].name, python=python))
                fetch(own, wheels, system=SYSTEMS[key], python=python)
        _write_start_files(folder, systems, pythons)
    except OSError as problem:
        raise LabkitError(f"{folder}: the stick can't be made: {reason(problem)}") from None
    size = sum(path.stat().st_size for path in wheels.iterdir()) / 1e6
    count = len(list(wheels.glob("*.whl")))
    report(say("stick-ready", folder=str(folder), count=count, size=f"{size:.0f}"))


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
    """Put the wheels that one kind of laptop needs into a folder."""
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


def _write_start_files(folder: Path, systems: Sequence[str], pythons: Sequence[str]) -> None:
    """Write a start file for each kind of laptop, and the page that says what to do."""
    unix = page("start.sh", pythons=" ".join(f"python{version}" for version in pythons))
    for name, keys in (
        ("start-mac.command", {"mac-arm", "mac-intel"}),
        ("start-linux.sh", {"linux"}),
    ):
        if keys & set(systems):
            (folder / name).write_text(unix, encoding="utf-8", newline="\n")
            (folder / name).chmod(0o755)
    if "windows" in systems:
        words = page("start.bat", versions=" ".join(pythons))
        (folder / "start-windows.bat").write_text(words, encoding="ascii", newline="\r\n")
    names = ", ".join(SYSTEMS[key].name for key in systems)
    *others, last = pythons
    fits = say("pythons", all=", ".join(others), last=last) if others else last
    read_me = page("read_me_first.html", systems=names, pythons=fits)
    (folder / "READ_ME_FIRST.html").write_text(read_me, encoding="utf-8")
    if hasattr(os, "sync"):
        os.sync()  # a stick is pulled out as soon as the last line is read


_OWN_PYTHON: Final = f"{sys.version_info.major}.{sys.version_info.minor}"
COMMANDS: Final = (
    command("stick", _run, option("folder", metavar="FOLDER"),
            option("--systems", nargs="+", choices=sorted(SYSTEMS), default=list(SYSTEMS)),
            option("--python", nargs="+", choices=PYTHONS, default=[_OWN_PYTHON])),
)  # fmt: skip

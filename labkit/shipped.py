"""What comes along: lessons, exercises, demo ranches, measured sun, the trainer's pages.

In a checkout they are the folders beside the package; an installed one has `shipped_files`. People
work in a copy of their own, which is brought up to date without touching what they changed.
"""

import contextlib
import hashlib
import json
import shutil
from pathlib import Path
from typing import Final

from labkit.commands import Report, say
from labkit.errors import LabkitError

_INSTALLED: Final = Path(__file__).resolve().parent / "shipped_files"
IS_CHECKOUT: Final = not _INSTALLED.is_dir()
"""Whether the lessons are the very ones that somebody writes, and not a copy in a package."""

SHIPPED: Final = Path(__file__).resolve().parent.parent if IS_CHECKOUT else _INSTALLED
"""The folder that holds `lessons` and `exercises` as they came."""

FOLDERS: Final = ("lessons", "exercises")

USUAL_COPY: Final = "labkit-lessons"
"""Name of a learner's copy, in the home folder, where no other place is given."""

LAID: Final = ".shipped.json"  # name of the list of what was copied, by which a copy is known


def lay_copy(folder: Path, report: Report, *, source: Path = SHIPPED) -> None:
    """Copy the lessons and exercises to a folder, or bring an earlier copy up to date.

    A file is replaced only if it is as an earlier labkit laid it there. What a person changed
    stays, and is named where a newer one exists.
    """
    laid = _laid_before(folder)
    wanted = {
        path.relative_to(source).as_posix(): path
        for name in FOLDERS
        for path in sorted((source / name).rglob("*"))
        if path.is_file() and ".ipynb_checkpoints" not in path.parts
    }
    new: list[str] = []
    changed: list[str] = []
    for name, path in wanted.items():
        there, digest = folder / name, _digest(path)
        now = _digest(there) if there.is_file() else None
        if now not in {digest, laid.get(name)}:
            (changed if now else new).append(name)
        elif now != digest:
            new.append(name)
    if new:
        report(say("copying", folder=str(folder), count=len(new)))
    try:
        for name in new:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(wanted[name], folder / name)
        laid |= {name: _digest(path) for name, path in wanted.items() if name not in changed}
        if new or not (folder / LAID).is_file():
            folder.mkdir(parents=True, exist_ok=True)
            (folder / LAID).write_text(json.dumps(laid, indent=0), encoding="utf-8")
    except OSError as problem:
        why = (problem.strerror or "no reason given").lower()
        rule = "give another folder with --in"
        raise LabkitError(f"{folder}: the lessons can't be copied there: {why}; {rule}") from None
    for name in changed:
        if laid.get(name):
            report(say("changed", name=name))


def _laid_before(folder: Path) -> dict[str, str]:
    """Return which files an earlier labkit laid there, each with its digest."""
    with contextlib.suppress(OSError, ValueError):
        known = json.loads((folder / LAID).read_text(encoding="utf-8"))
        if isinstance(known, dict):
            return {str(name): str(digest) for name, digest in known.items()}
    return {}


def _digest(path: Path) -> str:
    """Return a digest of a file; of a notebook, only what a person reads and runs counts."""
    try:
        data = path.read_bytes()
    except OSError:
        return "unreadable"
    if path.suffix == ".ipynb":
        with contextlib.suppress(ValueError, TypeError, KeyError):
            cells = json.loads(data)["cells"]
            told = [(cell["cell_type"], "".join(cell["source"])) for cell in cells]
            data = json.dumps(told).encode()
    return hashlib.sha256(data).hexdigest()

"""Small files that people keep: read with care, written whole or not at all.

A learner's file is written by several windows at once, by laptops that lose power, into folders
that a sync client watches. So it is read only if it is an ordinary file of a sensible size, and
written by one process at a time: to the disk first, then in one step into the old file's place.
"""

import contextlib
import csv
import io
import os
import stat
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Final

import filelock

from labkit.errors import LabkitError, shortened
from labkit.text import sentence

PATIENCE: Final = 10.0  # how long to wait for another window to finish writing [s]
HELD: Final = 2.0  # how long to wait for a sync client or a virus scanner to let go of a file [s]

_PAUSE: Final = 0.05
_OPEN_TO_OWNER: Final = 0o600
_OPEN_TO_ALL: Final = 0o666  # as far as the system lets new files be
_WITHOUT_WAITING: Final = getattr(os, "O_NONBLOCK", 0)  # not on Windows
_BYTES: Final = getattr(os, "O_BINARY", 0)  # on Windows only


class FileError(LabkitError):
    """A file that can't be read or written: its name, and why, in one sentence."""

    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"{shortened(name)}: {why}")
        self.why = why


def read_small(path: Path, *, most: int) -> bytes:
    """Return what an ordinary file holds; FileNotFoundError if there is none, else FileError."""
    try:
        # A pipe without a writer would block here for good, and a device would never end.
        handle = os.open(path, os.O_RDONLY | _WITHOUT_WAITING | _BYTES)
        try:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise FileError(path.name, "it is not an ordinary file")
            with os.fdopen(handle, "rb", closefd=False) as file:
                data = file.read(most + 1)
        finally:
            os.close(handle)
    except FileNotFoundError:
        raise
    except (OSError, ValueError) as problem:
        raise FileError(path.name, f"it can't be read: {reason(problem)}") from None
    if len(data) > most:
        raise FileError(path.name, f"it is larger than {most:,} bytes")
    return data


def change(path: Path, changed: Callable[[Path], bytes]) -> None:
    """Replace a file by what `changed` makes of it, while no other process does the same.

    A link stays a link, and the file that it points to is written. `changed` takes the real path,
    reads what is there, and returns the whole new content. After a FileError (it can't be written,
    the disk is full, another process keeps it for longer than `PATIENCE`) the old content is there.
    """
    try:
        path = Path(os.path.realpath(path))
        if path.exists() and not path.is_file():
            raise FileError(path.name, "it is not an ordinary file")
        with _alone_with(path):
            write_whole(path, changed(path))
    except (OSError, ValueError) as problem:
        raise FileError(path.name, f"it can't be written: {reason(problem)}") from None


def write_whole(path: Path, data: bytes, *, mode: int = _OPEN_TO_OWNER) -> None:
    """Write a file so that a cut at any instant leaves the old content or the new.

    The name of the file written first is fixed. So only one process may do this at a time, and what
    an earlier cut left over is cleared away here. An old file keeps who may read it; `mode` says
    who may read a new one.
    """
    fresh = path.with_name(f".{path.name}.new")
    with contextlib.suppress(FileNotFoundError):
        fresh.unlink()
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BYTES
    try:
        with os.fdopen(os.open(fresh, flags, mode), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            fresh.chmod(stat.S_IMODE(path.stat().st_mode))
        _put_in_place(fresh, path)
    except OSError:
        with contextlib.suppress(OSError):
            fresh.unlink()
        raise
    _flush_folder(path.parent)


def write_out(path: Path, data: bytes) -> None:
    """Write what somebody asked for; where that fails, an older file of the name is still there."""
    try:
        if path.exists() and not path.is_file():  # such as a pipe; a folder is refused
            path.write_bytes(data)
        else:
            write_whole(Path(os.path.realpath(path)), data, mode=_OPEN_TO_ALL)
    except (OSError, ValueError) as problem:
        raise FileError(path.name, f"it can't be written: {reason(problem)}") from None


def write_table(path: Path, rows: Iterable[Iterable[object]]) -> None:
    """Write rows as comma-separated values, as `write_out` writes."""
    table = io.StringIO(newline="")
    csv.writer(table).writerows(rows)
    write_out(path, table.getvalue().encode())


@contextlib.contextmanager
def _alone_with(path: Path) -> Iterator[None]:
    """Keep other processes and threads from writing the same file."""
    lock = filelock.FileLock(path.with_name(f".{path.name}.lock"), timeout=PATIENCE)
    try:
        lock.acquire()
    except filelock.Timeout:
        raise FileError(
            path.name, "another window keeps it busy; close one and try again"
        ) from None
    try:
        yield
    finally:
        lock.release()


def _put_in_place(fresh: Path, path: Path) -> None:
    """Rename, with patience: on Windows a file that something else has open can't be replaced."""
    until = time.monotonic() + HELD
    while True:
        try:
            fresh.replace(path)
        except PermissionError:
            if time.monotonic() > until or not os.access(path.parent, os.W_OK):
                raise
            time.sleep(_PAUSE)
        else:
            return


def _flush_folder(folder: Path) -> None:
    """Have the new name on the disk too, where the system can do that."""
    if os.name == "nt":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def reason(problem: Exception) -> str:
    """Return the system's reason in its own words."""
    return (getattr(problem, "strerror", None) or sentence("commands", "bad-name")).lower()

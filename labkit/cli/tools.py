"""What the commands share: how they find a site, make a folder, show how far they are."""

from __future__ import annotations

import re
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Final, Self

from labkit.commands import Report, say
from labkit.errors import LabkitError
from labkit.files import reason, write_out

if TYPE_CHECKING:
    from labkit.site import Site

BAR: Final = 30  # length of the progress bar [characters]


def find_site(typed: str) -> Site:
    """Read a site file, or a demo ranch where the word is no file's name."""
    from labkit.sitefile import demo_site, load_site  # noqa: PLC0415

    is_name = re.fullmatch(r"[\w -]+", typed) is not None
    return demo_site(typed) if is_name and not Path(typed).exists() else load_site(typed)


def make_folder(typed: str) -> Path:
    """Make the folder for the results, before any time is spent on them."""
    try:
        folder = Path(typed)
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise LabkitError(f"{typed[:60]}: no folder can be made there: {reason(error)}") from None
    return folder


def wrote(path: str | Path, report: Report) -> None:
    """Say which file was written."""
    report(say("wrote", path=str(path)))


def save(path: str | Path, data: bytes, report: Report) -> None:
    """Write a file, and say which."""
    write_out(Path(path), data)
    wrote(path, report)


class Bar:
    """A progress bar on the error stream, where a person watches and it takes over a second."""

    def __enter__(self) -> Self:
        """Say that something begins."""
        self.watched, self.drawn = sys.stderr.isatty(), False
        self.began = time.monotonic()
        self(0.0)
        return self

    def __call__(self, share: float) -> None:
        """Draw the bar up to `share` of the run, 0 to 1."""
        if not self.watched or (share > 0.0 and time.monotonic() - self.began < 1.0):
            return
        done = round(BAR * min(max(share, 0.0), 1.0))
        told = f"{share:4.0%}" if share > 0.0 else say("getting-ready")
        print(
            f"\r[{'#' * done}{'.' * (BAR - done)}] {told:14}", end="", file=sys.stderr, flush=True
        )
        self.drawn = True

    def __exit__(self, *_: object) -> None:
        """Wipe the bar."""
        if self.drawn:
            print(f"\r{' ' * (BAR + 18)}\r", end="", file=sys.stderr, flush=True)

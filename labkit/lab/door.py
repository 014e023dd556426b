"""A page in the learner's folder that leads a browser in, with the key that it must not be told.

The command line of a browser can be read by everybody on the machine; a page in it can't. And a
browser that may not read hidden folders can read the learner's.
"""

import html
import os
from pathlib import Path
from typing import Final

from labkit.errors import LabkitError

TO_LESSON: Final = "open_lesson.html"
TO_HOME: Final = "open_home.html"
"""Names of the pages; they go when what they lead to is closed."""
AT_LESSON: Final = "doc/tree"
"""Where JupyterLab shows one notebook alone. Its usual ``lab/tree`` first opens again all that an
earlier browser had left open, and then forgets which page it was asked for."""


def private_door(*folders: Path, name: str, address: str = "") -> Path:
    """Make the page in the first folder that takes it, such that nobody else can read it.

    An empty address lets somebody else write it.
    """
    safe = html.escape(address)
    lead = f'<meta http-equiv="refresh" content="0; url={safe}">'
    page = f'<!doctype html><meta charset="utf-8">{lead}' if address else ""
    for folder in folders:
        door = folder / name
        try:
            door.unlink(missing_ok=True)
            with os.fdopen(os.open(door, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
                file.write(page)
        except OSError:
            continue
        return door
    where = " and ".join(map(str, folders))
    raise LabkitError(f"{where}: no page can be written there; free some disk space")

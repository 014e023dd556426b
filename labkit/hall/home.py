"""Make what a learner finds at home: lessons, what was compiled, and leave to run them.

Runs as the learner, never as an administrator: whatever a learner put there, such as a link to a
file of the machine, then harms nobody else. Started as
``python -m labkit.hall.home COMPILED``.
"""

import shutil
import sys
from pathlib import Path

from labkit.shell import trust
from labkit.shipped import lay_copy


def furnish(home: Path, compiled: Path | None) -> None:
    """Lay the lessons, copy what the engine compiled to, and sign the notebooks."""
    cache = home / ".cache" / "labkit"
    if compiled is not None and compiled.is_dir() and not cache.exists():
        shutil.copytree(compiled, cache)
    lay_copy(home, lambda _: None)
    trust([*home.glob("lessons/*.ipynb"), *home.glob("exercises/*.ipynb")])


if __name__ == "__main__":
    furnish(Path.home(), Path(sys.argv[1]) if sys.argv[1:] else None)

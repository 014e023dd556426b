"""Make what a learner finds at home: the lessons, and leave to run them.

Runs as the learner, never as an administrator: whatever a learner put there, such as a link to a
file of the machine, then harms nobody else.
"""

from pathlib import Path

from labkit.shell import trust
from labkit.shipped import lay_copy


def furnish(home: Path) -> None:
    """Lay the lessons and sign the notebooks."""
    lay_copy(home, lambda _: None)
    trust([*home.glob("lessons/*.ipynb"), *home.glob("exercises/*.ipynb")])

"""Style sheets of pages and paper, and drawings.

In both ``var(--labkit-sky)`` stands for a color of `style`.
"""

import re
from functools import cache
from pathlib import Path
from typing import Final

from labkit.figures import style

_FOLDER: Final = Path(__file__).parent


@cache
def look(name: str) -> str:
    """Return what a file here holds, with its colors."""
    text = (_FOLDER / name).read_text(encoding="utf-8")
    return re.sub(
        r"var\(--labkit-([a-z]+)\)", lambda mark: str(getattr(style, mark[1].upper())), text
    )

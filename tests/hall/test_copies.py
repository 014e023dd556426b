"""What every kernel of a hall is a copy of: a process in which a lesson has run once."""

import subprocess
import sys
from pathlib import Path
from typing import Final

FIRST: Final = next((Path(__file__).parents[2] / "lessons").glob("01_*.ipynb"))


def test_a_lesson_runs_where_there_is_no_shell() -> None:
    """In a process of its own, which is not the same afterwards."""
    run = (
        f"from pathlib import Path; from labkit.hall.copies import load; load(Path({str(FIRST)!r}))"
    )

    # what a hall loads ahead, such as jupyter_lsp, is warned of things that are not ours to mend
    python = [sys.executable, "-W", "ignore::DeprecationWarning", "-c", run]
    done = subprocess.run(python, capture_output=True, text=True, check=False)  # noqa: S603

    assert (done.returncode, done.stderr) == (0, "")

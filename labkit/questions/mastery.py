"""Mastery: calls found well in a row, each on a line not met before, and a visit passed whole."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labkit.questions.progress import Result

SERVICE_CALL: Final = "service call"
"""What a fault looked for is called among the results of a page."""
RIG_VISIT: Final = "rig visit"
"""What a line that was set up is called among them."""
IN_A_ROW: Final = 5
"""Unseen lines in a row that make a master."""


def in_a_row(results: Sequence[Result]) -> int:
    """Return the longest run of calls found well, each on a ranch that came for the first time.

    A call on a ranch met before, or on the lesson's own, neither counts nor breaks a run.
    """
    seen: set[object] = set()
    run = best = 0
    for one in results:
        key = one.figures.get("number")
        if one.task != SERVICE_CALL or one.figures.get("line") != "unseen" or key in seen:
            continue
        seen.add(key)
        run = run + 1 if one.passed else 0
        best = max(best, run)
    return best


def first_visits(results: Sequence[Result]) -> tuple[Result, ...]:
    """Return the visits to new lines that count: of each line the first."""
    seen: dict[object, Result] = {}
    for one in results:
        if one.task == RIG_VISIT:
            seen.setdefault(one.figures.get("number"), one)
    return tuple(seen.values())

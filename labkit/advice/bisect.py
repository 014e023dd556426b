"""The one bisection of the advice: where along a number something begins to hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


def turning_point(
    holds: Callable[[float], bool], no: float, yes: float, *, rounds: int = 20
) -> tuple[float, float]:
    """Narrow down where `holds` turns true between a value where it does not and one where it does.

    Returns
    -------
    tuple of float
        The last value found where it does not hold, and the last where it does.

    Examples
    --------
    >>> no, yes = turning_point(lambda x: x * x > 2.0, 0.0, 2.0, rounds=40)
    >>> round(yes, 6)
    1.414214
    """
    for _ in range(rounds):
        middle = 0.5 * (no + yes)
        if holds(middle):
            yes = middle
        else:
            no = middle
    return no, yes

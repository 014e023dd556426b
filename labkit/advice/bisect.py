"""Where along a number something begins to hold, or where a quantity rises over zero."""

from collections.abc import Callable


def turning_point(
    holds: Callable[[float], bool], no: float, yes: float, *, rounds: int = 20
) -> tuple[float, float]:
    """Return the last value found where something does not hold, and the last where it `holds`.

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


def crossing(
    excess: Callable[[float], float], no: float, yes: float, *, within: float
) -> tuple[float, float]:
    """Return the last value found without any `excess`, and the last with some.

    The excess may jump; `no` comes twice where that has some already. The search goes along the
    chord, the weight of an end that stays being halved each time (the Illinois method, Dowell &
    Jarratt 1971, BIT 11:168), and never nearer to an end than half of `within`, so that both close
    in. Every third time it goes in the middle, for where the excess jumps a chord is slow.

    Examples
    --------
    >>> no, yes = crossing(lambda x: x * x - 2.0, 0.0, 2.0, within=1e-9)
    >>> round(no, 6), no * no <= 2.0 < yes * yes
    (1.414214, True)
    """
    low, high, asked, stayed = excess(no), excess(yes), 0, 0
    if low > 0.0:
        return no, no
    while abs(yes - no) > within:
        asked += 1
        least = 0.5 * within / abs(yes - no)
        share = 0.5 if asked % 3 == 0 else min(max(low / (low - high), least), 1.0 - least)
        middle = no + share * (yes - no)
        found = excess(middle)
        if found > 0.0:
            yes, high = middle, found
            low *= 0.5 if stayed < 0 else 1.0
            stayed = -1
        else:
            no, low = middle, found
            high *= 0.5 if stayed > 0 else 1.0
            stayed = 1
    return no, yes

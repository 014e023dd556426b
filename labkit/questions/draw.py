"""Numbers drawn for one learner: the same again for the same number, others for the neighbor."""

import re
from collections.abc import Callable
from typing import Final, TypeVar

import numpy as np

from labkit.errors import LabkitError

Drawn = TypeVar("Drawn")

MOST_DRAWS: Final = 2000
_NUMBER: Final = re.compile(r"[0-9]{1,9}")


def learner_number(typed: str | int) -> int:
    """Return a learner's own number, or raise LabkitError with one sentence on what to write."""
    text = str(typed).strip()
    if not _NUMBER.fullmatch(text):
        raise LabkitError("write your own number with digits only, such as 17")
    return int(text)


def rng_of(learner: int, *, exercise: int) -> np.random.Generator:
    """Return the random numbers of one learner for one exercise: the same at every throw anew."""
    return np.random.default_rng([exercise, learner])


def draw(
    make: Callable[[np.random.Generator], Drawn],
    rng: np.random.Generator,
    *,
    is_good: Callable[[Drawn], bool],
) -> Drawn:
    """Draw until what is drawn is good: no slip looks like the right answer or like another."""
    for _ in range(MOST_DRAWS):
        drawn = make(rng)
        if is_good(drawn):
            return drawn
    raise LabkitError("no numbers were found that tell all slips apart; tell your trainer")

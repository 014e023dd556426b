"""Exercise 11: a coworker's log of a new line, drawn for each learner, and what follows."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.rules import PSI
from labkit.advice.window import Window, bare_window
from labkit.questions.bank import story
from labkit.questions.draw import dice_of, draw, learner_number
from labkit.questions.keys import commissioning
from labkit.questions.keys.sheet import Exercise, are_clear, plain_si, set_at
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import Phrase
from labkit.rigs import two_days
from labkit.site import Site
from labkit.sitefile import demo_site

_NUMBER: Final = 11
_DULL, _STRONG = 300.0, 1000.0
"""Sun under the cloth and without it [W/m2]."""
_OUTCOMES: Final = ("no stop", "false stop", "sound stop", "stuck off")
_SOUND: Final = "sound stop"


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line with its switch; its readings [psi]; and numbers of other lines."""

    site: Site
    static: int
    running: int
    hazy: int
    noon: int
    over: int
    back: int
    count: int
    seen: int
    turns: float
    other: tuple[int, int]


def exercise(learner: int | str) -> Exercise:
    """Give the exercise for a learner's own number."""
    number = learner_number(learner)
    wanted = _outcome(number)
    drawn = draw(
        lambda dice: _thrown(dice, wanted),
        dice_of(number, exercise=_NUMBER),
        is_good=lambda one: one is not None and are_clear(_numbers(one)) and _does(one, wanted),
    )
    if drawn is None:
        raise TypeError("a draw that is good is none that failed")
    return Exercise(
        learner=number,
        site=drawn.site,
        story=_story(drawn),
        verdict=wanted,
        questions=(
            commissioning.by_the_log("what it will do", verdict=wanted),
            *_numbers(drawn),
        ),
    )


def _outcome(number: int) -> str:
    """Draw what a line will do: no rule of the number tells it, and neighbors get different ones.

    Each four numbers get the four outcomes, in an order of their own that begins with one of the
    first two and ends with one of the last two, so that blocks never meet in the same one.
    """
    block, place = divmod(number + 3, len(_OUTCOMES))  # 1 to 4 are a block
    dice = dice_of(block, exercise=1000 + _NUMBER)
    first, second = dice.permutation(_OUTCOMES[:2]).tolist()
    third, last = dice.permutation(_OUTCOMES[2:]).tolist()
    middle = dice.permutation([second, third]).tolist()
    return str([first, *middle, last][place])


def _numbers(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for a cut-out, some turns, a cut-in, and a tank's air."""
    over, back = drawn.other
    return (
        commissioning.middle(
            "cut-out halfway",
            static=_psi(drawn.static),
            running=_psi(drawn.running),
            hazy=_psi(drawn.hazy),
            noon=_psi(drawn.noon),
            is_told=False,
        ),
        commissioning.quarters("quarter turns out", seen=_psi(drawn.seen), count=drawn.count),
        commissioning.cut_in_after("cut-in after it", back=_psi(over - 9), turns=drawn.turns),
        commissioning.tank_air("tank's air", over=_psi(over), back=_psi(back)),
    )


def _does(drawn: _Drawn, wanted: str) -> bool:
    """Say whether two days of stock on the line show what is wanted."""
    clear, hazy = (day.verdict for day in two_days(drawn.site, _DULL))
    return {
        "no stop": hazy == "no stop" and clear in (_SOUND, "no stop"),  # weak mornings count too
        "false stop": clear == "false stop",
        "sound stop": clear == hazy == _SOUND,
        "stuck off": clear == hazy == "stuck off",
    }[wanted]


def _thrown(dice: np.random.Generator, wanted: str) -> _Drawn | None:
    """Draw a line and set its switch for an outcome; none if there is no room for it."""
    shut_off = 10 * int(dice.integers(21, 26))
    lowest, highest = (8, 14) if wanted == "stuck off" else (1, 6)  # static head above a cut-in
    site = demo_site("first_line").changed(
        {
            "pump.shut_off_head": f"{shut_off} ft",
            "pump.rated_head": f"{round(0.66 * shut_off)} ft",
            "trough.elm.pipe.rise": f"{5 * int(dice.integers(lowest, highest))} ft",
            "trough.elm.pipe.length": f"{100 * int(dice.integers(12, 30))} ft",
        }
    )
    window = bare_window(site, _DULL, _STRONG)
    static, running, hazy, noon = _read(window)
    over = {
        "no stop": hazy + int(dice.integers(5, 10)),
        "false stop": running - int(dice.integers(5, 9)),
        "sound stop": (running + hazy) // 2 + int(dice.choice([-3, -2, 2, 3])),
        "stuck off": (running + hazy) // 2 + int(dice.choice([-3, -2, 2, 3])),
    }[wanted]
    back = over - int(dice.integers(9, 13))
    if wanted == "stuck off":
        back = static - int(dice.integers(4, 7))
    is_between = {
        "no stop": over < noon - 6,
        "false stop": True,
        "sound stop": running + 4 <= over <= hazy - 4,
        "stuck off": running + 3 <= over <= hazy - 3,
    }[wanted]
    is_called = back + 4 <= static if wanted == "stuck off" else static + 4 <= back
    if not (is_between and hazy - running >= 8 and is_called and back >= 6):
        return None
    changed = site.changed(set_at(back, over))
    upper = int(dice.integers(34, 48))
    return _Drawn(
        site=changed, static=static, running=running, hazy=hazy, noon=noon, over=over, back=back,
        count=4 * int(dice.integers(2, 6)), seen=int(dice.integers(46, 56)),
        turns=int(dice.integers(3, 8)) / 2.0, other=(upper, upper - int(dice.integers(13, 18))),
    )  # fmt: skip


def _read(window: Window) -> tuple[int, int, int, int]:
    """Read the gauge to a psi: at rest, filling in strong sun, float up in haze and strong sun."""
    (trough,) = window.troughs
    low, high = window.dead_head
    rest = max(trough.static, 0.0)
    static, running, hazy, noon = (round(p / PSI) for p in (rest, trough.most, low, high))
    return static, running, hazy, noon


def _psi(number: int) -> float:
    return plain_si(number, "psi")


def _story(drawn: _Drawn) -> Phrase:
    """Tell the coworker's log."""
    read = ("static", "running", "noon", "hazy", "over", "back")
    return story("exercise_11", **{name: _psi(getattr(drawn, name)) for name in read})

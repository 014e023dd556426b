"""Exercise 11: a coworker's log of a new line, drawn for each learner, and what follows."""

from collections.abc import Iterator
from functools import partial
from itertools import count, repeat
from typing import Final

import attrs
import numpy as np

from labkit.advice.window import Window, bare_window
from labkit.drills.family import family_line
from labkit.engine.fluid import water_at
from labkit.engine.steady import steady
from labkit.errors import LabkitError
from labkit.parts import MANIFOLD, CentrifugalPump
from labkit.questions import Question
from labkit.questions.draw import learner_number, rng_of
from labkit.questions.keys import commissioning, sheet
from labkit.rigs import two_days
from labkit.site import Site
from labkit.units.customary import PSI

_NUMBER: Final = 11
_FAR: Final = 1_000_003
"""How far off the next number is whose line stands in, where a number's own does not suit."""
_THROWS: Final = 40  # how often the numbers are thrown for one line
_LEAST: Final = {"setting": 8, "noon": 8, "friction": 0, "column": 0}
_MORE: Final = {
    "no stop": {"noon": 14}, "false stop": {"friction": 19}, "stuck off": {"column": 11},
}  # fmt: skip
"""Least gaps between the readings of a line, and for some outcomes wider ones [psi]."""
_DULL, _STRONG = 300.0, 1000.0  # sun under the cloth and without it [W/m2]
_OUTCOMES: Final = ("no stop", "false stop", "sound stop", "stuck off")
_SOUND: Final = "sound stop"


@attrs.frozen(kw_only=True)
class _Read:
    """The gauge: at rest, filling in strong sun, float up in haze and in strong sun [psi]."""

    static: int
    running: int
    hazy: int
    noon: int

    def has_room(self, wanted: str) -> bool:
        """Whether the readings leave room for an outcome, and noon looks otherwise than haze."""
        least = _LEAST | _MORE.get(wanted, {})
        gaps = {
            "setting": self.hazy - self.running, "noon": self.noon - self.hazy,
            "friction": self.running - self.static, "column": self.static,
        }  # fmt: skip
        return all(gaps[name] >= psi for name, psi in least.items())


def exercise(learner: int | str) -> sheet.Exercise:
    """Return the exercise for a learner's own number."""
    own = learner_number(learner)
    wanted = _outcome(own)
    lines = _lines(own, wanted)
    return sheet.drawn_for(_NUMBER, own, lambda rng: _thrown(rng, *next(lines), wanted))


def _lines(number: int, wanted: str) -> Iterator[tuple[Site, _Read]]:
    """Return the number's line with its readings for some throws, then those of far numbers."""
    for again in count():
        try:
            site = family_line(number + again * _FAR, suits=partial(_suits, wanted=wanted)).site
        except LabkitError:  # nothing of the family suits there
            continue
        yield from repeat((site, _read(bare_window(site, _DULL, _STRONG))), _THROWS)


def _suits(site: Site, *, wanted: str) -> bool:
    """Whether a line has what the log needs: one trough, a tank, and room for the outcome."""
    (trough, *others), tank = site.troughs, site.pressure_tank
    if others or tank is None or trough.pipe.profile or not isinstance(site.pump, CentrifugalPump):
        return False
    if not _settled(site).has_room(wanted):  # told at once, where a whole window takes long
        return False
    return _read(bare_window(site, _DULL, _STRONG)).has_room(wanted)


def _settled(site: Site) -> _Read:
    """Read the gauge of settled lines, the float all the way down as it fills."""

    def gauge(sun: float, *opened: str) -> int:
        settled = steady(site, sun=f"{sun} W/m^2", open_troughs=opened)
        return round(settled.pressure[MANIFOLD] / PSI)

    (trough,) = site.troughs
    column = water_at(site.place).weight * site.elevation(trough.name)
    return _Read(
        static=round(column / PSI), running=gauge(_STRONG, trough.name),
        hazy=gauge(_DULL), noon=gauge(_STRONG),
    )  # fmt: skip


def _outcome(number: int) -> str:
    """Draw what a line will do: no rule of the number tells it, and neighbors get different ones.

    Each four numbers get the four outcomes, in an order of their own that begins with one of the
    first two and ends with one of the last two, so that blocks never meet in the same one.
    """
    block, place = divmod(number + 3, len(_OUTCOMES))  # 1 to 4 are a block
    rng = rng_of(block, exercise=1000 + _NUMBER)
    first, second = rng.permutation(_OUTCOMES[:2]).tolist()
    third, last = rng.permutation(_OUTCOMES[2:]).tolist()
    middle = rng.permutation([second, third]).tolist()
    return str([first, *middle, last][place])


def _does(site: Site, wanted: str) -> bool:
    """Whether two days of stock on the line show what is wanted."""
    clear, hazy = (day.verdict for day in two_days(site, _DULL))
    return {
        "no stop": hazy == "no stop" and clear in (_SOUND, "no stop"),  # weak mornings count too
        "false stop": clear == "false stop",
        "sound stop": clear == hazy == _SOUND,
        "stuck off": clear == hazy == "stuck off",
    }[wanted]


def _thrown(rng: np.random.Generator, site: Site, read: _Read, wanted: str) -> sheet.Draft:
    """Set a line's switch for an outcome, and draw other numbers, where there is room for it."""
    static, running, hazy, noon = attrs.astuple(read)
    middle = (running + hazy) // 2 + int(rng.choice([-3, -2, 2, 3]))
    over = {
        "no stop": hazy + int(rng.integers(5, 10)),
        "false stop": running - int(rng.integers(5, 9)),
    }.get(wanted, middle)
    back = over - int(rng.integers(9, 13))
    if wanted == "stuck off":
        back = static - int(rng.integers(4, 7))
    is_between = {
        "no stop": over < noon - 6,
        "false stop": True,
        "sound stop": running + 4 <= over <= hazy - 4,
        "stuck off": running + 3 <= over <= hazy - 3,
    }[wanted]
    is_called = back + 4 <= static if wanted == "stuck off" else static + 4 <= back
    if not (is_between and is_called and back >= 6):
        return sheet.Draft(site=site, verdict=wanted, does=lambda: False, asks=tuple)
    upper = int(rng.integers(34, 48))
    site = site.changed(sheet.set_at(back, over))
    out = {"count": 4 * int(rng.integers(2, 6)), "seen": _psi(int(rng.integers(46, 56)))}
    turns = int(rng.integers(3, 8)) / 2.0
    lower = upper - int(rng.integers(13, 18))
    gauge = {name: _psi(number) for name, number in attrs.asdict(read).items()}

    def asks() -> tuple[Question, ...]:
        return (
            commissioning.by_the_log("what it will do", verdict=wanted),
            commissioning.middle("cut-out halfway", is_told=False, **gauge),
            commissioning.quarters("quarter turns out", **out),
            commissioning.cut_in_after("cut-in after it", back=_psi(upper - 9), turns=turns),
            commissioning.tank_air("tank's air", over=_psi(upper), back=_psi(lower)),
        )

    return sheet.Draft(
        site=site,
        verdict=wanted,
        does=lambda: sheet.are_clear(asks()) and _does(site, wanted),
        asks=asks,
        tells=lambda: {**gauge, "over": _psi(over), "back": _psi(back)},
    )


def _read(window: Window) -> _Read:
    """Read the gauge to a psi."""
    (trough,) = window.troughs
    low, high = window.dead_head
    rest = max(trough.static, 0.0)
    static, running, hazy, noon = (round(p / PSI) for p in (rest, trough.most, low, high))
    return _Read(static=static, running=running, hazy=hazy, noon=noon)


def _psi(number: int) -> float:
    return sheet.to_si(number, "psi")

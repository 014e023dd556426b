"""Reading a page as a learner does: numbers with their units, in the order in which they stand."""

import re
from typing import Final

from labkit.questions.keys.sheet import Exercise
from labkit.view.telling import render
from tests.customary import GPM, PSI

FEET_TO_A_PSI, KPA_TO_A_METER = 2.31, 9.81
UNITS: Final = {
    "psi": PSI, "kPa": 1e3, "ft": 0.3048, "m": 1.0, "gal": 3.785411784e-3, "L": 1e-3,
    "gpm": GPM, "L/min": 1e-3 / 60.0, "W": 1.0, "min": 60.0, "s": 1.0,
    "in": 0.0254, "mm": 1e-3, "ft/s": 0.3048, "m/s": 1.0, "turns": 6.283185307,
}  # fmt: skip
FIRST: Final = {
    "pressure": "psi", "flow": "gpm", "time": "min", "power": "W", "length": "ft", "volume": "gal",
    "daily volume": "gal/day", "turns": "turns", "resistance": "ohms",
}  # fmt: skip
_READ: Final = re.compile(
    r"([\d,]+(?:\.\d+)?)\s(psi|kPa|ft/s|ft|gpm|gal/day|gal|L/min|L/day|L|W/m²|W|min|mm|m/s|m|in"
    r"|percent|turns|ohms|ohm|s)\b"
)


def plain(words: str) -> str:
    return words.replace("\N{NO-BREAK SPACE}", " ").replace("%", " percent")


def read(words: str, unit: str) -> list[float]:
    """Give the numbers with a unit, in the order in which they stand on the page."""
    found = _READ.findall(plain(words))
    return [float(number.replace(",", "")) for number, its in found if its == unit]


_SPAN: Final = re.compile(r"(?:(\d+) (?:h|hours)\b ?)?(?:(\d+) min\b ?)?(?:(\d+) s\b)?")


def spans(words: str) -> list[float]:
    """Give the times [s], such as ``"4 min 20 s"``, in the order in which they stand."""
    found = (match.groups("0") for match in _SPAN.finditer(plain(words)) if match.group())
    return [3600.0 * int(h) + 60.0 * int(m) + int(s) for h, m, s in found]


def counted(words: str, what: str) -> int:
    """Give the whole number that stands before some words."""
    return int(plain(words).split(f" {what}")[0].split()[-1])


class Page:
    """What a learner sees of an exercise, in one system of units."""

    def __init__(self, exercise: Exercise, system: str) -> None:
        self.system = system
        self.story = plain(render(exercise.story, system))
        self.asked = {one.name: plain(render(one.ask, system)) for one in exercise.questions}
        self.length, self.pressure, self.volume, self.flow = (
            ("ft", "psi", "gal", "gpm") if system == "US" else ("m", "kPa", "L", "L/min")
        )
        self.small, self.velocity, self.daily = (
            ("in", "ft/s", "gal/day") if system == "US" else ("mm", "m/s", "L/day")
        )

    def column(self, height: float) -> float:
        """Give the pressure of a column of water, as a handbook has it."""
        return height / FEET_TO_A_PSI if self.system == "US" else height * KPA_TO_A_METER

    def pressures(self, name: str) -> list[float]:
        return read(self.asked[name], self.pressure)

    def lengths(self, name: str) -> list[float]:
        return read(self.asked[name], self.length)

    def spans(self, name: str) -> list[float]:
        return spans(self.asked[name])

    def written(self, pressure: float) -> str:
        return f"{pressure:.1f} {self.pressure}"

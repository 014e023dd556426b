"""Text as people write it, brought to a number and a unit word of the closed list.

Read are rough words, marks for feet and inches, thousands in commas, feet with inches and hours
with minutes, and units spelled out: ``about 20 psi``, ``5' 6"``, ``1,800 ft``, ``2 hrs``.
What is not read is refused with what is wrong about it.
"""

import math
import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from labkit.errors import NoUnitError, UnitError
from labkit.units.registry import UNITS, WORDS, alike, measured

_FRACTIONS: Final = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_DASHES: Final = "\N{MINUS SIGN}\N{EN DASH}\N{EM DASH}\N{HYPHEN}\N{NON-BREAKING HYPHEN}"
_FEET: Final = "\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}\N{PRIME}"
_INCHES: Final = "\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{DOUBLE PRIME}"
_PLAIN: Final = str.maketrans(
    dict.fromkeys(_DASHES, "-")
    | dict.fromkeys(_FEET, "'")
    | dict.fromkeys(_INCHES, '"')
    | {"\N{FRACTION SLASH}": "/", "²": "^2", "³": "3"}
    | {sign: f" {fraction}" for sign, fraction in _FRACTIONS.items()}
)
_ROUGHLY: Final = re.compile(
    r"^(?:(?:about|approximately|approx\.?|around|roughly|circa|ca\.?|nearly|some) |[~≈] ?)"
    r"| (?:or so|approximately|approx\.?|roughly|about)$"
)
_THOUSANDS: Final = re.compile(r"(?<![0-9.,])[0-9]{1,3}(?:,[0-9]{3})+(?![0-9,])")
_SIZE: Final = (
    r"(?:(?:(?P<whole>[0-9]{1,6})(?: |-| and ))?(?P<over>[0-9]{1,3})/(?P<under>[1-9][0-9]{0,2})"
    r"|(?P<decimal>(?:[0-9]{1,17}(?:\.[0-9]{0,25})?|\.[0-9]{1,25})(?:e[+-]?[0-9]{1,3})?))"
)
_UNIT: Final = r"(?P<unit>%|[a-z°#ω][^\s,;]*(?: (?!and )[a-z°(][^\s,;]*){0,4})"
_SIGN: Final = re.compile(r"(?P<sign>[+-]?) ?")
_PART: Final = re.compile(_SIZE + "[ -]?" + _UNIT)
_BARE: Final = re.compile(r"[+-]? ?" + _SIZE)
_NEXT: Final = re.compile(r",? (?:and )?")
_RANGE: Final = re.compile(r"[0-9] ?(?:[a-z]+ ?)?(?:-|\.\.+|to ) ?[0-9]")
_ODD: Final = re.compile(r"[^-a-z0-9 ./%°()^+,#ω'\"]")
_MOST_PARTS: Final = 3


@lru_cache(maxsize=4096)  # lines are drawn by the hundred from a few numbers
def read(text: str) -> tuple[float, str]:
    """Read a number and the unit word that goes with it.

    NoUnitError is for a number alone. UnitError says what is wrong, without what to write instead;
    it is empty where nothing more can be said.
    """
    plain = _tidied(text)
    if _BARE.fullmatch(plain):
        raise NoUnitError(plain)
    sign = _SIGN.match(plain)
    parts, at = [], sign.end() if sign else 0
    while match := _PART.match(plain, at):
        word = _word(match["unit"])
        if word is None:
            raise UnitError(_why(plain, match["unit"]))
        parts.append((_number(match), word))
        between = _NEXT.match(plain, match.end())
        at = between.end() if between else match.end()
        if match.end() == len(plain) or len(parts) == _MOST_PARTS:
            break
    if not parts or match is None or match.end() != len(plain):
        raise UnitError(_why(plain))
    size, word = _together(parts)
    if not math.isfinite(size):
        raise UnitError("")
    return (-size if sign and sign["sign"] == "-" else size), word


def _tidied(text: str) -> str:
    """Bring odd signs, rough words and thousands to plain ones, in lower case."""
    plain = " ".join(text.translate(_PLAIN).lower().split())
    plain = _ROUGHLY.sub("", plain).strip()
    plain = _THOUSANDS.sub(lambda found: found[0].replace(",", ""), plain)
    plain = re.sub(r"(?<=[0-9]) ?(?:\"|'')", " in ", plain)
    plain = re.sub(r"(?<=[0-9]) ?'", " ft ", plain)
    return " ".join(re.sub(" ?/ ?(?=[a-z])", "/", plain).split())


def _word(unit: str) -> str | None:
    """Return the word we write for a unit as it was typed, spelled out or with periods."""
    spelled = unit.rstrip(".")
    if spelled in WORDS:
        return WORDS[spelled]
    spelled = re.sub(r" (?:per|a|an|each) ", "/", spelled.replace(".", ""))
    if spelled in WORDS:
        return WORDS[spelled]
    sides = [WORDS.get(side.strip(), side.strip()) for side in spelled.split("/")]
    return WORDS.get("/".join(sides).lower())


def _together(parts: list[tuple[float, str]]) -> tuple[float, str]:
    """Add up feet and inches, or hours, minutes and seconds, in the unit of the first."""
    (size, first), *rest = parts
    smaller = 1.0
    for number, word in rest:
        if not alike(word, first) or not (alike(first, "ft") or alike(first, "s")):
            raise UnitError("it names two amounts; write one; ")
        ratio = float((1.0 * UNITS[word]).to(UNITS[first]).magnitude)
        if not ratio < smaller:
            raise UnitError("it names two amounts; write one; ")
        size, smaller = size + number * ratio, ratio
    return size, first


def _number(match: re.Match[str]) -> float:
    if match["decimal"]:
        return float(match["decimal"])
    return float(int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"])))


def _why(plain: str, unit: str = "") -> str:
    """Say what is wrong with a text that cannot be read; nothing where no rule of ours fits."""
    odd = _ODD.search(plain)
    if odd and odd[0].isprintable():
        return f"the mark {odd[0]} is no part of a quantity; "
    if not odd and not re.search("[0-9]", plain):
        return "it has no number; " if plain else "nothing is written; "
    if comma := re.search("([0-9]+),([0-9]+)", plain):
        return f"write {comma[1][-9:]}.{comma[2][:9]} with a decimal point; "
    if _RANGE.search(plain):
        return "write one number, not a range; "
    if re.search("[0-9] [0-9]+(?![0-9/])", plain) or re.search("[a-z] [0-9.]+$", plain):
        return "it has more numbers than units; "
    return f"{unit[:20]!r} is no known unit; " if unit and not odd else ""


def wrong_kind(word: str) -> str:
    """Say what a unit measures, where something else is wanted."""
    return f"{word} measures {measured(word)}; " if measured(word) else ""

"""A map of settings in plain words."""

from typing import TYPE_CHECKING, Final

from labkit.language import say, unit_word
from labkit.text import Words
from labkit.units import si
from labkit.view.field_numbers import at_least, at_most, gauge
from labkit.view.judge_words import JUDGE

if TYPE_CHECKING:
    from labkit.advice.axes import Scale
    from labkit.advice.settings_map import SettingsMap

MAP_WORDS: Final = Words("map")  # phrases of the map, keyed as in `labkit.text.shared`


def axis_title(axis: "Scale", plan: "SettingsMap", system: str) -> str:
    """Name an axis with its unit."""
    from labkit.advice.axes import LEAK_PRESSURE  # noqa: PLC0415 - the view loads without advice

    return MAP_WORDS[axis.name].format(
        unit=unit_word(axis.kind, system),
        trough=plan.troughs[0],
        leak_pressure=say(si(LEAK_PRESSURE), "pressure", system),
    )


def map_title(found: "SettingsMap") -> str:
    """Say what the map is about."""
    return MAP_WORDS["title"].format(site=found.site.title)


def trial_words(found: "SettingsMap", system: str) -> str:
    """Say what a cell is."""
    several = len(found.troughs) > 1
    light = found.sun
    return MAP_WORDS["trial"].format(
        trough=MAP_WORDS["each trough" if several else "one trough"].format(name=found.troughs[0]),
        count=f"{found.codes.size * len(found.troughs):,}",
        sun=MAP_WORDS["at sun"].format(sun=say(light, "irradiance", system)) if light else "",
        tank=MAP_WORDS["recharged"] if found.recharged else "",
    )


def legend_words(found: "SettingsMap", verdict: str, count: int) -> str:
    """Say what a verdict means, and what share of the cells came to it."""
    share = count / found.codes.size
    key = "share" if share >= 0.01 else "trifle"
    name, share_said = (
        JUDGE.get(f"headline {verdict}", verdict),
        MAP_WORDS[key].format(share=f"{share:.0%}"),
    )
    return f"{name[:1].upper()}{name[1:]}: {MAP_WORDS[verdict]} {share_said}"


def counted_words(found: "SettingsMap") -> str:
    """Say how many cells came to what."""
    parts = [
        MAP_WORDS["more parts" if place else "part"].format(
            count=f"{count:,}", verdict=JUDGE.get(f"headline {verdict}", verdict).lower()
        )
        for place, (verdict, count) in enumerate(found.counts().items())
    ]
    return MAP_WORDS["counted"].format(all=f"{found.codes.size:,}", parts=", ".join(parts))


def sound_words(found: "SettingsMap", row: int, system: str) -> str:
    """Say where a row is good, such as ``"With sun of 600 W/m²: a good stop from …"``.

    Pressures are told as a gauge shows them, and rounded into the good stretch.
    """
    up = f"{_named(found.up)} {_shown(found.up.values[row], found.up.kind, system)}"
    ends = found.sound(row)
    if ends is None:
        return MAP_WORDS["none sound"].format(up=up)
    (low, high), kind, across = ends, found.across.kind, _named(found.across)
    first, last = _into(low, high, kind, system)
    has_no_mark = kind == "pressure" and first == at_least(high, system)
    if low == high or first == last or has_no_mark:  # one cell, one mark of a gauge, or none
        alone = _shown(0.5 * (low + high), kind, system)
        return MAP_WORDS["one sound"].format(up=up, across=across, low=alone)
    return MAP_WORDS["sound"].format(up=up, across=across, low=_bare(first), high=last)


def map_lines(found: "SettingsMap", system: str = "US") -> list[str]:
    """Tell a map in a few sentences."""
    rows = sorted({0, len(found.up.values) // 2, len(found.up.values) - 1})
    return [counted_words(found), *(f"{sound_words(found, row, system)}." for row in rows)]


def map_alt(found: "SettingsMap", system: str = "US") -> str:
    """Return the words that stand for the picture to one who does not see it."""
    across, up = found.across, found.up
    left, right = (_shown(across.values[end], across.kind, system) for end in (0, -1))
    low, high = (_shown(up.values[end], up.kind, system) for end in (0, -1))
    picture = MAP_WORDS["picture"].format(
        across=across.name, left=_bare(left), right=right, up=up.name, low=_bare(low), high=high
    )
    return " ".join([f"{map_title(found)}.", picture, *map_lines(found, system)])


def _named(axis: "Scale") -> str:
    return MAP_WORDS.get(f"named {axis.name}", axis.name)


def _shown(value: float, kind: str, system: str) -> str:
    """Say a value of an axis; a pressure as a gauge shows it."""
    return gauge(value, system) if kind == "pressure" else say(value, kind, system)


def _into(low: float, high: float, kind: str, system: str) -> tuple[str, str]:
    """Say the ends of a stretch, pressures rounded into it."""
    if kind == "pressure":
        return at_least(low, system), at_most(high, system)
    return say(low, kind, system), say(high, kind, system)


def _bare(said: str) -> str:
    """Leave the unit off, for a place that names it."""
    return said.rpartition(" ")[0]

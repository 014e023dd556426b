"""A line with something wrong: from what was read to what may be wrong, and the next test."""

from __future__ import annotations

from collections import Counter
from math import isfinite
from typing import TYPE_CHECKING, Final

import attrs
from scipy.stats import chi2

from labkit.diagnosis.suspects import SOUND, Case, draw, paired, single_cases
from labkit.diagnosis.visit import NO_PLACE, READINGS, TESTS, WAITS
from labkit.diagnosis.weighing import NONE_OF_THESE, next_tests, weigh
from labkit.errors import SiteError, UnitError
from labkit.text import sentence
from labkit.units import UNIT_SYSTEMS, quantity, si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from typing import TypeAlias

    from labkit.diagnosis.suspects import Particle
    from labkit.diagnosis.visit import Shown
    from labkit.diagnosis.weighing import Channel, NextTest, Weighed
    from labkit.site import Site

    Progress: TypeAlias = Callable[[float], None]
    from labkit.diagnosis.visit import Reading

_HIGHEST: Final = {
    "pressure": 3.5e6, "flow": 0.02, "time": DAY, "length": 1000.0, "power": 3e4,
}  # fmt: skip


def typed_readings(
    site: Site, readings: Mapping[str, str], trough: str
) -> dict[tuple[str, str], Shown]:
    """Return readings [SI] by key and place, or raise SiteError for one that cannot be.

    ``"bucket @ north"`` names the trough, which is left out for the one worked.
    """
    found = {}
    for name, value in readings.items():
        key, _, place = (part.strip() for part in str(name).partition("@"))
        if key not in READINGS:
            raise SiteError("readings", "", name, f"write one of {', '.join(READINGS)}")
        reading = READINGS[key]
        found[key, _place(site, reading, place, trough)] = _value(reading, value)
    return found


def _place(site: Site, reading: Reading, place: str, trough: str) -> str:
    """Return where something was read, held to the site's troughs."""
    if not reading.at_trough:
        if place:
            raise SiteError("readings", reading.key, place, "it is not read at a trough")
        return NO_PLACE
    names = [each.name for each in site.troughs]
    if place and place not in names:
        raise SiteError("readings", reading.key, place, f"the troughs are {', '.join(names)}")
    return place or trough


def _value(reading: Reading, value: object) -> Shown:
    """Return one value as an SI number, or the word."""
    typed = " ".join(str(value).split())
    if reading.kind == "word":
        known = {one: one for one in reading.words}
        known |= {shown.lower(): one for one, shown in reading.choices}
        if typed.lower() not in known:
            rule = f"write one of {', '.join(repr(shown) for _, shown in reading.choices)}"
            raise SiteError("readings", reading.key, value, rule)
        return known[typed.lower()]
    if reading.kind == "time" and typed.lower() in sentence("diagnosis", "typed-never").split("; "):
        return WAITS
    try:
        read = si(quantity(typed, UNIT_SYSTEMS["US"][reading.kind].label))
    except UnitError as problem:
        raise SiteError("readings", reading.key, value, str(problem)) from None
    if not (isfinite(read) and 0.0 <= read <= _HIGHEST[reading.kind]):
        raise SiteError("readings", reading.key, value, "no such instrument shows that")
    return min(read, WAITS) if reading.kind == "time" else read


SEEN: Final = {
    "full sun": (800.0, 1050.0),
    "light haze": (550.0, 850.0),
    "thin cloud": (300.0, 600.0),
    "overcast": (80.0, 300.0),
}
"""The sun as seen -> between what the irradiance on an array turned to it lies [W/m2] (common
practice; a judgement of its width)."""

_MEASURED: Final = 0.08  # how far a told irradiance may be off, as a share
FIRST: Final = 12  # particles of each case at first
MORE: Final = 36  # further particles of each case that is still alive then
_ROOM: Final = 240
PAIRED: Final = 8
"""Particles of each pair of faults."""
ALIVE: Final = 0.005  # chance from which a case is tried more closely
EXCLUDED: Final = 0.01  # chance under which a cause counts as excluded
_ODD: Final = 1e-3  # chance of a distance so great under which the readings fit none of the causes
_LIKELIEST: Final = 4
_LOST: Final = 0.1
"""Chance of none of these from which two faults at once are tried."""


@attrs.frozen(kw_only=True)
class Cause:
    """What may be wrong."""

    key: str  # a fault of the box, "nothing wrong" or "none of these"
    chance: float  # how likely it is after what was read
    # where it may sit, with the chance of each, the likeliest first
    places: tuple[tuple[str, float], ...] = ()
    sizes: tuple[str, ...] = ()  # some sizes that fit, the best first


@attrs.frozen(kw_only=True, eq=False)
class Diagnosis:
    """What may be wrong with a line, after what was read."""

    site: Site  # the line, without stock
    trough: str  # the trough whose float is worked
    read: dict[Channel, Shown]  # what was read [SI], by reading and trough
    # Every cause, the likeliest first. Of two faults at once each counts.
    causes: tuple[Cause, ...]
    # two faults at once that are not excluded, with their chances
    pairs: tuple[tuple[str, float], ...]
    # tests not done yet, the one that tells most for its minutes and its danger first
    next_tests: tuple[NextTest, ...]
    # readings without which the others would fit together; empty if nothing is at odds
    odd: tuple[Channel, ...]
    fits: bool  # whether any cause comes near all readings
    best: Particle  # the drawn line that fits best

    @property
    def open(self) -> tuple[Cause, ...]:
        """Causes that nothing so far excludes."""
        return tuple(cause for cause in self.causes if cause.chance >= EXCLUDED)


def diagnose(
    site: Site,
    readings: Mapping[str, str],
    *,
    trough: str | None = None,
    sun: str = "full sun",
    progress: Progress | None = None,
) -> Diagnosis:
    """Find what may be wrong with a line, from what was read on it.

    Parameters
    ----------
    site : Site
        The line as its file says.
    readings : mapping of str to str
        What was read, by the names in `labkit.diagnosis.READINGS`, such as
        ``{"gauge filling": "31 psi", "stop": "keeps running"}``; at another trough than the one
        whose float is worked ``"bucket @ north"``.
    trough : str, optional
        The trough whose float is worked; left out, the last in the file.
    sun : str
        The sun as seen, one of `SEEN`, or an irradiance such as ``"700 W/m^2"``.
    progress : callable, optional
        Told the share that is done.

    Returns
    -------
    Diagnosis
        Every suspect weighed, and what to test next.

    Raises
    ------
    SiteError
        For a reading that cannot be, a trough that is not there, or a line that is not stopped by
        its pressure switch.

    Notes
    -----
    Each suspect, and the sound line, is put into this very line many times over, with sizes from
    slight to bad and with what nobody knows exactly drawn within `UNKNOWNS`. What such lines would
    show is compared with what was read, errors of the instruments included (Bayes' rule, by Monte
    Carlo). Two faults together are tried where one alone does not settle it.
    """
    bar = progress or (lambda _share: None)
    empty = line_up(site, trough=trough, sun=sun, draw=False)
    read = typed_readings(empty.site, readings, empty.trough)
    started = empty.drawn(single_cases(empty.site), FIRST, lambda at: bar(0.5 * at))
    after, weighed = started.consider(read, progress=lambda at: bar(0.5 + 0.5 * at))
    return after.answer(read, weighed)


@attrs.frozen(kw_only=True, eq=False)
class Lineup:
    """Every suspect in one line, drawn many times; it grows as readings come in."""

    site: Site  # the line, without stock
    trough: str  # the trough whose float is worked
    sun: tuple[float, float]  # between what the irradiance on the array lies [W/m2]
    seed: int  # what the particles are drawn by
    particles: tuple[Particle, ...] = ()  # what was drawn so far

    def drawn(self, cases: list[Case], count: int, progress: Progress | None = None) -> Lineup:
        """Return the lineup with `count` more particles of each of some cases."""
        more = draw(
            self.site, cases, trough=self.trough, sun=self.sun, count=count,
            seed=self.seed + len(self.particles), progress=progress,
        )  # fmt: skip
        return attrs.evolve(self, particles=(*self.particles, *more))

    def consider(
        self, read: Mapping[Channel, Shown], progress: Progress | None = None
    ) -> tuple[Lineup, Weighed]:
        """Weigh the suspects by what was read, the likely ones drawn more closely first.

        Two faults together are tried where no single one comes near the readings.
        """
        after, weighed = self, weigh(self.particles, read)
        many = Counter(particle.case for particle in self.particles)
        thin = [case for case in _alive(weighed) if many[case] <= FIRST]
        if thin:
            after = after.drawn(thin, max(min(_ROOM // len(thin), MORE), FIRST // 2), progress)
            weighed = weigh(after.particles, read)
        if read and (_is_odd(weighed, read) or weighed.none > _LOST):
            new = [case for case in _pairs(weighed) if not many[case]]
            if new:
                after = after.drawn(new, PAIRED, progress)
                weighed = weigh(after.particles, read)
        return after, weighed

    def tests(self) -> list[Channel]:
        """Return the tests that can be done, each with its trough or an empty name."""
        return [
            (key, where)
            for key, test in TESTS.items()
            if test.needs(self.site)
            for where in (
                [each.name for each in self.site.troughs] if test.at_trough else [NO_PLACE]
            )
        ]

    def answer(self, read: Mapping[Channel, Shown], weighed: Weighed) -> Diagnosis:
        """Return a diagnosis of what was weighed."""
        fits = not _is_odd(weighed, read)
        return Diagnosis(
            site=self.site,
            trough=self.trough,
            read=dict(read),
            causes=_causes(weighed),
            pairs=_open_pairs(weighed),
            next_tests=next_tests(weighed, read, self.tests()),
            odd=() if fits else _odd(weighed.particles, read),
            fits=fits,
            best=weighed.particles[int(weighed.weights.argmax())],
        )


def line_up(
    site: Site,
    *,
    trough: str | None = None,
    sun: str = "full sun",
    seed: int = 1,
    draw: bool = True,
    progress: Progress | None = None,
) -> Lineup:
    """Return the lineup for a line before anything is read: sound, and with every single fault.

    Parameters and errors as `diagnose`; unless `draw`, nobody stands in it yet.
    """
    if site.drive.listens_to == "level sensor":
        rule = "these tests are for a line that its pressure switch stops"
        raise SiteError("drive", "listens_to", site.drive.listens_to, rule)
    names = [each.name for each in site.troughs]
    worked = names[-1] if trough is None else trough
    if worked not in names:
        raise SiteError("readings", "trough", worked, f"the troughs are {', '.join(names)}")
    bare = site.changed({f"trough.{name}.herd": None for name in names})
    empty = Lineup(site=bare, trough=worked, sun=irradiance(sun), seed=seed)
    return empty.drawn(single_cases(bare), FIRST, progress) if draw else empty


def irradiance(sun: str) -> tuple[float, float]:
    """Return between what the irradiance on the array lies [W/m2], by what was seen or measured."""
    if sun in SEEN:
        return SEEN[sun]
    try:
        told = si(quantity(sun, "W/m^2"))
    except UnitError:
        rule = f"write {', '.join(map(repr, SEEN))}, or an irradiance such as '700 W/m^2'"
        raise SiteError("readings", "sun", sun, rule) from None
    if not 20.0 <= told <= 1400.0:
        raise SiteError("readings", "sun", sun, "it must lie between 20 and 1400 W/m^2")
    return told * (1.0 - _MEASURED), told * (1.0 + _MEASURED)


def _by_case(weighed: Weighed) -> dict[Case, float]:
    found: dict[Case, float] = {}
    for particle, weight in zip(weighed.particles, weighed.weights, strict=True):
        found[particle.case] = found.get(particle.case, 0.0) + float(weight)
    return dict(sorted(found.items(), key=lambda item: -item[1]))


def _alive(weighed: Weighed) -> list[Case]:
    """Return the cases worth trying more closely, and always the sound line."""
    cases = [case for case, chance in _by_case(weighed).items() if chance >= ALIVE]
    return list(dict.fromkeys([Case(), *cases]))


def _pairs(weighed: Weighed) -> list[Case]:
    """Return pairs of the likeliest single faults with every other, each at its likeliest place."""
    single: dict[str, Case] = {}
    for case in _by_case(weighed):
        if len(case.faults) == 1:
            single.setdefault(case.key, case)
    every = list(single.values())
    found = [paired(one, other) for one in every[:_LIKELIEST] for other in every]
    return list(dict.fromkeys(case for case in found if case is not None))


def _is_odd(weighed: Weighed, read: Mapping[Channel, Shown]) -> bool:
    """Whether no line that was drawn comes near all readings."""
    return bool(read) and float(chi2.sf(weighed.distance, len(read))) < _ODD


def _odd(particles: Sequence[Particle], read: Mapping[Channel, Shown]) -> tuple[Channel, ...]:
    """Return the readings without which the others would fit together."""
    found = []
    for channel in read:
        rest = {other: value for other, value in read.items() if other != channel}
        if rest and not _is_odd(weigh(particles, rest), rest):
            found.append(channel)
    return tuple(found)


def _causes(weighed: Weighed) -> tuple[Cause, ...]:
    """Return every cause with its places and sizes."""
    found = []
    for key, chance in weighed.chances().items():
        places: dict[str, float] = {}
        sizes: dict[str, float] = {}
        for particle, weight in zip(weighed.particles, weighed.weights, strict=True):
            for (name, where), size in zip(particle.case.faults, particle.sizes, strict=True):
                if name == key:
                    places[where] = places.get(where, 0.0) + float(weight)
                    sizes[size] = sizes.get(size, 0.0) + float(weight)
        found.append(
            Cause(
                key=key,
                chance=chance,
                places=tuple(sorted(places.items(), key=lambda item: -item[1])),
                sizes=tuple(sorted((s for s in sizes if s), key=lambda size: -sizes[size])[:3]),
            )
        )
    return tuple(found)


def _open_pairs(weighed: Weighed) -> tuple[tuple[str, float], ...]:
    """Return two faults at once that are not excluded."""
    found: dict[str, float] = {}
    for case, chance in _by_case(weighed).items():
        if len(case.faults) == 2:
            found[case.key] = found.get(case.key, 0.0) + chance
    kept = [(key, chance) for key, chance in found.items() if chance >= EXCLUDED]
    return tuple(sorted(kept, key=lambda item: -item[1]))


__all__ = ["NONE_OF_THESE", "SEEN", "SOUND", "Cause", "Diagnosis", "diagnose"]

"""One fault: a change to a site. What is said of it stands in the words of ``faults``."""

from collections.abc import Callable
from typing import NamedTuple

import attrs
import numpy as np

from labkit.errors import SiteError
from labkit.site import Site
from labkit.text import as_id, has_sentence, sentence

PARTS = (
    "float and trough",
    "pipe in the ground",
    "tank",
    "gauge and switch",
    "signal wires",
    "pump and well",
    "sun and panels",
)
"""Parts of a line in which faults sit, from the trough to the panels."""

ONLY_PLACE = ("",)  # where a fault sits that has but one place to sit


def words(key: str, **values: str) -> str:
    """Return a sentence about a fault."""
    return sentence("faults", key, **values)


def one_place(_site: Site) -> tuple[str, ...]:
    """Return the one place of a part that a site has once."""
    return ONLY_PLACE


def each_trough(site: Site) -> tuple[str, ...]:
    """Return the troughs' names."""
    return tuple(trough.name for trough in site.troughs)


def each_run(site: Site) -> tuple[str, ...]:
    """Return the nodes at which the runs of pipe end."""
    return tuple(run.end for run in site.runs())


def never(_site: Site) -> str:
    """Say that nothing keeps a fault from any site."""
    return ""


def part_name(part: str) -> str:
    """Return what stands over the faults of a part of the line."""
    return words(f"part-{as_id(part)}")


def no_size(_site: Site, _where: str, _badness: float) -> str:
    """Return the size of a fault that has none."""
    return ""


def some_leak(_site: Site, _where: str, severity: float) -> str:
    """Return the size of a leak, from one that a bucket shows to one that wets the ground."""
    return f"{0.15 + 0.45 * severity:.2f} gpm at 30 psi"


def some_share(least: float, most: float) -> Callable[[Site, str, float], str]:
    """Return a size that runs as a plain share from `least` (slight) to `most` (bad)."""

    def size(_site: Site, _where: str, severity: float) -> str:
        return f"{least + severity * (most - least):.2f}"

    return size


def putting(field: str, value: str = "") -> Callable[[Site, str, str], Site]:
    """Return what puts a value into a field of the site; without one, the size of the fault."""

    def make(site: Site, size: str, _where: str) -> Site:
        return site.changed({field: value or size})

    return make


class Price(NamedTuple):
    """What a repair takes: minutes on site, and dollars for parts and machines."""

    minutes: float
    dollars: float


@attrs.frozen(kw_only=True)
class Fault:
    """A fault of the fault box.

    Attributes
    ----------
    key : str
        What it goes by in files and code.
    part : str
        Where it sits, one of `PARTS`.
    cautions : tuple of str
        What can hurt while it is looked for or repaired: keys of the words.
    steps : tuple of str
        What its repair must not be begun without; it follows from the cautions.
    price : Price
        What its repair takes. Invented for the drill, in the proportions of the trade (common
        practice): pulling a pump is a day, a trench most of one, a nut a few minutes.
    kind : str
        What its size measures: "leak", "pressure", "small length", "length", "share", "pipe",
        "resistance", or empty if it has none.
    places : callable
        From a site to the places where it may sit: troughs, ends of runs, or one empty name.
    size_at : callable
        From a site, a place and a share from 0 (slight) to 1 (bad) to a size as it is typed.
    make : callable
        From a sound site, a size and a place to the faulty site.
    unavailable_reason : callable
        From a site to a sentence on why it cannot have the fault; empty if it can.
    stops_gauge : bool
        Whether only the gauge is wrong: it stands at the size, and the line is sound.
    """

    key: str
    part: str
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    price: Price
    kind: str = ""
    places: Callable[[Site], tuple[str, ...]] = one_place
    size_at: Callable[[Site, str, float], str] = no_size
    make: Callable[[Site, str, str], Site]
    unavailable_reason: Callable[[Site], str] = never
    stops_gauge: bool = False

    @property
    def name(self) -> str:
        """What people call it."""
        return self._words("")

    @property
    def names(self) -> list[str]:
        """What people call it, the names that some have for it included."""
        return [self.name, *self._listed("also"), *self.alike]

    @property
    def alike(self) -> list[str]:
        """What else reads the same in every test, by name."""
        return self._listed("alike")

    @property
    def brief(self) -> str:
        """What is wrong, in a few words that follow its name."""
        return self._words(".brief")

    @property
    def about(self) -> str:
        """What is wrong, in a sentence."""
        return self._words(".about")

    @property
    def alike_words(self) -> str:
        """A sentence on what else reads the same in every test; empty where nothing does."""
        return words("reads-the-same", names=", ".join(self.alike)) if self.alike else ""

    @property
    def repair(self) -> str:
        """How it is repaired."""
        return self._words(".repair")

    @property
    def caution(self) -> str:
        """What can hurt, in sentences."""
        return " ".join(words(f"caution-{key}") for key in self.cautions)

    def _listed(self, what: str) -> list[str]:
        key = f"{as_id(self.key)}.{what}"
        return [one.strip() for one in words(key).split(";")] if has_sentence("faults", key) else []

    def _words(self, what: str) -> str:
        return words(f"{as_id(self.key)}{what}")

    def fits(self, site: Site) -> bool:
        """Whether a site can have the fault."""
        return not self.unavailable_reason(site)

    def apply(self, site: Site, size: str, where: str = "") -> Site:
        """Return a copy of a sound site with the fault in it.

        `size` is how bad it is, as it is typed; empty for a fault that has no size. `where` is a
        trough, or the end of a run; empty for a part that a site has once. What the site cannot
        have is an error.
        """
        if hindrance := self.unavailable_reason(site):
            raise SiteError("fault", "", self.key, hindrance)
        if where not in self.places(site):
            known = ", ".join(map(repr, self.places(site)))
            raise SiteError("fault", "where", where, f"write one of {known}")
        return self.make(site, size, where)

    def draw(self, site: Site, rng: np.random.Generator) -> tuple[str, str]:
        """Draw a sensible size and a place for a site: (size, where)."""
        if hindrance := self.unavailable_reason(site):
            raise SiteError("fault", "", self.key, hindrance)
        places = self.places(site)
        where = places[int(rng.integers(len(places)))]
        return self.size_at(site, where, float(rng.random())), where

"""One fault: a change to a site, with what people say of it and how it is mended."""

from collections.abc import Callable

import attrs
import numpy as np

from labkit.errors import SiteError
from labkit.site import Site

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

ONLY_PLACE = ("",)
"""Where a fault sits that has but one place to sit."""


def one_place(_site: Site) -> tuple[str, ...]:
    """Give the one place of a part that a site has once."""
    return ONLY_PLACE


def each_trough(site: Site) -> tuple[str, ...]:
    """Give the troughs' names."""
    return tuple(trough.name for trough in site.troughs)


def each_run(site: Site) -> tuple[str, ...]:
    """Give the nodes at which the runs of pipe end."""
    return tuple(run.end for run in site.runs())


def never(_site: Site) -> str:
    """Say that nothing keeps a fault from any site."""
    return ""


@attrs.frozen(kw_only=True)
class Fault:
    """A fault of the fault box.

    Attributes
    ----------
    key : str
        What it goes by, and its plain name.
    part : str
        Where it sits, one of `PARTS`.
    brief : str
        What is wrong, in a few words that follow its name.
    about : str
        What is wrong, in a sentence.
    complaint : str
        What people on site mostly say of it; what they would say of one case is simulated.
    repair : str
        How it is mended, in a sentence.
    cautions : str
        What can hurt while it is looked for or mended.
    kind : str
        What its size measures: "leak", "pressure", "small length", "length", "share", "pipe", or
        empty if it has none.
    places : callable
        From a site to the places where it may sit: troughs, ends of runs, or one empty name.
    size_at : callable
        From a site, a place and a share from 0 (slight) to 1 (bad) to a size as it is typed.
    make : callable
        From a sound site, a size and a place to the faulty site.
    hinders : callable
        From a site to a sentence on why it cannot have the fault; empty if it can.
    stops_gauge : bool
        Whether only the gauge is wrong: it stands at the size, and the line is sound.
    """

    key: str
    part: str
    brief: str
    about: str
    complaint: str
    repair: str
    cautions: str
    kind: str = ""
    places: Callable[[Site], tuple[str, ...]] = one_place
    size_at: Callable[[Site, str, float], str]
    make: Callable[[Site, str, str], Site]
    hinders: Callable[[Site], str] = never
    stops_gauge: bool = False

    def fits(self, site: Site) -> bool:
        """Say whether a site can have the fault."""
        return not self.hinders(site)

    def apply(self, site: Site, size: str, where: str = "") -> Site:
        """Give a copy of a site with the fault in it.

        Parameters
        ----------
        site : Site
            A site without it.
        size : str
            How bad it is, as it is typed; empty for a fault that has no size.
        where : str
            A trough, or the end of a run; empty for a part that a site has once.

        Raises
        ------
        SiteError
            If the site cannot have it, or the place is none of its places.
        """
        if hindrance := self.hinders(site):
            raise SiteError("fault", "", self.key, hindrance)
        if where not in self.places(site):
            known = ", ".join(map(repr, self.places(site)))
            raise SiteError("fault", "where", where, f"write one of {known}")
        return self.make(site, size, where)

    def draw(self, site: Site, dice: np.random.Generator) -> tuple[str, str]:
        """Draw a sensible size and a place for a site: (size, where)."""
        if hindrance := self.hinders(site):
            raise SiteError("fault", "", self.key, hindrance)
        places = self.places(site)
        where = places[int(dice.integers(len(places)))]
        return self.size_at(site, where, float(dice.random())), where

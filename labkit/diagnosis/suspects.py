"""Who may have done it: a sound line, or one or two faults in their places; drawn as particles."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Final

import attrs
from scipy.stats import qmc

from labkit.diagnosis.unknowns import UNKNOWNS, as_it_may_be
from labkit.diagnosis.visit import visit
from labkit.errors import RunError, SiteError
from labkit.faults import FAULTS
from labkit.units import quantity, si

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from labkit.diagnosis.visit import Shown
    from labkit.site import Site

    Floats = NDArray[np.float64]

SOUND: Final = "nothing wrong"
"""What a line without a fault goes by."""


@attrs.frozen(kw_only=True)
class Case:
    """What may be wrong: faults with their places; none for a sound line."""

    faults: tuple[tuple[str, str], ...] = ()  # each fault's key and its place

    @property
    def key(self) -> str:
        """The names of its faults, without their places."""
        return " + ".join(sorted(key for key, _ in self.faults)) or SOUND


@attrs.frozen(kw_only=True, eq=False)
class Particle:
    """One way in which a case may be: drawn sizes and unknowns, and what a visit would show."""

    case: Case  # what is wrong
    sizes: tuple[str, ...]  # size of each fault as it is typed
    line: Site  # the line itself
    sun: float  # irradiance on its array [W/m2]
    shown: dict[tuple[str, str], Shown]  # what a visit shows, as `labkit.diagnosis.visit.visit`


def single_cases(site: Site) -> list[Case]:
    """Return a sound line and every fault that a site can have, in each of its places."""
    return [
        Case(),
        *(
            Case(faults=((key, where),))
            for key, fault in FAULTS.items()
            if fault.fits(site)
            for where in fault.places(site)
        ),
    ]


def paired(first: Case, second: Case) -> Case | None:
    """Return two faults together; nothing if they are the same fault."""
    faults = tuple(sorted({*first.faults, *second.faults}))
    return Case(faults=faults) if len({key for key, _ in faults}) == 2 else None


def draw(
    site: Site,
    cases: Sequence[Case],
    *,
    trough: str,
    sun: tuple[float, float],
    count: int,
    seed: int,
    progress: Callable[[float], None] | None = None,
) -> list[Particle]:
    """Draw `count` particles of each case: sizes and unknowns spread evenly, each line visited.

    They come from a scrambled Sobol sequence, which fills their ranges more evenly than dice
    (`scipy.stats.qmc`); the same seed draws the same. The `sun` is between two irradiances [W/m2].
    A line that cannot be, or cannot be run, cannot be met with.
    """
    sobol = qmc.Sobol(d=len(UNKNOWNS) + _EXTRA, seed=seed)
    points = sobol.random_base2(max(count - 1, 1).bit_length())[:count]
    tasks = [(case, point) for case in cases for point in points]

    def one(task: tuple[Case, Floats]) -> Particle | None:
        return _particle(site, *task, trough=trough, sun=sun)

    found: list[Particle] = []
    with ThreadPoolExecutor() as pool:
        for done, particle in enumerate(pool.map(one, tasks)):
            if particle is not None:
                found.append(particle)
            if progress is not None and done % 16 == 0:
                progress(done / len(tasks))
    return found


_EXTRA: Final = 3
"""Places of a point that are no unknowns: how bad each of two faults is, and the sun."""


def _particle(
    site: Site, case: Case, point: Floats, *, trough: str, sun: tuple[float, float]
) -> Particle | None:
    """Draw one line, put the faults in and visit it."""
    first, second, light, *others = point.tolist()
    unknowns = dict(zip(UNKNOWNS, others, strict=True))
    irradiance = sun[0] + light * (sun[1] - sun[0])
    stopped, sizes = None, []
    try:
        line = as_it_may_be(site, unknowns)
        for (key, where), severity in zip(case.faults, (first, second), strict=False):
            fault = FAULTS[key]
            size = fault.size_at(line, where, severity)
            line = fault.apply(line, size, where)
            sizes.append(size)
            if fault.stops_gauge:
                stopped = si(quantity(size, "psi"))
        seen = visit(line, trough, sun=f"{irradiance:.3f} W/m^2", stopped_gauge=stopped, built=site)
    except (SiteError, RunError):
        return None
    return Particle(case=case, sizes=tuple(sizes), line=line, sun=irradiance, shown=seen)

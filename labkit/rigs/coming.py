"""Coming to a new line: whose it is, how its switch and its gauge came, and what sky it has."""

from collections.abc import Iterable
from typing import Any, Final

import numpy as np

from labkit.advice.window import operating_window
from labkit.drills.family import family_line
from labkit.drills.scene import Scene
from labkit.engine.standing import standing
from labkit.errors import LabkitError
from labkit.rigs.entry import Entry
from labkit.rigs.rig import FILLED, START, Rig, sky
from labkit.rigs.screw import Screw, from_the_box
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si
from labkit.units.customary import PSI

COVER: Final = 0.15  # how often a cloud stands before the sun on a line that is none of the family

_WRONG_GAUGES: Final = 0.25
_GAUGE_OFF: Final = (3.0 * PSI, 6.0 * PSI)
"""Share of the lines whose own gauge is off, and by how much (a judgement)."""

_SPRING, _GAUGE = 21, 23


def start_rig(number: int, site: Site | str | None = None) -> Rig:
    """Come to a new line, a `site` or the number's own of the family.

    Its switch is replaced by one from the box, which has the nut for the differential where the
    range nut alone cannot set this line. A line that its switch does not stop is an error.
    """
    kind: tuple[str, ...] = ()
    cover = COVER
    if site is None:
        line = family_line(number, with_hopeless=True)
        built, kind, cover = line.site, line.kind, line.cover
    else:
        built = demo_site(site) if isinstance(site, str) else site
    if built.drive.listens_to == "level sensor":
        raise LabkitError("this line is stopped by its level sensors; there is no screw to set")
    screw = from_the_box(np.random.default_rng([_SPRING, number]))
    new = _as_new(built, screw)
    window = operating_window(new)
    chosen = window.best
    has_nut = chosen is None or chosen.differential_turns != 0.0 or chosen.is_narrow
    full = standing(
        new,
        sun=sky(new, number, cover),
        start=START,
        levels={t.name: f"{FILLED * si(t.depth)} m" for t in new.troughs},
    )
    rng = np.random.default_rng([_GAUGE, number])
    is_wrong, by = bool(rng.random() < _WRONG_GAUGES), float(rng.uniform(*_GAUGE_OFF))
    there = Rig(
        number=number, kind=kind, window=window, screw=screw,
        has_nut=has_nut,
        scene=Scene(site=new, standing=full), cover=cover, off=by if is_wrong else 0.0,
    )  # fmt: skip
    return there.after(Entry(key="come"))


def done_over(rig: Rig, entries: Iterable[tuple[str, str, float, str]]) -> Rig:
    """Do over what was done on an earlier visit, from a line as one comes to it."""
    for key, where, amount, state in entries:
        rig = rig.act(key, where, amount, state)
    return rig


def _as_new(site: Site, screw: Screw) -> Site:
    """Return a line without stock, every float free, its switch from the box."""
    changes: dict[str, Any] = {f"trough.{t.name}.herd": None for t in site.troughs}
    changes["pressure_switch.cut_in"] = f"{screw.cut_in / PSI} psi"
    changes["pressure_switch.cut_out"] = f"{screw.cut_out / PSI} psi"
    if site.pressure_tank is not None:
        changes["pressure_tank.precharge"] = "28 psi"
    return site.changed(changes)

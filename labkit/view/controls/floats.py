"""Controls of how a trough fills and empties: the float's band, the stock, the pipe's wall."""

from typing import Final

from labkit.catalogue import pipe_sizes
from labkit.engine.demand import visit_flow
from labkit.parts import Herd
from labkit.site import Site
from labkit.units import si, typed
from labkit.units.customary import DAY
from labkit.view.controls.base import Changes, choice, control, of_site
from labkit.view.controls.line import FAR_SIZE, by_field

_MATERIALS: Final = ("PE SIDR 9", "PE SIDR 15", "PVC SDR 21", "PVC Sch 40")
"""Series of pipe that are offered side by side, from a soft wall to a stiff one."""


def _drinking(site: Site) -> float:
    """Return how fast the herd at the far trough drinks while it is there."""
    return visit_flow(site.farthest(), site)


def _drinks(site: Site, value: float) -> Changes:
    """Let the herd drink so fast; its visits stay as they are. Without a herd ten cows come.

    A herd that was sent away drinks nothing, however fast it would.
    """
    trough = site.farthest()
    if trough.herd is not None and trough.herd.head == 0:
        return {}
    herd = trough.herd or Herd(head=10, kind="dry cow", visits=("12:25",))
    here = len(herd.visits) * si(herd.visit_time) / DAY
    changes = {"head": herd.head, "kind": herd.kind, "visits": list(herd.visits)}
    changes |= {
        "visit_time": herd.visit_time,
        "daily_need": typed(value * here / herd.head, "daily volume"),
    }
    return {f"trough.{trough.name}.herd": changes}


_BAND: Final = by_field("trough.float_valve.band", "small length")

CONTROLS: Final = (
    control("float band", "small length", (0.1, 4, 0.1), (2, 102, 2), _BAND),
    control("drinking rate", "flow", (0, 15, 0.5), (0, 60, 2), of_site(_drinking, _drinks)),
)


def _materials(site: Site) -> tuple[str, ...]:
    """List pipes of the far trough's nominal size, soft walls first."""
    size = site.farthest().pipe.row.size.split(" in ")[0]
    return tuple(name for kind in _MATERIALS if (name := f"{size} in {kind}") in pipe_sizes())


CHOICES: Final = (choice("pipe material", _materials, FAR_SIZE),)

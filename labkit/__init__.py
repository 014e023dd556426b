"""labkit: what happens inside a stock-water line that a solar pump fills.

The public face; each name is fetched from its room when it is first used, so that a command or a
worker loads no more than it needs.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from labkit.engine.run import simulate
    from labkit.engine.steady import steady
    from labkit.errors import LabkitError, RunError, SiteError
    from labkit.site import Site
    from labkit.sitefile import demo_site, load_site, save_site
    from labkit.sun import clear_day, cloudy_day, measured
    from labkit.trace import Trace
    from labkit.view.bench import bench

__version__ = "0.1.0"

_ROOMS = {
    "LabkitError": "labkit.errors",
    "RunError": "labkit.errors",
    "Site": "labkit.site",
    "SiteError": "labkit.errors",
    "Trace": "labkit.trace",
    "bench": "labkit.view.bench",
    "clear_day": "labkit.sun",
    "cloudy_day": "labkit.sun",
    "demo_site": "labkit.sitefile",
    "load_site": "labkit.sitefile",
    "measured": "labkit.sun",
    "save_site": "labkit.sitefile",
    "simulate": "labkit.engine.run",
    "steady": "labkit.engine.steady",
}

__all__ = [
    "LabkitError",
    "RunError",
    "Site",
    "SiteError",
    "Trace",
    "bench",
    "clear_day",
    "cloudy_day",
    "demo_site",
    "load_site",
    "measured",
    "save_site",
    "simulate",
    "steady",
]


def __getattr__(name: str) -> Any:
    if name not in _ROOMS:
        raise AttributeError(f"labkit has no {name!r}; it has {', '.join(__all__)}")
    return getattr(import_module(_ROOMS[name]), name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]

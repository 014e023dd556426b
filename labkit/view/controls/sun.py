"""Controls of the sun, and of the air that it shines through."""

from typing import Final

from labkit.site import Site
from labkit.sun import Sun, constant
from labkit.units import typed
from labkit.view.controls.base import Setting, control


def _clear(_site: Site, sun: Sun) -> float:
    """Return the strongest sun there would be without haze."""
    return float(sun.irradiance.max()) / (1.0 - sun.haze)


def _set_sun(site: Site, sun: Sun, value: float) -> Setting:
    """Set a constant sun; the haze that there was stays."""
    clear = constant(typed(value, "irradiance"), site.place.air_temperature)
    return site, clear.behind(sun.haze)


CONTROLS: Final = (
    control(
        "irradiance", "irradiance", (0, 1000, 10), (0, 1000, 10), (_clear, _set_sun), grip="sun"
    ),
    control(
        "haze", "share", (0, 90, 2), (0, 90, 2),
        (lambda _site, sun: sun.haze, lambda site, sun, value: (site, sun.behind(value))),
    ),
)  # fmt: skip

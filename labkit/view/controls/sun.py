"""Controls of the sun."""

from typing import Final

from labkit.site import Site
from labkit.sun import Sun, constant
from labkit.units import typed
from labkit.view.controls.base import Setting, control


def _set_sun(site: Site, _sun: Sun, value: float) -> Setting:
    return site, constant(typed(value, "irradiance"), site.place.air_temperature)


def _strongest(_site: Site, sun: Sun) -> float:
    return float(sun.irradiance.max())


CONTROLS: Final = (
    control("irradiance", "irradiance", (0, 1000, 10), (0, 1000, 10), (_strongest, _set_sun)),
)

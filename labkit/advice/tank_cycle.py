"""What a line's own tank does: how much water it holds at three pressures, and how it cycles."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

import attrs
import numpy as np

from labkit.advice.line import Line
from labkit.advice.setting import right_air
from labkit.advice.tank_size import bare_line, held_share, spans
from labkit.errors import SiteError
from labkit.sun import as_sun
from labkit.units import si

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from labkit.site import Site
    from labkit.sun import Sun

    Floats = NDArray[np.float64]


@attrs.frozen(kw_only=True)
class TankCycle:
    """A tank between cut-in and cut-out."""

    # of the tank [m3, Pa]
    volume: float
    precharge: float
    # points of the switch [Pa]
    cut_in: float
    cut_out: float
    # water in the tank there, the air slow [m3]
    at_cut_in: float
    at_cut_out: float
    volumes: Floats  # tanks of other sizes [m3]
    # from start to start with each of them, every float shut, for the tank's own precharge and for
    # one of 2 psi under cut-in [s]; infinite where nothing leaks, nan where the pump does not reach
    # cut-out
    own: Floats
    usual: Floats
    cycle: float  # the same for the tank as it is [s]

    @classmethod
    def of(cls, site: Site, sun: Sun | str, volumes: Sequence[float] | Floats) -> Self:
        """Work out a site's tank, and how its line would cycle with others."""
        line, sizes = Line.of(bare_line(site, None)), np.asarray(volumes, dtype=float)
        low, high = line.plant.p_cut_in, line.plant.p_cut_out
        usual = right_air(low)
        tank = site.pressure_tank
        volume, charge = (0.0, usual) if tank is None else (si(tank.volume), si(tank.precharge))
        light = float(as_sun(sun, site).irradiance.max())
        with_own = _cycles(line, light, charge, np.append(sizes, volume))
        return cls(
            volume=volume,
            precharge=charge,
            cut_in=low,
            cut_out=high,
            at_cut_in=volume * held_share(line, charge, low)[0],
            at_cut_out=volume * held_share(line, charge, high)[0],
            volumes=sizes,
            own=with_own[:-1],
            usual=_cycles(line, light, usual, sizes),
            cycle=float(with_own[-1]),
        )

    @property
    def drawdown(self) -> float:
        """Water that the tank gives from cut-out down to cut-in [m3]."""
        return self.at_cut_out - self.at_cut_in


def _cycles(line: Line, sun: float, precharge: float, volumes: Floats) -> Floats:
    try:
        _, period = spans(line, sun, precharge)
    except SiteError:
        return np.full(volumes.size, np.nan)
    if period.none == np.inf:
        return np.full(volumes.size, np.inf)
    return np.array([period.at(float(volume)) for volume in volumes])

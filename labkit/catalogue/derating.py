"""How much of its pressure rating a plastic pipe keeps in warm water."""

from functools import lru_cache

import numpy as np
import pint

from labkit.catalogue.pipe_sizes import pipe_size
from labkit.catalogue.table import curves
from labkit.units import UNITS, Quantity, ureg


def derating(size: str, temperature: Quantity) -> float:
    """Return the share of its rating that a pipe of a size keeps at a temperature [-].

    Straight lines between the table's temperatures. Cold water adds nothing, and past the hottest
    entry (104 degF for PE, 140 degF for PVC) its factor is held, which is too much. For PE the
    metric standard's line is under the steps of the American manual (AWWA M55, Table 4-6: 0.9 from
    81 degF, 0.8 from 91 to 100 degF) at the warm end of each, and up to 0.04 over them at the cool.
    """
    table = curves("pipe_derating.csv", "material", "temperature_degF", "factor")
    words = pipe_size(size).size.split()
    temperatures, factors = next(table[word] for word in words if word in table)
    return float(np.interp(float(temperature.to("degF").magnitude), temperatures, factors))


def derated_rating(size: str, temperature: Quantity) -> Quantity:
    """Return the pressure rating of a pipe of a size in water of a temperature."""
    return _derated(size, float(temperature.magnitude), temperature.units)


@lru_cache(maxsize=1024)  # every run asks it of each of its pipes
def _derated(size: str, number: float, unit: pint.Unit) -> Quantity:
    rating = float(pipe_size(size).rating.to("psi").magnitude)
    return ureg.Quantity(rating * derating(size, ureg.Quantity(number, unit)), UNITS["psi"])

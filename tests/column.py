"""A column of water between a reservoir and a valve: the line of which surge has closed forms.

The reservoir is a pressure tank so large that its pressure stays.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.engine.plant import make_plant
from labkit.engine.reaches import cut, lay
from labkit.engine.surge import follow
from labkit.engine.waves import BY_AREA, BY_FLOW, HEADS, Cause
from labkit.physics.pipe import DARCY_WEISBACH, GIVEN_FACTOR
from labkit.sitefile import loads

if TYPE_CHECKING:
    from labkit.engine.network import Floats, Plant
    from labkit.engine.reaches import Cut
    from labkit.engine.waves import Net

BORE: Final = 0.03505
A: Final = 0.25 * pi * BORE**2
RESERVOIR: Final = 1e5
"""Volume of the tank that stands for a reservoir [m3]."""

LINE: Final = """
title = "One run"
place = {{ latitude = "40 deg", longitude = "-100 deg", elevation = "0 ft" }}
well = {{ static_level = "60 ft", intake_depth = "110 ft" }}
array = {{ rated_power = "600 W" }}
drive = {{ kind = "solar" }}
pressure_switch = {{ cut_in = "15 psi", cut_out = "30 psi" }}
[pump]
kind = "centrifugal"
shut_off_head = "190 ft"
rated_flow = "7 gpm"
rated_head = "130 ft"
[[trough]]
name = "end"
volume = "300 gal"
depth = "24 in"
pipe = {{ from = "manifold", length = "{L} m", size = "1 1/4 in PE SIDR 15", rise = "0 ft", inside_diameter = "35.05 mm", wave_speed = "{a} m/s" }}
float_valve = {{ flow = "6 gpm at 20 psi" }}
"""


@attrs.frozen(kw_only=True, eq=False)
class Column:
    """What happened: time, head at reservoir and valve, flow of the valve; and the grid's end."""

    time: Floats
    top: Floats
    head: Floats
    flow: Floats
    net: Net
    pieces: Cut
    plant: Plant

    @property
    def rise(self) -> float:
        """How far the head at the valve rose [m]."""
        return float(self.head.max() - self.head[0])


def column(
    *,
    L: float = 600.0,
    a: float = 400.0,
    v: float = 1.0,
    h0: float = 120.0,
    factor: float = 0.0,
    nu: float | None = None,
    closing_time: float = 0.0,
    by_flow: bool = True,
    exponent: float = 1.0,
    reaches: int = 20,
    duration: float = 20.0,
    reservoir: float = RESERVOIR,
) -> Column:
    """Shut the valve of a column that flows at `v` [m/s] under `h0` [m], friction by a factor, or with
    a viscosity `nu` [m2/s] that keeps it laminar."""
    site = loads(LINE.format(L=L, a=a))
    plant, _ = make_plant(site)
    lost = factor * L / BORE * v * v / (2.0 * 9.80665)
    if nu is not None:
        lost = 32.0 * nu * L * v / (9.80665 * BORE**2)
    plant = plant._replace(
        law=GIVEN_FACTOR, wall=factor, tank_volume=reservoir, tank_precharge=0.0, tank_exponent=1.0
    )
    if nu is not None:
        plant = plant._replace(law=DARCY_WEISBACH, nu=nu)
    plant.troughs.valve_k = A * v / sqrt(h0 - lost)
    pieces = cut(site, plant, reaches=reaches)
    net = lay(plant, pieces, np.array([h0, h0 - lost]))
    net.points.q_in = net.points.q_out = A * v
    net.opening[:] = 1.0
    law = BY_FLOW if by_flow else BY_AREA
    cause = Cause(
        power=0.0, trough=0, closing_time=closing_time, law=law, exponent=exponent, q_start=A * v
    )
    history = follow(plant, net, cause, pieces.dt, round(duration / pieces.dt))
    columns = history.rows.T
    return Column(
        time=history.time,
        top=columns[HEADS],
        head=columns[HEADS + 1],
        flow=columns[HEADS + 2],
        net=net,
        pieces=pieces,
        plant=plant,
    )

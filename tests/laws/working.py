"""Sites of any shape whose pump is matched to their well, so that things happen on them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pint
from hypothesis import strategies as st

from labkit.parts.build import build
from labkit.site import Site
from labkit.sitefile import dumps
from labkit.units import si, ureg
from tests.strategies import site_tables, sites

if TYPE_CHECKING:
    from labkit.trace import Trace

FEET_A_PSI = 2.31


@st.composite
def tables(draw: st.DrawFn) -> dict[str, Any]:
    """A drawn site with a well, pump, array and switch that suit one another."""
    table = draw(site_tables())
    lift = draw(st.floats(10.0, 250.0))
    cut_out = draw(st.floats(20.0, 60.0))
    needed = lift + FEET_A_PSI * cut_out
    table["well"] = {
        "static_level": f"{lift} ft",
        "intake_depth": f"{lift + draw(st.floats(15.0, 150.0))} ft",
        "drawdown": f"{draw(st.sampled_from([0.0, 0.4, 2.0]))} ft/gpm",
    }
    gpm = draw(st.floats(3.0, 12.0))
    if table["pump"]["kind"] == "centrifugal":
        shut_off = needed * draw(st.floats(1.02, 1.8))
        rated = shut_off * draw(st.floats(0.6, 0.85))
        table["pump"] = {
            "kind": "centrifugal", "shut_off_head": f"{shut_off} ft",
            "rated_flow": f"{gpm} gpm", "rated_head": f"{rated} ft",
        }  # fmt: skip
    else:
        rated = needed
        table["pump"] = {
            "kind": "positive displacement", "rated_flow": f"{gpm} gpm",
            "rated_head": f"{rated} ft", "slip": draw(st.sampled_from([0.0, 0.05, 0.2])),
        }  # fmt: skip
    watts = 0.1885 * rated * gpm / 0.45 / (0.95 * 0.85)
    table["array"] = {"rated_power": f"{min(watts * draw(st.floats(0.7, 4.0)), 19_000.0)} W"}
    table["pressure_switch"] = {
        "cut_in": f"{cut_out * draw(st.floats(0.4, 0.85))} psi", "cut_out": f"{cut_out} psi",
    }  # fmt: skip
    table["drive"] = draw(
        st.sampled_from(
            [
                {"kind": "solar"},
                {"kind": "solar", "restart_delay": "20 s", "soft_start": "3 s"},
                {"kind": "mains", "stop_when": "closed"},
            ]
        )
    )
    if table["level_sensor"]:
        listens = draw(st.sampled_from(["pressure switch", "level sensor", "either"]))
        table["drive"] = {**table["drive"], "listens_to": listens}
    for trough in table["trough"]:
        trough["volume"] = f"{draw(st.floats(20.0, 300.0))} gal"
    return table


def working_sites() -> st.SearchStrategy[str]:
    """Valid sites on which the pump starts, as texts, for a failure prints those."""
    return tables().map(lambda table: dumps(build(Site, table)))


def any_sites() -> st.SearchStrategy[str]:
    """Sites of every kind, as texts."""
    return st.one_of(working_sites(), working_sites(), sites().map(dumps))


suns = st.floats(0.0, 1200.0).map(lambda watts: f"{watts} W/m^2")


def low_levels(site: Site) -> dict[str, str]:
    """Every other trough down to its last inch, so that there is something to fill."""
    return {trough.name: "1 in" for trough in site.troughs[::2]}


def arrays(trace: Trace) -> dict[str, Any]:
    """Every array of a trace, by name."""
    found = {}
    for field in attrs.fields(type(trace)):
        value = getattr(trace, field.name)
        if isinstance(value, np.ndarray):
            found[field.name] = value.astype(np.float64)
        elif isinstance(value, dict):
            found |= {f"{field.name} {key}": np.asarray(array) for key, array in value.items()
                      if isinstance(array, np.ndarray)}  # fmt: skip
    return found


def in_si(part: Any) -> Any:
    """The same part with every quantity spelled in SI."""
    if isinstance(part, tuple):
        return tuple(in_si(one) for one in part)
    if isinstance(part, pint.Quantity):
        return ureg.Quantity(si(part), part.to_base_units().units)
    if attrs.has(type(part)):
        changes = {
            field.alias: in_si(getattr(part, field.name)) for field in attrs.fields(type(part))
        }
        return type(part)(**changes)
    return part

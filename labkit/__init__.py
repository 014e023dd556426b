"""labkit: what happens inside a stock-water line that a solar pump fills.

The public face; each name is fetched from its room when it is first used, so that a command or a
worker loads no more than it needs.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from labkit import faults as faults
    from labkit import questions as questions
    from labkit.advice import leak_down as leak_down
    from labkit.advice.curves import dead_head_pressure as dead_head_pressure
    from labkit.advice.curves import other_kind as other_kind
    from labkit.advice.days import days as days
    from labkit.advice.radio_link import RadioGear as RadioGear
    from labkit.advice.radio_link import radio_check as radio_check
    from labkit.advice.seasons import yearly_temperatures as yearly_temperatures
    from labkit.advice.setting import set_so as set_so
    from labkit.advice.settings_map import settings_map as settings_map
    from labkit.advice.signal_loop import farthest_pairs as farthest_pairs
    from labkit.advice.signal_loop import find_short as find_short
    from labkit.advice.signal_loop import loop_check as loop_check
    from labkit.advice.sky_mix import SkyMix as SkyMix
    from labkit.advice.sky_mix import hours_over as hours_over
    from labkit.advice.sky_mix import peak_sun_hours as peak_sun_hours
    from labkit.advice.stop_methods import StopCase as StopCase
    from labkit.advice.stop_methods import stop_methods as stop_methods
    from labkit.advice.stop_table import drive_of as drive_of
    from labkit.advice.stop_table import stop_table as stop_table
    from labkit.advice.tank_size import TankCycle as TankCycle
    from labkit.advice.tank_size import tank_size as tank_size
    from labkit.advice.water_budget import deliverable as deliverable
    from labkit.advice.water_budget import water_budget as water_budget
    from labkit.advice.window import operating_window as operating_window
    from labkit.engine.rest import rest_pressure as rest_pressure
    from labkit.engine.run import simulate as simulate
    from labkit.engine.steady import steady as steady
    from labkit.engine.surge import surge as surge
    from labkit.errors import LabkitError as LabkitError
    from labkit.errors import NoCardError as NoCardError
    from labkit.errors import RunError as RunError
    from labkit.errors import SiteError as SiteError
    from labkit.parts.stop_input import StopInput as StopInput
    from labkit.questions import keys as keys
    from labkit.questions.keys.sheet import weight_of_water as weight_of_water
    from labkit.site import Site as Site
    from labkit.sitefile import demo_site as demo_site
    from labkit.sitefile import load_site as load_site
    from labkit.sitefile import loads as loads
    from labkit.sitefile import save_site as save_site
    from labkit.sun import array_power as array_power
    from labkit.sun import clear_day as clear_day
    from labkit.sun import cloudy_day as cloudy_day
    from labkit.sun import constant as constant
    from labkit.sun import measured as measured
    from labkit.sun import measured_day as measured_day
    from labkit.trace import Trace as Trace
    from labkit.units import si as si
    from labkit.view import charts as charts
    from labkit.view.bench import bench as bench
    from labkit.view.budget_picture import BudgetImage as BudgetImage
    from labkit.view.budget_told import budget_rows as budget_rows
    from labkit.view.card_page import settings_card as settings_card
    from labkit.view.diagnosis_view import WrongLine as WrongLine
    from labkit.view.drill_view import drill as drill
    from labkit.view.lesson import Lesson as Lesson
    from labkit.view.loop_told import loop_rows as loop_rows
    from labkit.view.map_picture import MapImage as MapImage
    from labkit.view.methods_told import methods_rows as methods_rows
    from labkit.view.own_site import EXAMPLE as EXAMPLE
    from labkit.view.own_site import OwnSite as OwnSite
    from labkit.view.path_picture import PathImage as PathImage
    from labkit.view.rig_view import rig as rig
    from labkit.view.setting import Setting as Setting
    from labkit.view.surge_picture import SurgeImage as SurgeImage
    from labkit.view.widgets import ProgressBar as ProgressBar

__version__ = "0.1.0"

_ROOMS = {
    "BudgetImage": "labkit.view.budget_picture",
    "EXAMPLE": "labkit.view.own_site",
    "LabkitError": "labkit.errors",
    "Lesson": "labkit.view.lesson",
    "MapImage": "labkit.view.map_picture",
    "NoCardError": "labkit.errors",
    "OwnSite": "labkit.view.own_site",
    "PathImage": "labkit.view.path_picture",
    "ProgressBar": "labkit.view.widgets",
    "RadioGear": "labkit.advice.radio_link",
    "RunError": "labkit.errors",
    "Setting": "labkit.view.setting",
    "Site": "labkit.site",
    "SiteError": "labkit.errors",
    "SkyMix": "labkit.advice.sky_mix",
    "StopCase": "labkit.advice.stop_methods",
    "StopInput": "labkit.parts.stop_input",
    "SurgeImage": "labkit.view.surge_picture",
    "TankCycle": "labkit.advice.tank_size",
    "Trace": "labkit.trace",
    "WrongLine": "labkit.view.diagnosis_view",
    "array_power": "labkit.sun",
    "bench": "labkit.view.bench",
    "budget_rows": "labkit.view.budget_told",
    "clear_day": "labkit.sun",
    "cloudy_day": "labkit.sun",
    "constant": "labkit.sun",
    "days": "labkit.advice.days",
    "dead_head_pressure": "labkit.advice.curves",
    "deliverable": "labkit.advice.water_budget",
    "demo_site": "labkit.sitefile",
    "drill": "labkit.view.drill_view",
    "drive_of": "labkit.advice.stop_table",
    "farthest_pairs": "labkit.advice.signal_loop",
    "find_short": "labkit.advice.signal_loop",
    "hours_over": "labkit.advice.sky_mix",
    "load_site": "labkit.sitefile",
    "loads": "labkit.sitefile",
    "loop_check": "labkit.advice.signal_loop",
    "loop_rows": "labkit.view.loop_told",
    "measured": "labkit.sun",
    "measured_day": "labkit.sun",
    "methods_rows": "labkit.view.methods_told",
    "operating_window": "labkit.advice.window",
    "other_kind": "labkit.advice.curves",
    "peak_sun_hours": "labkit.advice.sky_mix",
    "radio_check": "labkit.advice.radio_link",
    "rest_pressure": "labkit.engine.rest",
    "rig": "labkit.view.rig_view",
    "save_site": "labkit.sitefile",
    "set_so": "labkit.advice.setting",
    "settings_card": "labkit.view.card_page",
    "settings_map": "labkit.advice.settings_map",
    "si": "labkit.units",
    "simulate": "labkit.engine.run",
    "steady": "labkit.engine.steady",
    "stop_methods": "labkit.advice.stop_methods",
    "stop_table": "labkit.advice.stop_table",
    "surge": "labkit.engine.surge",
    "tank_size": "labkit.advice.tank_size",
    "water_budget": "labkit.advice.water_budget",
    "weight_of_water": "labkit.questions.keys.sheet",
    "yearly_temperatures": "labkit.advice.seasons",
}
_WHOLE = {
    "charts": "labkit.view.charts",
    "faults": "labkit.faults",
    "keys": "labkit.questions.keys",
    "leak_down": "labkit.advice.leak_down",
    "questions": "labkit.questions",
}
"""Rooms that are handed out as they are, ``labkit.keys.lesson_2`` and the like."""

__all__ = sorted(_ROOMS | _WHOLE)  # noqa: PLE0605 - each name is exported where it is imported


def __getattr__(name: str) -> Any:
    if name in _WHOLE:
        return import_module(_WHOLE[name])
    if name not in _ROOMS:
        raise AttributeError(f"labkit has no {name!r}; it has {', '.join(__all__)}")
    return getattr(import_module(_ROOMS[name]), name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]

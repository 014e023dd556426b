"""labkit: what happens inside a stock-water line that a solar pump fills.

The public face; each name is fetched from its room when it is first used, so that a command or a
worker loads no more than it needs.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from labkit import faults, questions
    from labkit.advice.radio_link import RadioGear, radio_check
    from labkit.advice.seasons import yearly_temperatures
    from labkit.advice.settings_map import settings_map
    from labkit.advice.signal_loop import loop_check
    from labkit.advice.signal_short import find_short
    from labkit.advice.sky_mix import SkyMix
    from labkit.advice.stop_methods import stop_methods
    from labkit.advice.tank_size import tank_size
    from labkit.advice.water_budget import water_budget
    from labkit.advice.window import operating_window
    from labkit.engine.rest import rest_pressure
    from labkit.engine.run import simulate
    from labkit.engine.steady import steady
    from labkit.engine.surge import surge
    from labkit.errors import LabkitError, NoCardError, RunError, SiteError
    from labkit.parts.stop_input import StopInput
    from labkit.site import Site
    from labkit.sitefile import demo_site, load_site, save_site
    from labkit.sun import clear_day, cloudy_day, measured
    from labkit.trace import Trace
    from labkit.units import si
    from labkit.view.bench import bench
    from labkit.view.budget_picture import BudgetImage
    from labkit.view.budget_told import budget_rows
    from labkit.view.card_page import settings_card
    from labkit.view.diagnosis_view import WrongLine
    from labkit.view.drill_view import drill
    from labkit.view.lesson import Lesson
    from labkit.view.loop_told import loop_rows
    from labkit.view.map_picture import MapImage
    from labkit.view.methods_told import methods_rows
    from labkit.view.own_site import OwnSite
    from labkit.view.path_picture import PathImage
    from labkit.view.rig_view import rig
    from labkit.view.setting import Setting
    from labkit.view.surge_picture import SurgeImage
    from labkit.view.waiting import ProgressBar

__version__ = "0.1.0"

_ROOMS = {
    "BudgetImage": "labkit.view.budget_picture",
    "LabkitError": "labkit.errors",
    "Lesson": "labkit.view.lesson",
    "MapImage": "labkit.view.map_picture",
    "NoCardError": "labkit.errors",
    "OwnSite": "labkit.view.own_site",
    "PathImage": "labkit.view.path_picture",
    "ProgressBar": "labkit.view.waiting",
    "RadioGear": "labkit.advice.radio_link",
    "RunError": "labkit.errors",
    "Setting": "labkit.view.setting",
    "Site": "labkit.site",
    "SiteError": "labkit.errors",
    "SkyMix": "labkit.advice.sky_mix",
    "StopInput": "labkit.parts.stop_input",
    "SurgeImage": "labkit.view.surge_picture",
    "Trace": "labkit.trace",
    "WrongLine": "labkit.view.diagnosis_view",
    "bench": "labkit.view.bench",
    "budget_rows": "labkit.view.budget_told",
    "questions": "labkit.questions",
    "clear_day": "labkit.sun",
    "cloudy_day": "labkit.sun",
    "demo_site": "labkit.sitefile",
    "drill": "labkit.view.drill_view",
    "faults": "labkit.faults",
    "find_short": "labkit.advice.signal_short",
    "load_site": "labkit.sitefile",
    "loop_check": "labkit.advice.signal_loop",
    "loop_rows": "labkit.view.loop_told",
    "measured": "labkit.sun",
    "methods_rows": "labkit.view.methods_told",
    "operating_window": "labkit.advice.window",
    "radio_check": "labkit.advice.radio_link",
    "rest_pressure": "labkit.engine.rest",
    "rig": "labkit.view.rig_view",
    "save_site": "labkit.sitefile",
    "settings_card": "labkit.view.card_page",
    "settings_map": "labkit.advice.settings_map",
    "si": "labkit.units",
    "simulate": "labkit.engine.run",
    "steady": "labkit.engine.steady",
    "stop_methods": "labkit.advice.stop_methods",
    "surge": "labkit.engine.surge",
    "tank_size": "labkit.advice.tank_size",
    "water_budget": "labkit.advice.water_budget",
    "yearly_temperatures": "labkit.advice.seasons",
}

__all__ = [
    "BudgetImage",
    "LabkitError",
    "Lesson",
    "MapImage",
    "NoCardError",
    "OwnSite",
    "PathImage",
    "ProgressBar",
    "RadioGear",
    "RunError",
    "Setting",
    "Site",
    "SiteError",
    "SkyMix",
    "StopInput",
    "SurgeImage",
    "Trace",
    "WrongLine",
    "bench",
    "budget_rows",
    "clear_day",
    "cloudy_day",
    "demo_site",
    "drill",
    "faults",
    "find_short",
    "load_site",
    "loop_check",
    "loop_rows",
    "measured",
    "methods_rows",
    "operating_window",
    "questions",
    "radio_check",
    "rest_pressure",
    "rig",
    "save_site",
    "settings_card",
    "settings_map",
    "si",
    "simulate",
    "steady",
    "stop_methods",
    "surge",
    "tank_size",
    "water_budget",
    "yearly_temperatures",
]


def __getattr__(name: str) -> Any:
    if name not in _ROOMS:
        raise AttributeError(f"labkit has no {name!r}; it has {', '.join(__all__)}")
    room = import_module(_ROOMS[name])
    return room if _ROOMS[name] == f"labkit.{name}" else getattr(room, name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]

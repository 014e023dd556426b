"""Pictures that stand in a lesson beside the bench.

Each is given a site and a sun, asks `labkit.advice.curves` for its numbers, and draws them in the
units that the reader has chosen.
"""

from labkit.view.budget_picture import BudgetImage as BudgetChart
from labkit.view.charts.base import Chart, chart_html
from labkit.view.charts.contact import ContactTable
from labkit.view.charts.day import SunAndLevel
from labkit.view.charts.grade import GradeLines
from labkit.view.charts.leak import LeakDown
from labkit.view.charts.pump import PumpMeetsLine
from labkit.view.charts.tank import TankMoments
from labkit.view.charts.troughs import TroughShares
from labkit.view.surge_picture import SurgeImage as SurgeChart
from labkit.view.window_picture import SwitchWindow

__all__ = [
    "BudgetChart",
    "Chart",
    "ContactTable",
    "GradeLines",
    "LeakDown",
    "PumpMeetsLine",
    "SunAndLevel",
    "SurgeChart",
    "SwitchWindow",
    "TankMoments",
    "TroughShares",
    "chart_html",
]

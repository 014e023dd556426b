"""The commands that give advice, from ``labkit budget`` to ``window`` and ``card``."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from labkit.errors import LabkitError
from labkit.files import write_out
from labkit.text import speaker

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from labkit.site import Site

say = speaker("commands")


class Tools(NamedTuple):
    """What the commands are lent: how to find a site, make a folder, and show how far it is."""

    site: Callable[[str], Site]
    folder: Callable[[str], Path]
    bar: Callable[[], Any]


Report = Any  # a callable that takes a line to print


def add_advice_commands(commands: Any, tools: Tools) -> None:
    """Add the commands to those of the command line."""
    _add_budget(commands, tools)
    _add_loop(commands)
    _add_map(commands, tools)
    _add_methods(commands, tools)


def _add_budget(commands: Any, tools: Tools) -> None:
    budget = commands.add_parser("budget", help=say("budget"), description=say("budget.about"))
    budget.add_argument("site", metavar="SITE", help=say("site"))
    budget.add_argument(
        "--cloudy-days", type=int, default=3, metavar="N", help=say("budget.cloudy-days")
    )
    budget.add_argument("--months", default="1-12", metavar="FROM-TO", help=say("budget.months"))
    budget.add_argument("--out", metavar="DIR", help=say("budget.out"))
    _add_units(budget)
    budget.set_defaults(run=lambda options, report: _budget(options, report, tools))


def _add_loop(commands: Any) -> None:
    loop = commands.add_parser("loop", help=say("loop"), description=say("loop.about"))
    loop.add_argument("--gauge", required=True, metavar="AWG", help=say("loop.gauge"))
    loop.add_argument("--distance", required=True, help=say("loop.distance"))
    loop.add_argument("--temperature", default="68 degF", help=say("loop.temperature"))
    loop.add_argument("--short-at", help=say("loop.short-at"))
    loop.add_argument("--at-controller", metavar="OHMS", help=say("loop.at-controller"))
    loop.add_argument("--at-switch", metavar="OHMS", help=say("loop.at-switch"))
    _add_units(loop)
    loop.set_defaults(run=_loop)


def _add_map(commands: Any, tools: Tools) -> None:
    chart = commands.add_parser("map", help=say("map"), description=say("map.about"))
    chart.add_argument("site", metavar="SITE", help=say("site"))
    for name, default in (("across", "cut-out"), ("up", "sun")):
        chart.add_argument(
            f"--{name}", default=default, metavar="AXIS", help=say("map.axis", name=name)
        )
        chart.add_argument(
            f"--{name}-range", nargs=2, metavar=("FROM", "TO"), help=say("map.range")
        )
    chart.add_argument(
        "--cells", nargs=2, type=int, default=(40, 30), metavar=("ACROSS", "UP"),
        help=say("map.cells"),
    )  # fmt: skip
    chart.add_argument("--sun", default="800 W/m^2", help=say("map.sun"))
    chart.add_argument("--trough", metavar="NAME", help=say("map.trough"))
    chart.add_argument("--recharge", action="store_true", help=say("map.recharge"))
    chart.add_argument("--out", default="map.png", metavar="FILE", help=say("map.out"))
    chart.add_argument("--table", metavar="FILE", help=say("map.table"))
    chart.add_argument("--workers", type=int, metavar="N", help=say("map.workers"))
    _add_units(chart)
    chart.set_defaults(run=lambda options, report: _map(options, report, tools))


def _add_methods(commands: Any, tools: Tools) -> None:
    methods = commands.add_parser("methods", help=say("methods"), description=say("methods.about"))
    methods.add_argument("site", metavar="SITE", help=say("site"))
    methods.add_argument("--gauge", default="18", metavar="AWG", help=say("methods.gauge"))
    methods.add_argument("--ground", metavar="FILE", help=say("methods.ground"))
    _add_units(methods)
    methods.set_defaults(run=lambda options, report: _methods(options, report, tools))


def _add_units(parser: Any) -> None:
    parser.add_argument("--units", choices=("US", "metric"), default="US", help=say("units"))


def _budget(options: argparse.Namespace, report: Report, tools: Tools) -> None:
    """Reckon a year's water and say what it comes to."""
    from labkit.advice.water_budget import water_budget  # noqa: PLC0415 - each loads its own
    from labkit.view.budget_told import budget_lines, budget_rows  # noqa: PLC0415

    site, months = tools.site(options.site), _months(options.months)
    folder = None if options.out is None else tools.folder(options.out)
    bar = tools.bar()
    bar(0.0)
    try:
        budget = water_budget(site, cloudy_days=options.cloudy_days, months=months, progress=bar)
    finally:
        bar.close()
    table = budget_rows(budget, options.units)
    for line in (table.title, *table.lines(), "", *budget_lines(budget, options.units)):
        report(line)
    if folder is not None:
        from labkit.view.budget_picture import budget_png  # noqa: PLC0415 - matplotlib is slow

        path = folder / f"{Path(options.site).stem}_budget.png"
        write_out(path, budget_png(budget, options.units))
        report(say("wrote", path=str(path)))


def _months(typed: str) -> list[int]:
    """Read months from one to another, over the turn of the year if need be."""
    first, _, last = typed.partition("-")
    try:
        begin, end = int(first), int(last or first)
    except ValueError:
        begin = end = 0
    if not (1 <= begin <= 12 and 1 <= end <= 12):
        raise LabkitError(f"--months {typed[:20]}: write numbers of months, such as 5-10")
    return [(begin - 1 + k) % 12 + 1 for k in range((end - begin) % 12 + 1)]


def _loop(options: argparse.Namespace, report: Report) -> None:
    """Say whether a pair will do and what a meter shows."""
    from labkit.advice.signal_loop import find_short, loop_check  # noqa: PLC0415
    from labkit.view.loop_told import loop_lines, loop_rows, short_line  # noqa: PLC0415

    check = loop_check(
        _gauge(options.gauge),
        options.distance,
        temperature=options.temperature,
        short_at=options.short_at,
    )
    readings = [options.at_controller, options.at_switch]
    if any(readings):
        near, far = (_ohms(reading) for reading in readings)
        short = find_short(check, at_controller=near, at_switch=far)
        report(short_line(short, options.units))
        return
    table = loop_rows(check, options.units)
    for line in (table.title, "", *table.lines(), "", *loop_lines(check, options.units)):
        report(line)


def _map(options: argparse.Namespace, report: Report, tools: Tools) -> None:
    """Try settings by the thousand, draw the map and say what it comes to."""
    from labkit.advice.settings_map import settings_map, window_curves  # noqa: PLC0415
    from labkit.view.map_picture import MapImage  # noqa: PLC0415 - matplotlib takes a while
    from labkit.view.map_words import map_lines  # noqa: PLC0415

    site, out = tools.site(options.site), Path(options.out)
    if out.suffix != ".png":
        raise LabkitError(f"{out.name[:60]}: write a name that ends in .png")
    tools.folder(str(out.parent))
    bar = tools.bar()
    bar(0.0)
    try:
        found = settings_map(
            site, options.across, options.up,
            across_range=options.across_range, up_range=options.up_range,
            cells=tuple(options.cells), sun=options.sun, trough=options.trough,
            recharge=options.recharge, workers=options.workers, progress=bar,
        )  # fmt: skip
    finally:
        bar.close()
    report(site.title)
    for line in map_lines(found, options.units):
        report(f"  {line}")
    write_out(out, MapImage(found, options.units, window_curves(found)).png)
    report(say("wrote", path=str(out)))
    if options.table:
        found.to_csv(options.table)
        report(say("wrote", path=options.table))


def _methods(options: argparse.Namespace, report: Report, tools: Tools) -> None:
    """Put the three ways to say stop side by side."""
    from labkit.advice.stop_methods import stop_methods  # noqa: PLC0415
    from labkit.view.methods_told import methods_lines, methods_rows  # noqa: PLC0415

    site = tools.site(options.site)
    ground = None if options.ground is None else _ground(Path(options.ground))
    found = stop_methods(site, gauge=_gauge(options.gauge), ground=ground)
    table = methods_rows(found, options.units)
    for line in (table.title, "", *table.lines(), "", *methods_lines(found)):
        report(line)


def _ground(path: Path) -> dict[str, list[tuple[str, str]]]:
    """Read the ground to each trough from a file."""
    found: dict[str, list[tuple[str, str]]] = {}
    try:
        with path.open(newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                found.setdefault(row["trough"], []).append((row["distance"], row["height"]))
    except (OSError, UnicodeDecodeError):
        raise LabkitError(f"{path}: there is no such file to read") from None
    except KeyError as missing:
        rule = "its first line must name trough, distance and height"
        raise LabkitError(f"{path}: no column {missing}; {rule}") from None
    return found


def _gauge(typed: str) -> str:
    """Take a bare number for a gauge."""
    return f"{typed.strip()} AWG" if typed.strip().isdigit() else typed


def _ohms(typed: str | None) -> str:
    """Read a meter's reading; a bare number is in ohms, as the meter shows it."""
    if typed is None:
        rule = "a short is found from both: give --at-controller and --at-switch"
        raise LabkitError(f"One reading is missing; {rule}.")
    return f"{typed} ohm" if typed.replace(".", "", 1).strip().isdigit() else typed


def add_switch_commands(commands: Any, tools: Tools) -> None:
    """Add the commands to those of the command line."""
    window = commands.add_parser("window", help=say("window"), description=say("window.about"))
    _add_site(window)
    window.add_argument("--picture", metavar="FILE", help=say("window.picture"))
    window.set_defaults(run=lambda options, report: _window(options, report, tools))
    card = commands.add_parser("card", help=say("card"), description=say("card.about"))
    _add_site(card)
    card.add_argument("--out", metavar="FILE", help=say("page"))
    card.set_defaults(run=lambda options, report: _card(options, report, tools))


def _add_site(parser: Any) -> None:
    """Add what both commands ask for."""
    parser.add_argument("site", metavar="SITE", help=say("site"))
    parser.add_argument(
        "--sun",
        nargs=2,
        default=("250 W/m^2", "1000 W/m^2"),
        metavar=("WEAKEST", "STRONGEST"),
        help=say("sun"),
    )
    parser.add_argument("--units", choices=("US", "metric"), default="US", help=say("units"))


def _window(options: argparse.Namespace, report: Report, tools: Tools) -> None:
    """Say where a site's switch must stand."""
    from labkit.advice.window import operating_window  # noqa: PLC0415 - each loads its own
    from labkit.view.window_told import window_lines  # noqa: PLC0415

    weakest, strongest = options.sun
    window = operating_window(tools.site(options.site), sun_range=(weakest, strongest))
    for line in window_lines(window, options.units):
        report(line)
    if options.picture is not None:
        from labkit.view.window_picture import window_png  # noqa: PLC0415 - matplotlib is slow

        write_out(Path(options.picture), window_png(window, options.units))
        report(say("wrote", path=options.picture))


def _card(options: argparse.Namespace, report: Report, tools: Tools) -> None:
    """Write a site's settings card."""
    from labkit.view.card_page import settings_card  # noqa: PLC0415

    site = tools.site(options.site)
    path = Path(options.out or f"{Path(options.site).stem}_card.pdf")
    weakest, strongest = options.sun
    settings_card(site, path, units=options.units, sun_range=(weakest, strongest))
    report(say("wrote", path=str(path)))

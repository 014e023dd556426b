"""The commands that give advice, from ``labkit budget`` to ``window`` and ``card``."""

import argparse
import csv
from pathlib import Path
from typing import Final

from labkit.cli.tools import Bar, find_site, make_folder, save, wrote
from labkit.commands import PAGE, SITE, UNITS, Report, command, flag, option
from labkit.errors import LabkitError


def _budget(options: argparse.Namespace, report: Report) -> None:
    """Reckon a year's water and say what it comes to."""
    from labkit.advice.water_budget import water_budget  # noqa: PLC0415 - each loads its own
    from labkit.view.advice_told import budget_lines, budget_rows  # noqa: PLC0415

    site, months = find_site(options.site), _months(options.months)
    folder = None if options.out is None else make_folder(options.out)
    with Bar() as bar:
        budget = water_budget(site, cloudy_days=options.cloudy_days, months=months, progress=bar)
    table = budget_rows(budget, options.units)
    for line in (table.title, *table.lines(), "", *budget_lines(budget, options.units)):
        report(line)
    if folder is not None:
        from labkit.view.budget_picture import BudgetImage  # noqa: PLC0415 - matplotlib is slow

        path = folder / f"{Path(options.site).stem}_budget.png"
        save(path, BudgetImage(budget, options.units).png, report)


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
    from labkit.view.advice_told import loop_lines, loop_rows, short_line  # noqa: PLC0415

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


def _map(options: argparse.Namespace, report: Report) -> None:
    """Try settings by the thousand, draw the map and say what it comes to."""
    from labkit.advice.settings_map import settings_map, window_curves  # noqa: PLC0415
    from labkit.view.map_picture import MapImage  # noqa: PLC0415 - matplotlib takes a while
    from labkit.view.map_words import map_lines  # noqa: PLC0415

    site, out = find_site(options.site), Path(options.out)
    if out.suffix != ".png":
        raise LabkitError(f"{out.name[:60]}: write a name that ends in .png")
    make_folder(str(out.parent))
    with Bar() as bar:
        found = settings_map(
            site, options.across, options.up,
            across_range=options.across_range, up_range=options.up_range,
            cells=tuple(options.cells), sun=options.sun, trough=options.trough,
            recharge=options.recharge, workers=options.workers, progress=bar,
        )  # fmt: skip
    report(site.title)
    for line in map_lines(found, options.units):
        report(f"  {line}")
    save(out, MapImage(found, options.units, window_curves(found)).png, report)
    if options.table:
        found.to_csv(options.table)
        wrote(options.table, report)


def _methods(options: argparse.Namespace, report: Report) -> None:
    """Put the three ways to say stop side by side."""
    from labkit.advice.stop_methods import stop_methods  # noqa: PLC0415
    from labkit.view.advice_told import methods_lines, methods_rows  # noqa: PLC0415

    site = find_site(options.site)
    ground = None if options.ground is None else _ground(Path(options.ground))
    found = stop_methods(site, gauge=_gauge(options.gauge), ground=ground)
    table = methods_rows(found, options.units)
    for line in (table.title, "", *table.lines(), "", *methods_lines(found)):
        report(line)


def _ground(path: Path) -> dict[str, list[tuple[str, str]]]:
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


def _window(options: argparse.Namespace, report: Report) -> None:
    """Say where a site's switch must stand."""
    from labkit.advice.window import operating_window  # noqa: PLC0415 - each loads its own
    from labkit.view.window_told import window_lines  # noqa: PLC0415

    weakest, strongest = options.sun
    window = operating_window(find_site(options.site), sun_range=(weakest, strongest))
    for line in window_lines(window, options.units):
        report(line)
    if options.picture is not None:
        from labkit.view.window_picture import WindowImage  # noqa: PLC0415 - matplotlib is slow

        save(options.picture, WindowImage(window, options.units).png, report)


def _card(options: argparse.Namespace, report: Report) -> None:
    """Write a site's settings card."""
    from labkit.view.card_page import settings_card  # noqa: PLC0415

    site = find_site(options.site)
    path = Path(options.out or f"{Path(options.site).stem}_card.pdf")
    weakest, strongest = options.sun
    settings_card(site, path, units=options.units, sun_range=(weakest, strongest))
    wrote(path, report)


_SUN: Final = option(
    "--sun", "sun", nargs=2, default=("250 W/m^2", "1000 W/m^2"), metavar=("WEAKEST", "STRONGEST")
)
COMMANDS: Final = (
    command("window", _window, SITE, _SUN, UNITS, option("--picture", metavar="FILE")),
    command("card", _card, SITE, _SUN, UNITS, PAGE),
    command("budget", _budget, SITE, option("--cloudy-days", type=int, default=3, metavar="N"),
            option("--months", default="1-12", metavar="FROM-TO"), option("--out", metavar="DIR"),
            UNITS),
    command("loop", _loop, option("--gauge", required=True, metavar="AWG"),
            option("--distance", required=True), option("--temperature", default="68 degF"),
            option("--short-at"), option("--at-controller", metavar="OHMS"),
            option("--at-switch", metavar="OHMS"), UNITS),
    command("map", _map, SITE, option("--across", "map.axis", default="cut-out", metavar="AXIS"),
            option("--across-range", "map.range", nargs=2, metavar=("FROM", "TO")),
            option("--up", "map.axis", default="sun", metavar="AXIS"),
            option("--up-range", "map.range", nargs=2, metavar=("FROM", "TO")),
            option("--cells", nargs=2, type=int, default=(40, 30), metavar=("ACROSS", "UP")),
            option("--sun", default="800 W/m^2"), option("--trough", metavar="NAME"),
            flag("--recharge"), option("--out", default="map.png", metavar="FILE"),
            option("--table", metavar="FILE"), option("--workers", type=int, metavar="N"), UNITS),
    command("methods", _methods, SITE, option("--gauge", default="18", metavar="AWG"),
            option("--ground", metavar="FILE"), UNITS),
)  # fmt: skip

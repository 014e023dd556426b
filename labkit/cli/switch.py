"""The commands that set a pressure switch: ``labkit window`` and ``labkit card``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from labkit.files import write_out
from labkit.text import speaker

if TYPE_CHECKING:
    import argparse

    from labkit.cli.advice import Report, Tools


say = speaker("commands")


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

"""The commands; the only place that prints. Here are ``labkit run`` and ``sites``.

`advice` and `diagnosis` have those about a line, and `teach` those for one who teaches;
`labkit.shell`, `labkit.hall.hub` and `labkit.stick` bring their own.
"""

import argparse
import os
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NoReturn

from typing_extensions import override

from labkit import shell, stick
from labkit.cli import advice, diagnosis, teach
from labkit.cli.tools import Bar, find_site, make_folder, wrote
from labkit.commands import SITE, UNITS, Report, command, option, say
from labkit.errors import LabkitError
from labkit.files import write_out
from labkit.hall import hub
from labkit.text import Words

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.trace import Trace

WRONG: Final = 2  # exit code for anything that one sentence explains
STOPPED: Final = 130  # exit code after Ctrl-C, as shells have it
CLOSED: Final = 141  # exit code once nobody reads on, as shells have it


class _Parser(argparse.ArgumentParser):
    """A parser whose complaint is one sentence."""

    @override
    def error(self, message: str) -> NoReturn:
        """Say what was wrong with the command line, and stop."""
        sentence = message[:1].upper() + message[1:]
        self.exit(WRONG, f"{sentence}. Try: {self.prog} --help\n")


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; give its exit code."""
    options = _parser().parse_args(words)
    try:
        options.run(options, print)
        sys.stdout.flush()
    except BrokenPipeError:  # whoever reads along, such as `head`, has enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return CLOSED
    except LabkitError as error:
        print(error, file=sys.stderr)
        return WRONG
    except KeyboardInterrupt:
        print(say("stopped"), file=sys.stderr)
        return STOPPED
    return 0


def _parser() -> argparse.ArgumentParser:
    """Build the parser with all commands that are there."""
    parser = _Parser(prog="labkit", description=say("labkit"))
    commands = parser.add_subparsers(title=say("commands"), metavar="COMMAND", required=True)
    for one in (
        *COMMANDS, *teach.COMMANDS, *stick.COMMANDS, *hub.COMMANDS, *advice.COMMANDS,
        *diagnosis.COMMANDS, *shell.COMMANDS,
    ):  # fmt: skip
        one.add(commands)
    return parser


def _sites(_options: argparse.Namespace, report: Report) -> None:
    from labkit.sitefile import demo_names, demo_site  # noqa: PLC0415 - each command loads its own

    for name in demo_names():
        site = demo_site(name)
        told = say("counted-troughs", title=site.title, count=len(site.troughs))
        report(f"{name:22} {told}")


def _run(options: argparse.Namespace, report: Report) -> None:
    from labkit.engine.run import simulate  # noqa: PLC0415

    site = find_site(options.site)
    sun = _sun(options.sun, site)
    folder = make_folder(options.out)
    with Bar() as bar:
        trace = simulate(site, options.duration, sun=sun, start=options.start, progress=bar)
    _summarize(trace, options.units, report)
    name = f"{Path(options.site).stem}_run"
    for path in _write(trace, folder / name, options.units):
        wrote(path, report)


def _sun(typed: str, site: "Site") -> "Sun":
    """Read an irradiance, a date or a file of measured sun."""
    from labkit.sun import as_sun, clear_day, measured  # noqa: PLC0415

    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", typed):
        return clear_day(site, typed)
    if re.fullmatch(r"[-+.\d\s]+k?w\s*/\s*m.{0,3}", typed, flags=re.IGNORECASE):
        return as_sun(typed, site)
    return measured(typed, site)


def _summarize(trace: "Trace", units: str, report: Report) -> None:
    """Print what a run came to, a line for each number."""
    from labkit import language as lang  # noqa: PLC0415
    from labkit.view.judge_words import JUDGE  # noqa: PLC0415

    measures, words = trace.measures(), Words("report")
    water = ("pumped", "delivered", "drunk", "unmet", "leaked", "overflowed", "evaporated")
    share = abs(measures.balance_error) / max(measures.pumped, 1e-3)
    lines = {
        "sun": trace.sun.source,
        "from": words["when"].format(
            clock=lang.say_clock(trace.clock, units), time=lang.say_time(float(trace.time[-1]))
        ),
        "starts": f"{measures.starts}",
        "stops": words["counted stops"].format(
            stops=f"{measures.stops}", false=f"{measures.false_stops}"
        ),
        "shortest run": lang.say_time(measures.shortest_run),
        "peak pressure": lang.say(measures.peak_pressure, "pressure", units),
        **{name: lang.say(float(getattr(measures, name)), "volume", units) for name in water},
        "balance error": words["balance"].format(
            volume=lang.say(measures.balance_error, "volume", units), share=f"{share:.0e}"
        ),
        "verdict": JUDGE.get(f"headline {trace.verdict}", trace.verdict),
    }
    report(trace.site.title)
    for name, said in lines.items():
        report(f"  {words[name]:14} {said}")
    report(lang.sentence(trace, units))
    for flag in trace.flags:
        report(words["note"].format(what=lang.flag_words(flag, units)))


def _write(trace: "Trace", stem: Path, units: str) -> tuple[Path, Path]:
    from labkit.figures.paper import picture_png  # noqa: PLC0415 - matplotlib takes a while

    picture_path, table_path = stem.with_suffix(".png"), stem.with_suffix(".csv")
    write_out(picture_path, picture_png(trace, units))
    trace.to_csv(table_path)
    return picture_path, table_path


COMMANDS: Final = (
    command("run", _run, SITE, option("--sun", required=True, metavar="SUN"),
            option("--start", metavar="CLOCK"), option("--duration", default="1 day"),
            option("--out", default=".", metavar="DIR"), UNITS),
    command("sites", _sites),
)  # fmt: skip

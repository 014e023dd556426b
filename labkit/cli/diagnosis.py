"""The command ``labkit diagnose``: what was read on a line, and what may be wrong with it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any, Final

from labkit.cli.tools import Bar, find_site, save
from labkit.commands import SITE, UNITS, Report, command, flag, option
from labkit.errors import LabkitError
from labkit.text import sentence

if TYPE_CHECKING:
    import argparse

    from labkit.site import Site


def _diagnose(options: argparse.Namespace, report: Report) -> None:
    """Read what was read, weigh the suspects, and say what fits."""
    from labkit.diagnosis import diagnose  # noqa: PLC0415 - each command loads its own
    from labkit.diagnosis.logger import read_log  # noqa: PLC0415
    from labkit.view import diagnosis_told as told  # noqa: PLC0415

    site = find_site(options.site)
    trough = options.trough or site.troughs[-1].name
    if options.list:
        for key, words in told.questions(site, trough):
            report(f"{key:26} {words.rstrip(': ')}")
        return
    if options.picture and not options.log:
        raise LabkitError("--picture: it needs --log, the table to draw")
    readings = _typed(options.read)
    log = None if options.log is None else read_log(options.log)
    if log is not None:
        for line in told.log_lines(log, options.units):
            report(line)
        report("")
        readings = log.readings() | readings
    sun = options.sun
    if not readings and sys.stdin.isatty():
        asked = _asked(site, trough, report)
        sun, readings = sun or asked.pop("sun", None), asked
    with Bar() as bar:
        found = diagnose(site, readings, trough=trough, sun=sun or "full sun", progress=bar)
    for line in told.diagnosis_lines(found, sun or "full sun"):
        report(line)
    if options.picture and log is not None:
        save(options.picture, told.log_png(found, log, options.units), report)


def _typed(read: list[str]) -> dict[str, str]:
    """Return readings as they were typed after ``--read``."""
    found = {}
    for one in read:
        name, mark, value = one.partition("=")
        if not mark:
            raise LabkitError(f"--read {one[:60]}: write NAME=VALUE, such as 'stop=keeps running'")
        found[name.strip()] = value.strip()
    return found


def _asked(site: Site, trough: str, report: Report) -> dict[str, str]:
    """Ask for each reading in turn; one that cannot be read is asked for again."""
    from labkit.diagnosis import SEEN  # noqa: PLC0415
    from labkit.diagnosis.reasoning import irradiance, typed_readings  # noqa: PLC0415
    from labkit.view.diagnosis_told import questions  # noqa: PLC0415

    report(sentence("diagnosis", "ask-intro"))
    found: dict[str, str] = {}
    words = sentence("diagnosis", "ask-sun", choices=", ".join(SEEN))
    if sun := _answer(words, irradiance, report):
        found["sun"] = sun
    for key, asked in questions(site, trough):
        value = _answer(
            asked, lambda typed, k=key: typed_readings(site, {k: typed}, trough), report
        )
        if value:
            found[key] = value
    return found


def _answer(words: str, read: Any, report: Report) -> str:
    """Ask once more as long as an answer cannot be read; empty where it is skipped."""
    while True:
        typed = input(words).strip()
        if not typed:
            return ""
        try:
            read(typed)
        except LabkitError as problem:
            report(str(problem))
        else:
            return typed


COMMANDS: Final = (
    command("diagnose", _diagnose, SITE,
            option("--read", action="append", default=[], metavar="NAME=VALUE"),
            option("--trough"), option("--sun"), option("--log", metavar="CSV"),
            option("--picture", metavar="PNG"), flag("--list"), UNITS),
)  # fmt: skip

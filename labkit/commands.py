"""How a command of the command line is declared: its name, what runs it, and its options."""

import argparse
from collections.abc import Callable
from typing import Any, Final

import attrs

from labkit.text import has_sentence, speaker

Report = Callable[[str], None]  # what takes a line to print

say: Final = speaker("commands")


@attrs.frozen
class Option:
    """What a command may be given."""

    name: str
    said: str  # the sentence that says what it is for; empty for the command's own of its name
    settings: dict[str, Any]  # as argparse has them


def option(name: str, said: str = "", **settings: Any) -> Option:
    """Return an option of a command."""
    return Option(name, said, settings)


def flag(name: str, said: str = "") -> Option:
    """Return an option that is given or not."""
    return option(name, said, action="store_true")


SITE: Final = option("site", "site", metavar="SITE")
LESSON: Final = option("lesson", "lesson", metavar="LESSON")
EXERCISES: Final = flag("--exercises", "exercises")
UNITS: Final = option("--units", "units", choices=("US", "metric"), default="US")
PAGE: Final = option("--out", "page", metavar="FILE")


@attrs.frozen
class Command:
    """A command; what it is for is said by the sentence of its name."""

    name: str
    run: Callable[[argparse.Namespace, Report], None]
    options: tuple[Option, ...]
    values: dict[str, str | float]  # what its sentences name

    def add(self, commands: Any) -> None:
        """Add it to those of a command line."""
        about = f"{self.name}.about"
        parser = commands.add_parser(
            self.name,
            help=say(self.name),
            description=say(about) if has_sentence("commands", about) else None,
        )
        for one in self.options:
            name = one.name.lstrip("-")
            said = say(one.said or f"{self.name}.{name}", **{"name": name, **self.values})
            parser.add_argument(one.name, help=said, **one.settings)
        parser.set_defaults(run=self.run)


def command(
    name: str,
    run: Callable[[argparse.Namespace, Report], None],
    *options: Option,
    **values: str | float,
) -> Command:
    """Return a command."""
    return Command(name, run, options, values)

"""Every sentence that a person reads, from files of a language: bundles and the bank of questions.

One folder is one language: bundles of sentences (``*.ftl``, Project Fluent) and questions
(``questions/*.toml``). Code hands over values; the bundle makes the sentence, its plurals and its
choices of words. `LANGUAGE` is complete. Another language, and a trainer's own folder of changed
files, are laid over it, sentence by sentence: what they leave out is said as before.
"""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path
from typing import Final

from fluent.runtime import FluentBundle, FluentResource

from labkit.errors import LabkitError

LANGUAGE: Final = "en-US"
"""The language that is complete."""

FOLDER: Final = Path(__file__).parent

SPOKEN: Final = "LABKIT_LANGUAGE"
"""Variable that names the language to speak."""

OWN_WORDS: Final = "LABKIT_WORDS"
"""Variable that names a folder of a trainer's own, which holds a folder for each language."""


def spoken() -> str:
    """Return the language that is spoken."""
    return os.environ.get(SPOKEN) or LANGUAGE


def sources(name: str) -> tuple[Path, ...]:
    """Return the files of a name, such as ``"plan.ftl"``, that are there: later ones win."""
    own = os.environ.get(OWN_WORDS)
    folders = (FOLDER, Path(own)) if own else (FOLDER,)
    languages = dict.fromkeys((LANGUAGE, spoken()))
    paths = (folder / language / name for language in languages for folder in folders)
    return tuple(path for path in paths if path.is_file())


def read(path: Path) -> str:
    """Return the text of a file of words.

    Raises
    ------
    LabkitError
        If it can't be read.
    """
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise LabkitError(f"{path.name} can't be read; it must be a file of UTF-8 text") from None


def bundle(room: str) -> FluentBundle:
    """Return the sentences of one room, such as ``"diagnosis"``, in the language spoken."""
    return _bundle(sources(f"{room}.ftl"), spoken())


@cache
def _bundle(paths: tuple[Path, ...], language: str) -> FluentBundle:
    made = FluentBundle([language, LANGUAGE], use_isolating=False)
    for path in paths:
        made.add_resource(FluentResource(read(path)), allow_overrides=True)
    return made


def sentence(room: str, key: str, **values: str | float) -> str:
    """Return a sentence of a room.

    Parameters
    ----------
    room : str
        The bundle's name.
    key : str
        The message's id; ``"id.attribute"`` for one of its attributes.
    **values : str or float
        What the sentence names.

    Raises
    ------
    LabkitError
        For an id that the bundle has not, or a value that the sentence needs and was not given.
    """
    found, (name, _, attribute) = bundle(room), key.partition(".")
    message = found.get_message(name) if found.has_message(name) else None
    pattern = (
        None
        if message is None
        else message.attributes.get(attribute)
        if attribute
        else message.value
    )
    if pattern is None:
        raise LabkitError(f"text {room}: there is no sentence {key!r}")
    said, errors = found.format_pattern(pattern, values)
    if errors:
        raise LabkitError(f"text {room}: sentence {key!r}: {errors[0]}")
    return str(said)

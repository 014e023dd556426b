"""Every sentence that a person reads, by its id, from the bundles of a language (Project Fluent).

The bundles are the files ``LANGUAGE/*.ftl`` beside this one: one folder is one language. Code hands
over values; the bundle makes the sentence, its plurals and its choices of words.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

from fluent.runtime import FluentBundle, FluentResource

from labkit.errors import LabkitError

LANGUAGE: Final = "en-US"
"""The language that is spoken."""

FOLDER: Final = Path(__file__).parent


@cache
def bundle(room: str, language: str = LANGUAGE) -> FluentBundle:
    """Return the sentences of one room, such as ``"diagnosis"``, in a language."""
    path = FOLDER / language / f"{room}.ftl"
    made = FluentBundle([language], use_isolating=False)
    made.add_resource(FluentResource(path.read_text(encoding="utf-8")))
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

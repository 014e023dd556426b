"""Every sentence that a person reads, from files of a language: bundles and the bank of questions.

One folder is one language: bundles of sentences (``*.ftl``, Project Fluent) and questions
(``questions/*.toml``). Code hands over values; the bundle makes the sentence, its plurals and its
choices of words. `LANGUAGE` is complete. Another language, and a trainer's own folder of changed
files, are laid over it, sentence by sentence: what they leave out is said as before.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache, partial
from itertools import repeat
from pathlib import Path
from typing import TYPE_CHECKING, Final, Self

from typing_extensions import override

from labkit.errors import LabkitError

if TYPE_CHECKING:
    from fluent.runtime import FluentBundle

LANGUAGE: Final = "en-US"  # the language that is complete

FOLDER: Final = Path(__file__).parent

SPOKEN: Final = "LABKIT_LANGUAGE"  # variable that names the language to speak

OWN_WORDS: Final = "LABKIT_WORDS"
"""Variable that names a folder of a trainer's own, which holds a folder for each language."""

_MESSAGE: Final = re.compile(
    r"^(?P<id>[A-Za-z][\w-]*) =(?: (?P<line>.*))?(?P<more>(?:\n+[ ]+.*)*)$", re.MULTILINE
)
_ATTRIBUTE: Final = re.compile(r"[ ]+\.(?P<name>[\w-]+) = (?P<line>.*)")
_PLACEABLE: Final = re.compile(r"\{ (?:\$(\w+)|\"((?:[^\"\\]|\\u[0-9A-F]{4})*)\") \}")
_ESCAPE: Final = re.compile(r"\\u([0-9A-F]{4})")


def spoken() -> str:
    """Return the language that is spoken."""
    return os.environ.get(SPOKEN) or LANGUAGE


def sources(name: str) -> tuple[Path, ...]:
    """Return the files of a name, such as ``"plan.ftl"``, that are there: later ones win."""
    return _sources(name, os.environ.get(OWN_WORDS), spoken())


def trainers_words() -> dict[str, str]:
    """Return the variables that say which words a trainer chose, for a process that is begun."""
    return {name: os.environ[name] for name in (OWN_WORDS, SPOKEN) if name in os.environ}


@cache
def _sources(name: str, own: str | None, language: str) -> tuple[Path, ...]:
    folders = (FOLDER, Path(own)) if own else (FOLDER,)
    languages = dict.fromkeys((LANGUAGE, language))
    paths = (folder / one / name for one in languages for folder in folders)
    return tuple(path for path in paths if path.is_file())


def read(path: Path) -> str:
    """Return the text of a file of words."""
    try:
        return path.read_text(encoding="utf-8-sig")  # editors on Windows put a mark first
    except (OSError, UnicodeDecodeError):
        raise LabkitError(f"{path.name} can't be read; it must be a file of UTF-8 text") from None


def bundle(room: str) -> FluentBundle:
    """Return the sentences of one room, such as ``"diagnosis"``, in the language spoken."""
    return _bundle(sources(f"{room}.ftl"), spoken())


@cache
def _bundle(paths: tuple[Path, ...], language: str) -> FluentBundle:
    from fluent.runtime import FluentBundle, FluentResource  # noqa: PLC0415  (a third of a second)

    made = FluentBundle([language, LANGUAGE], use_isolating=False)
    for path in paths:
        made.add_resource(FluentResource(read(path)), allow_overrides=True)
    return made


@cache
def _plain(paths: tuple[Path, ...]) -> Mapping[str, str | None]:
    """Return messages by id, and attributes by ``id.name``: a template, None for what needs Fluent.

    Most sentences name values and choose nothing. They need neither Fluent's parser nor its
    formatter, which take longer than all else that happens when a slider is moved.
    """
    made: dict[str, str | None] = {}
    for path in paths:
        for message in _MESSAGE.finditer(read(path)):
            made |= _lines_of(message["id"], message["line"], message["more"])
    return made


def _lines_of(name: str, line: str | None, more: str) -> dict[str, str | None]:
    """Return a message and its attributes: templates where each of them is one plain line."""
    below = [_ATTRIBUTE.fullmatch(one) for one in more.splitlines() if one]
    if line is None or not all(below):
        return {name: None}
    attributes = {f"{name}.{one['name']}": _template(one["line"]) for one in below if one}
    return {name: _template(line), **attributes}


def _template(line: str) -> str | None:
    """Return a plain line as a template, None where there is more in its braces than a name."""
    parts = _PLACEABLE.split(line)  # text, a variable or None, a literal or None, text, ...
    if any("{" in text or "}" in text for text in parts[::3]):
        return None
    said = parts[0]
    for variable, literal, text in zip(parts[1::3], parts[2::3], parts[3::3], strict=True):
        if variable is None:
            written = _ESCAPE.sub(lambda mark: chr(int(mark[1], 16)), literal)
            said += written.replace("{", "{{").replace("}", "}}")
        else:
            said += f"{{{variable}}}"
        said += text
    return said


def sentence(room: str, key: str, **values: str | float) -> str:
    """Return a sentence of a room by its id, or by ``"id.attribute"``, with what it names.

    LabkitError tells an id that the bundle has not, or a value that the sentence needs.
    """
    name, _, attribute = key.partition(".")
    template = _plain(sources(f"{room}.ftl")).get(key)
    if template is not None and _are_plain(values.values()):
        try:
            return template.format(**values)
        except KeyError as problem:
            raise LabkitError(f"text {room}: sentence {key!r} needs {problem}") from None
    found = bundle(room)
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


def _are_plain(values: Iterable[object]) -> bool:
    """Whether each of the values is written alike in every language."""
    return all(isinstance(v, str) or (isinstance(v, int) and abs(v) < 1000) for v in values)


def speaker(room: str) -> Callable[..., str]:
    """Return what says the sentences of a room: `sentence`, the room known."""
    return partial(sentence, room)


def page(name: str, **values: str) -> str:
    """Return a page of words, ``pages/NAME`` of the language; ``{{name}}`` stands for a value."""
    written = read(sources(f"pages/{name}")[-1])
    return re.sub(r"\{\{(\w+)\}\}", lambda mark: values[mark[1]], written)


def has_sentence(room: str, key: str) -> bool:
    """Whether a room has a sentence, or a message an attribute (``"id.attribute"``)."""
    lines = _plain(sources(f"{room}.ftl"))
    name, _, attribute = key.partition(".")
    if key in lines or not attribute or name not in lines:
        return key in lines
    return attribute in bundle(room).get_message(name).attributes


def template(room: str, key: str) -> str:
    """Return a plain sentence with the names of its values in braces, to be put in later."""
    found = _plain(sources(f"{room}.ftl")).get(key)
    if found is None:
        raise LabkitError(f"text {room}: sentence {key!r} must be one line of text and names")
    return found


class Sentence(str):
    """A sentence of a room; ``format`` puts its values in, with the plurals of its language."""

    __slots__ = ("is_plain", "key", "room")

    room: str
    key: str
    is_plain: bool

    def __new__(cls, room: str, key: str, template: str | None) -> Self:
        """Take a sentence as it is written: what names no values is said already."""
        made = super().__new__(cls, f"{{{key}}}" if template is None else template)
        made.room, made.key, made.is_plain = room, key, template is not None
        return made

    @override
    def format(self, *_: object, **values: object) -> str:
        """Return the sentence with its values."""
        if self.is_plain and all(map(isinstance, values.values(), repeat(str))):
            return super().format(**values)
        told = {
            name: value if isinstance(value, (str, float, int)) else str(value)
            for name, value in values.items()
        }
        return sentence(self.room, self.key, **told)


class Words(Mapping[str, str]):
    """The sentences of a room by what they mean: ``Words("bench")["no stop"]``.

    A key may be written with spaces and signs; in the bundle they are hyphens.
    """

    def __init__(self, room: str) -> None:
        self.room = room

    @override
    def __getitem__(self, key: str) -> str:
        return _known(self.room, key, *map(os.environ.get, (OWN_WORDS, SPOKEN)))

    @override
    def __iter__(self) -> Iterator[str]:
        return (name for name in _plain(sources(f"{self.room}.ftl")) if "." not in name)

    @override
    def __len__(self) -> int:
        return sum(1 for _ in self)


@cache
def _known(room: str, key: str, _own: str | None, _language: str | None) -> Sentence:
    """Return a sentence in the words that are chosen now: many are said at each move."""
    lines, known = _plain(sources(f"{room}.ftl")), as_id(key)
    if known not in lines:
        raise KeyError(key)
    return Sentence(room, known, lines[known])


@cache
def as_id(key: str) -> str:
    """Return a key as the id of a message: its spaces and signs are hyphens."""
    return re.sub(r"[^A-Za-z0-9]+", "-", key).strip("-")

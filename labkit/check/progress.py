"""What a learner has answered so far, in one small file that the learner can read and delete."""

import datetime as dt
import os
import tempfile
import tomllib
from pathlib import Path
from typing import Any, Final

import attrs
import cattrs
import tomli_w

from labkit.errors import LabkitError

FILE: Final = "my_progress.toml"
"""Name of the file; it lies beside the folder of lessons."""
ELSEWHERE: Final = "LABKIT_PROGRESS"
"""Variable of the environment that names another file."""

_HEADING: Final = """\
# Your answers to the lessons and exercises, the last one to each question. This file is yours:
# read it, delete it to start over, or hand it to your trainer.

"""


@attrs.frozen(kw_only=True)
class Given:
    """The last answer to a question.

    Attributes
    ----------
    given : str
        The answer in the learner's words.
    outcome : {"right", "not yet", "predicted"}
        How it was marked; a prediction is only kept.
    wrong : int
        Wrong answers before it, this one included if it is wrong.
    slips : tuple of str
        Known slips among them, in the order in which they first came.
    date : date
        Day of the answer.
    """

    given: str
    outcome: str = attrs.field(validator=attrs.validators.in_(("right", "not yet", "predicted")))
    wrong: int = 0
    slips: tuple[str, ...] = ()
    date: dt.date = attrs.field(factory=dt.date.today)


Pages = dict[str, dict[str, Given]]
"""From the page to the question to the answer."""

_CONVERTER: Final = cattrs.Converter()
_CONVERTER.register_structure_hook(dt.date, lambda value, _: _date(value))
_CONVERTER.register_structure_hook(str, lambda value, _: _of(str, value))
_CONVERTER.register_structure_hook(int, lambda value, _: _of(int, value))


def _of(kind: type, value: object) -> Any:
    if not isinstance(value, kind):
        raise TypeError(value)
    return value


def _date(value: object) -> dt.date:
    if not isinstance(value, dt.date):
        raise TypeError(value)
    return value


def progress_file() -> Path:
    """Where the answers given here are kept: beside the folder of lessons, if there is one."""
    if os.environ.get(ELSEWHERE):
        return Path(os.environ[ELSEWHERE])
    here = Path.cwd()
    root = next((place for place in (here, *here.parents) if (place / "lessons").is_dir()), here)
    return root / FILE


def read_progress(path: Path) -> Pages:
    """Read what was kept; nothing where there is no file.

    Returns
    -------
    dict
        From the page to the question to the answer.

    Raises
    ------
    LabkitError
        If the file cannot be read as one of these.
    """
    try:
        with path.open("rb") as file:
            return _CONVERTER.structure(tomllib.load(file), Pages)
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, cattrs.BaseValidationError) as problem:
        why = getattr(problem, "strerror", None) or "it is not as labkit wrote it"
        rule = f"{path.name}: the answers kept there cannot be read: {why}; mend it or delete it"
        raise LabkitError(rule) from None


def keep_answer(path: Path, page: str, question: str, answer: Given) -> None:
    """Add an answer to the file, whole or not at all; what else it holds stays.

    Raises
    ------
    LabkitError
        If the file there is none of these, or cannot be written.
    """
    pages = read_progress(path)
    pages.setdefault(page, {})[question] = answer
    text = _HEADING + tomli_w.dumps(_CONVERTER.unstructure(pages))
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", dir=path.parent, prefix=".progress-", delete=False
        ) as file:
            file.write(text)
        Path(file.name).replace(path)
    except OSError as problem:
        raise LabkitError(f"{path}: answers cannot be kept there: {problem.strerror}") from None


def earlier(pages: Pages, page: str, question: str) -> Given | None:
    """Give what was answered to a question on an earlier visit, if anything was."""
    return pages.get(page, {}).get(question)

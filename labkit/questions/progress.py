"""What a learner has done so far, in one small file that the learner can read and delete.

The file keeps three things for each page: the answers to its questions (`keep_answer`), how the
page was left (`keep_state`: slider settings, units, an open rig) and finished tasks of which each
one counts (`keep_result`: a fault found, a line handed over). Several windows may write at once.
A database would be faster (1 ms against 6), but the learner could not read it. Each
call writes to the disk, a few milliseconds: call when a person lets go of a slider, not for each
move.
"""

import datetime as dt
import os
import tomllib
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import attrs
import cattrs
import tomli_w

from labkit.errors import LabkitError
from labkit.files import FileError, change, read_small
from labkit.text import page as page_of

FILE: Final = "my_progress.toml"  # name of the file; it is in the folder that holds the lessons
ELSEWHERE: Final = "LABKIT_PROGRESS"  # variable of the environment that names another file
LARGEST: Final = 300_000  # bytes that the file may have; an answer takes about 150
LONGEST_LINE: Final = 4_000
"""Characters that a line of it may have; the reader takes minutes over a name of a million."""
MOST_WRONG: Final = 100_000  # wrong answers counted for one question
LONGEST_TEXT: Final = 500  # characters kept of one text that a learner typed
MOST_RESULTS: Final = 200  # results kept for a page, the latest ones

_FORMAT: Final = 2

Plain = str | bool | int | float  # what a state or a result may hold


def _shortened(text: str) -> str:
    return text[:LONGEST_TEXT]


@attrs.frozen(kw_only=True)
class Given:
    """The last answer to a question."""

    given: str = attrs.field(converter=_shortened)  # the answer in the learner's words
    # how it was marked; a prediction is only kept: "right", "not yet", "predicted"
    outcome: str = attrs.field(validator=attrs.validators.in_(("right", "not yet", "predicted")))
    wrong: int = attrs.field(  # wrong answers before it, this one included if it is wrong
        default=0, validator=[attrs.validators.ge(0), attrs.validators.le(MOST_WRONG)]
    )
    slips: tuple[str, ...] = ()  # known slips among them, in the order in which they first came
    date: dt.date = attrs.field(factory=dt.date.today)  # day of the answer
    # what was entered, to put it back: a place in the list of choices, or the text typed
    entry: str | int | None = None

    def followed_by(self, later: "Given") -> "Given":
        """Return what to keep when `later` is answered after this: a right answer stays right."""
        if self.outcome == "right" and later.outcome != "right":
            return self
        slips = tuple(dict.fromkeys((*self.slips, *later.slips)))
        wrong = min(self.wrong + later.wrong, MOST_WRONG)
        return attrs.evolve(later, wrong=wrong, slips=slips)


@attrs.frozen(kw_only=True)
class Result:
    """A finished task of which each one counts, such as a fault looked for on an unseen line."""

    task: str  # what it was, such as ``"service call"``
    passed: bool  # whether it came out as it should
    # what else is worth keeping, by name: the line's number, minutes, points
    figures: dict[str, Plain] = attrs.field(factory=dict)
    date: dt.datetime = attrs.field(  # when it was finished
        factory=lambda: dt.datetime.now().astimezone().replace(microsecond=0)
    )


@attrs.frozen(kw_only=True)
class Page:
    """What is kept of one page."""

    # from the question's name to the last answer
    answers: dict[str, Given] = attrs.field(factory=dict)
    # from a part of the page, such as ``"bench"``, to its settings by name
    state: dict[str, dict[str, Plain]] = attrs.field(factory=dict)
    results: tuple[Result, ...] = ()  # finished tasks, the latest last


Pages = dict[str, Page]  # from the name of a page, such as ``"lesson 1"``, to what is kept of it


def _one_of(*kinds: type) -> Callable[[object, object], Any]:
    """Return what takes values of these very kinds; true and false are no numbers."""

    def structured(value: object, _: object) -> Any:
        if type(value) not in kinds:
            raise TypeError(value)
        return value

    return structured


_CONVERTER: Final = cattrs.Converter()
for _kind in (str, int, bool, dt.date, dt.datetime):
    _CONVERTER.register_structure_hook(_kind, _one_of(_kind))
_CONVERTER.register_structure_hook(Plain, _one_of(str, bool, int, float))
_CONVERTER.register_structure_hook(str | int | None, _one_of(str, int, type(None)))


def progress_file() -> Path:
    """Return where the answers given here are kept: in the folder that holds the lessons."""
    if os.environ.get(ELSEWHERE):
        return Path(os.environ[ELSEWHERE])
    here = Path.cwd()
    root = next((place for place in (here, *here.parents) if (place / "lessons").is_dir()), here)
    return root / FILE


def read_progress(path: Path) -> Pages:
    """Return what was kept; nothing where there is no file."""
    try:
        data = read_small(path, most=LARGEST)
    except FileNotFoundError:
        return {}
    except FileError as problem:
        raise FileError(path.name, f"{problem.why}; repair it or delete it") from None
    try:
        return _pages_of(data.decode("utf-8-sig"))
    except (ValueError, RecursionError, cattrs.BaseValidationError):
        why = "it isn't as labkit wrote it; repair it or delete it"
        raise FileError(path.name, why) from None
    except _NewerError:
        why = "a newer labkit wrote it; install that one here too"
        raise FileError(path.name, why) from None


class _NewerError(Exception):
    """The file has a format that is not known yet."""


def _pages_of(text: str) -> Pages:
    """Read the text of a file, in today's form or the first one."""
    if _is_wide(text):
        raise ValueError
    table: dict[str, Any] = tomllib.loads(text)
    written = table.get("format")
    if isinstance(written, int) and written > _FORMAT:
        raise _NewerError
    if written == _FORMAT and isinstance(table.get("pages"), dict):
        return _CONVERTER.structure(table["pages"], Pages)
    # The first form had a table of answers for each page, and nothing else.
    answers = _CONVERTER.structure(table, dict[str, dict[str, Given]])
    return {page: Page(answers=given) for page, given in answers.items()}


def keep_answer(path: Path, page: str, question: str, answer: Given) -> None:
    """Add one answer to the file; it stays as it was if it is none of these, or can't be written.

    The answer's own `wrong` is 0 or 1 and its `slips` are its own. The count and the slips of
    earlier answers are added here, and a right answer stays right.
    """

    def added(kept: Page) -> Page:
        before = kept.answers.get(question)
        now = before.followed_by(answer) if before else answer
        return attrs.evolve(kept, answers={**kept.answers, question: now})

    _change_page(path, page, added)


def keep_state(path: Path, page: str, part: str, values: Mapping[str, Plain]) -> None:
    """Keep how a part of a page was left, in place of what was kept of it; no values forget it."""

    def added(kept: Page) -> Page:
        state = {name: told for name, told in kept.state.items() if name != part}
        return attrs.evolve(kept, state={**state, part: dict(values)} if values else state)

    _change_page(path, page, added)


def keep_result(path: Path, page: str, result: Result) -> None:
    """Add a finished task to a page."""
    _change_page(
        path, page, lambda kept: attrs.evolve(kept, results=(*kept.results, result)[-MOST_RESULTS:])
    )


def start_over(path: Path, page: str) -> None:
    """Forget how a page was left and what was answered there; finished tasks stay."""
    _change_page(path, page, lambda kept: Page(results=kept.results))


def _change_page(path: Path, page: str, changed: Callable[[Page], Page]) -> None:
    """Write the file with one page changed; what else it holds stays."""

    def whole(real: Path) -> bytes:
        pages = read_progress(real)
        pages[page] = changed(pages.get(page, Page()))
        kept = {name: _table(one) for name, one in pages.items() if one != Page()}
        text = page_of("my_progress.txt") + tomli_w.dumps({"format": _FORMAT, "pages": kept})
        data = text.encode()
        if len(data) > LARGEST or _is_wide(text):
            raise FileError(path.name, f"it would grow past {LARGEST:,} bytes")
        return data

    try:
        change(path, whole)
    except FileError as problem:
        told = FileError(path.name, problem.why)
        raise LabkitError(f"Answers aren't being kept. {told}") from None


def _is_wide(text: str) -> bool:
    return any(len(line) > LONGEST_LINE for line in text.split("\n"))


def _table(page: Page) -> dict[str, Any]:
    """Return a page as TOML has it; what is empty or unknown is left out."""
    table: dict[str, Any] = _CONVERTER.unstructure(page)
    for answer in table["answers"].values():
        if answer["entry"] is None:
            del answer["entry"]
    return {name: value for name, value in table.items() if value}


def earlier(pages: Pages, page: str, question: str) -> Given | None:
    """Return what was answered to a question on an earlier visit, if anything was."""
    return pages.get(page, Page()).answers.get(question)


SERVICE_CALL: Final = "service call"
"""What a fault looked for is called among the results of a page."""
RIG_VISIT: Final = "rig visit"  # what a line that was set up is called among them
IN_A_ROW: Final = 5  # unseen lines in a row that make a master


def in_a_row(results: Sequence[Result]) -> int:
    """Return the longest run of calls found well, each on a ranch that came for the first time.

    A call on a ranch met before, or on the lesson's own, neither counts nor breaks a run.
    """
    seen: set[object] = set()
    run = best = 0
    for one in results:
        key = one.figures.get("number")
        if one.task != SERVICE_CALL or one.figures.get("line") != "unseen" or key in seen:
            continue
        seen.add(key)
        run = run + 1 if one.passed else 0
        best = max(best, run)
    return best


def first_visits(results: Sequence[Result]) -> tuple[Result, ...]:
    """Return the visits to new lines that count: of each line the first."""
    seen: dict[object, Result] = {}
    for one in results:
        if one.task == RIG_VISIT:
            seen.setdefault(one.figures.get("number"), one)
    return tuple(seen.values())

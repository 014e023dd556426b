"""Every question's numbers, slips and marks, frozen; and the way to renew one with its reason.

A golden number is a copy of our own output: it proves nothing right, it shows what a change
changed. A sentence is no part of it. To renew a question whose numbers were meant to change::

    python -m tests.questions.golden "lesson 3" "the better sun" --because "bare lines have inertia"
    python -m tests.questions.golden "exercise 9" --because "another wave speed"     # all its questions

Digests are of four digits, so that another processor's last bits do not show.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from labkit.questions import NumberQuestion, Question, mark_choice, mark_number
from labkit.units import UNIT_SYSTEMS, unit_label

if TYPE_CHECKING:
    from collections.abc import Iterable

FOLDER: Final = Path(__file__).parent / "goldens"
EXERCISES: Final = tuple(
    sorted(int(path.stem.split("_")[1]) for path in FOLDER.glob("exercise_*.json"))
)
BLOCK: Final = 20
"""Learners whose numbers share a digest."""
BLOCKS: Final = tuple(range(1, 201, BLOCK))
SLOW: Final = (10, 11, 12)
"""Exercises of which one block is frozen: a learner's numbers take seconds to draw."""
WHOLE: Final = (1, 117)
"""Learners whose questions are kept as they are, to read and to compare closely."""
TRIED: Final = (0.5, 0.94, 0.96, 0.985, 1.0, 1.015, 1.04, 1.06, 2.0)
"""Shares of the right answer that are marked."""

Plain = dict[str, Any]
"""What is kept of one question."""


def plain(question: Question) -> Plain:
    """Return a question without its sentences."""
    if not isinstance(question, NumberQuestion):
        marks = [mark_choice(question, place) for place in range(len(question.options))]
        return {"marks": [f"{mark.outcome.value} {mark.slip}".strip() for mark in marks]}
    kept: Plain = {
        "answer": _digits(question.answer, 9),
        "kind": question.kind,
        "tolerance": question.tolerance,
        "slips": {slip.name: [_digits(one, 9) for one in slip.values] for slip in question.slips},
    }
    values = [question.answer * share for share in TRIED]
    values += [one for slip in question.slips for one in slip.values]
    marks = [mark_number(question, _typed(one, question.kind)) for one in values]
    return kept | {"marks": [f"{mark.outcome.value} {mark.slip}".strip() for mark in marks]}


def _typed(value: float, kind: str) -> str:
    if kind == "count":
        return f"{value:.0f}"
    label = unit_label(kind, "US")
    factor = 86_400.0 if label == "days" else UNIT_SYSTEMS["US"][kind].factor
    return f"{value / factor:.9f} {label}"


def _digits(value: float, digits: int) -> float:
    return float(f"{value:.{digits - 1}e}")


def _coarse(kept: Any) -> Any:
    """Round every number to four digits."""
    if isinstance(kept, dict):
        return {name: _coarse(one) for name, one in kept.items()}
    if isinstance(kept, list):
        return [_coarse(one) for one in kept]
    return _digits(kept, 4) if isinstance(kept, float) else kept


def digest(kept: Iterable[Plain]) -> str:
    """Return a digest of a question's numbers for some learners."""
    text = json.dumps([_coarse(one) for one in kept], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:10]


def drawn(exercise: int, learners: Iterable[int]) -> dict[str, list[Plain]]:
    """Return what is asked of some learners, by the question's name."""
    make = import_module(f"labkit.questions.keys.exercise_{exercise}").exercise
    kept: dict[str, list[Plain]] = {}
    for learner in learners:
        for place, question in enumerate(make(learner).questions):
            asked = {"learner": learner, "place": place, **plain(question)}
            kept.setdefault(question.name, []).append(asked)
    return kept


def block(exercise: int, first: int) -> dict[str, str]:
    """Return the digests of a block of learners, by the question's name."""
    found = drawn(exercise, range(first, first + BLOCK))
    return {name: digest(kept) for name, kept in found.items()}


def asked_in(questions: Iterable[Question]) -> dict[str, Plain]:
    """Return what a page asks, by the question's name."""
    return {one.name: plain(one) for one in questions}


def golden(page: str) -> Plain:
    """Return what is frozen of a page, such as ``"lesson 3"``."""
    path = FOLDER / f"{page.replace(' ', '_')}.json"
    kept: Plain = json.loads(path.read_text(encoding="utf-8"))
    return kept


def changed(now: Plain, then: Plain, digits: int = 6) -> list[str]:
    """Return the names of the questions that differ, to some digits."""
    names = [*then, *(name for name in now if name not in then)]
    return [name for name in names if not _alike(now.get(name), then.get(name), digits)]


def _alike(one: Any, other: Any, digits: int) -> bool:
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(
            _alike(one[name], other[name], digits) for name in one
        )
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(
            _alike(*pair, digits) for pair in zip(one, other, strict=True)
        )
    if isinstance(one, float) and isinstance(other, (float, int)):
        return abs(one - other) <= 10.0**-digits * max(abs(one), abs(other))
    return bool(one == other)


def _made(page: str) -> Plain:
    """Return a page's questions as they are now, in the form in which they are kept."""
    kind, _, number = page.partition(" ")
    if kind == "lesson":
        from tests.notebooks.visiting import asked_on  # noqa: PLC0415  (loads all that shows)

        return asked_in(asked_on(int(number)))
    exercise = int(number)
    made: Plain = {name: {"whole": kept} for name, kept in drawn(exercise, WHOLE).items()}
    for first in BLOCKS[:1] if exercise in SLOW else BLOCKS:
        for name, made_digest in block(exercise, first).items():
            made.setdefault(name, {}).setdefault("digests", {})[str(first)] = made_digest
    return made


def renew(page: str, questions: list[str], because: str) -> list[str]:
    """Write down a page's questions anew, and why; those that are not named stay as they are."""
    path = FOLDER / f"{page.replace(' ', '_')}.json"
    then: Plain = golden(page) if path.exists() else {"because": {}, "questions": {}}
    now = _made(page)
    names = questions or changed(now, then["questions"], 9)
    unknown = [name for name in questions if name not in now and name not in then["questions"]]
    if unknown:
        raise SystemExit(f"{page} does not ask {unknown[0]!r}; it asks: {', '.join(now)}")
    for name in names:
        then["questions"].pop(name, None)
        if name in now:
            then["questions"][name] = now[name]
        then["because"][name] = because
    text = json.dumps(then, indent=None, sort_keys=True).replace("}, ", "},\n ")
    path.write_text(f"{text}\n", encoding="utf-8")
    return names


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("page", help='such as "lesson 3" or "exercise 9"')
    parser.add_argument("questions", nargs="*", help="names; without any, all that changed")
    parser.add_argument("--because", required=True, help="why the numbers were meant to change")
    given = parser.parse_args()
    for name in renew(given.page, given.questions, given.because):
        sys.stdout.write(f"{given.page}: {name}\n")


if __name__ == "__main__":
    main()

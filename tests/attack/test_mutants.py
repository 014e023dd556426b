"""Files that were bent by chance: each is read or refused in words: a sentence for each
complaint, in under a second."""

import random
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from labkit import text
from labkit.errors import LabkitError, SiteErrors
from labkit.questions import Question, bank
from labkit.questions.keys import lesson_0
from labkit.questions.marking import ChoiceQuestion, mark_choice, mark_number
from labkit.questions.progress import (
    Given,
    Result,
    keep_answer,
    keep_result,
    keep_state,
    read_progress,
)
from labkit.sitefile import DEMO_SITES, demo_site, load_site
from labkit.sun.dayfile import read_day_file
from labkit.sun.measured import SHIPPED
from labkit.text import FOLDER, LANGUAGE, OWN_WORDS
from labkit.view.telling import render

SCRAPS = [
    b"", b"\x00", b"\xff\xfe", b'"', b"'", b'"""', b"[", b"[[", b"]", b"{", b"}", b"=", b"#", b"\n", b"\r", b",", b".",
    b"-", b"1e999", b"-1e-999", b"nan", b"inf", b"9" * 400, b"0x7f", b"1_0", b"true", b"2026-02-30", b"\\u0000",
    b"\\U0010ffff", b"\xe2\x80\xae", b"$\\frac{1$", b"<script>", b"{0}", b"%s", b"../../", b"/etc/passwd", b"[" * 200,
    b"a." * 200, b"title = 3\n", b"[pages]\n", b"format = 2\n", b"psi", b"ft", b"gpm", b"9**9**9 ft",
]  # fmt: skip
SLOWEST = 1.0


def bent(data: bytes, rng: random.Random) -> bytes:
    """Return data with one to four places overwritten, cut out, doubled or filled with a scrap."""
    for _ in range(rng.randint(1, 4)):
        a, b = sorted(rng.randrange(len(data) + 1) for _ in range(2))
        b = min(b, a + rng.choice((0, 1, 1, 2, 8, 60)))
        scrap = rng.choice((*SCRAPS, bytes([rng.randrange(256)]), data[a:b] * 2))
        data = data[:a] + scrap + data[b:]
        if rng.random() < 0.02:
            data = data[:a]
    return data


def progress(folder: Path) -> bytes:
    path = folder / "whole.toml"
    keep_answer(
        path, "lesson 1", "lift", Given(given="9 ft", outcome="right", entry=2, slips=("m",))
    )
    keep_answer(
        path, "exercise 2, number 17", "rise", Given(given="A", outcome="predicted", entry="x")
    )
    keep_state(path, "lesson 1", "bench", {"cut_in": 30.0, "units": "US", "on": True, "n": 3})
    keep_result(path, "lesson 12", Result(task="call", passed=True, figures={"minutes": 12.5}))
    return path.read_bytes()


def sites(_: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted(DEMO_SITES.glob("*.toml"))]


def days(_: Path) -> list[bytes]:
    """The head of each measured day, and a few hours of it."""
    return [
        b"".join(p.read_bytes().splitlines(keepends=True)[:200])
        for p in sorted(SHIPPED.glob("*.csv"))
    ]


def questions_of_a_lesson(_: Path) -> None:
    """Ask, mark and write out all that lesson 0 asks."""
    text._sources.cache_clear()  # the file of one path changes here, as it never does in a page
    bank._bank.cache_clear()
    asked: list[Question] = [
        lesson_0.the_shutter(),
        lesson_0.still_live(),
        lesson_0.rise_of(demo_site("first_line")),
    ]
    for question in asked:
        if isinstance(question, ChoiceQuestion):
            said = [mark_choice(question, n).said for n in range(len(question.options))]
        else:
            said = [
                mark_number(question, typed).said for typed in ("20 ft", "1500 ft", "1 ft", "x")
            ]
        for phrase in (question.ask, *said):
            render(phrase, "US")


KINDS: dict[str, tuple[Callable[[Path], list[bytes]], Callable[[Path], object], str]] = {
    "site": (sites, load_site, "bent.toml"),
    "progress": (lambda folder: [progress(folder)], read_progress, "bent.toml"),
    "sun": (days, read_day_file, "bent.csv"),
    "questions": (
        lambda _: [(FOLDER / LANGUAGE / "questions" / "lesson_0.toml").read_bytes()],
        questions_of_a_lesson,
        f"{LANGUAGE}/questions/lesson_0.toml",
    ),
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("count", [400, pytest.param(20_000, marks=pytest.mark.slow)])
def test_a_bent_file_is_read_or_refused_in_words(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    kind: str,
    count: int,
    record_property: Callable[[str, object], None],
) -> None:
    whole, read, name = KINDS[kind]
    rng = random.Random(count)  # noqa: S311
    sources, slowest, refused = whole(tmp_path), 0.0, 0
    folder = tmp_path / "only"
    path = folder / name
    path.parent.mkdir(parents=True)
    monkeypatch.setenv(OWN_WORDS, str(folder))
    for _ in range(count):
        data = bent(rng.choice(sources), rng)
        path.write_bytes(data)
        began = time.process_time()
        try:
            read(path)
        except LabkitError as problem:
            refused += 1
            told = str(problem).split("\n")
            assert len(told) <= (SiteErrors.MOST + 1 if kind == "site" else 1), data
            assert all(line.isprintable() and 0 < len(line) < 500 for line in told), data
        took = time.process_time() - began
        slowest = max(slowest, took)
        assert took < SLOWEST, data
    assert refused > count // 10
    assert [one for one in folder.rglob("*") if one.is_file()] == [path]
    record_property("slowest", slowest)
    print(f"{kind}: {refused} of {count} refused, the slowest took {slowest:.3f} s")  # noqa: T201


@pytest.mark.parametrize("sign", ["", "-"])
def test_a_count_beyond_all_bounds_is_refused(tmp_path: Path, sign: str) -> None:
    text = (DEMO_SITES / "three_troughs.toml").read_text(encoding="utf-8")
    path = tmp_path / "bent.toml"
    path.write_text(re.sub(r"head = \d+", f"head = {sign}{'9' * 400}", text), encoding="utf-8")

    with pytest.raises(LabkitError, match="head is a huge number; write a whole number"):
        load_site(path)

"""The home page and what stands behind its doors, as files and text for any server to hand out.

It is shown before anything slow is loaded, so nothing here needs the engine or the widgets; what
has to be computed is read from where it was kept.
"""

import contextlib
import datetime as dt
import functools
import hashlib
import html
import json
import os
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import attrs
import platformdirs

from labkit.errors import LabkitError
from labkit.shipped import SHIPPED

if TYPE_CHECKING:
    from labkit.questions.progress import Pages

FOLDER: Final = Path(__file__).parent
ADDRESS: Final = "/labkit/"
"""Where the page is on its server."""

_KINDS: Final = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
}
_FILES: Final = frozenset(("home.css", "home.js", "large.html", "large.js", "recorded_run.json"))
_LESSON: Final = re.compile(r"(\d\d)_(.+)\.ipynb")
_HEADING: Final = re.compile(r"# \d+ · (.+)")


@attrs.frozen(kw_only=True)
class Readiness:
    """How far what the doors need has come.

    Attributes
    ----------
    share : float
        From 0 to 1.
    words : str
        What is going on.
    lab : str
        Address of a notebook, with ``PATH`` for its path; empty until there is one.
    checks : list or None
        What `labkit.pages.wrong` worked out; None until it is there.
    """

    share: float
    words: str
    lab: str
    checks: Sequence[Mapping[str, Any]] | None


def answer(name: str, root: Path, readiness: Callable[[], Readiness]) -> tuple[str, bytes] | None:
    """Return kind and content of what is asked for by its name, or None if there is no such thing.

    Parameters
    ----------
    name : str
        What follows `ADDRESS` in the address.
    root : Path
        The learner's folder.
    readiness : callable
        Tells how far everything is.
    """
    if name in _FILES:
        return _KINDS[Path(name).suffix], (FOLDER / name).read_bytes()
    if name == "":
        return _KINDS[".html"], (FOLDER / "home.html").read_bytes()
    if name == "state":
        return _KINDS[".json"], json.dumps(_state(root, readiness())).encode()
    if name == "wrong":
        return _KINDS[".html"], _wrong_page(readiness(), lessons(root)).encode()
    if name == "teach":
        return _KINDS[".html"], _page("Teach a class", _TEACH).encode()
    return None


@functools.cache
def checks_file() -> Path:
    """Return where the checks are kept, by a digest of all that they are worked out from.

    It is found once: a hall's copies of a process share the file of that process.
    """
    house = FOLDER.parents[1]
    rooms = ("physics", "engine", "parts", "trace", "faults", "drills")
    sources = [house / "pages" / "wrong.py", *(SHIPPED / "lessons" / "sites").glob("*.toml")]
    sources += [path for room in rooms for path in (house / room).glob("*.py")]
    content = b"".join(path.read_bytes() for path in sorted(sources))
    digest = hashlib.sha256(content).hexdigest()[:16]
    return Path(platformdirs.user_cache_dir("labkit")) / f"checks-{digest}.json"


def kept_checks() -> list[dict[str, Any]] | None:
    """Return the checks as they were worked out before; None where they are not."""
    with contextlib.suppress(OSError, ValueError):
        kept = json.loads(checks_file().read_text(encoding="utf-8"))
        if isinstance(kept, list):
            return kept
    return None


def lessons(root: Path) -> list[dict[str, Any]]:
    """Return the lessons of a folder in their order, with the exercise that belongs to each."""
    exercises = {path.name[:2]: path for path in sorted(root.glob("exercises/[0-9][0-9]_*.ipynb"))}
    found = []
    for path in sorted(root.glob("lessons/[0-9][0-9]_*.ipynb")):
        match = _LESSON.fullmatch(path.name)
        if match is None or "-fresh-" in path.name:
            continue
        exercise = exercises.get(match[1])
        found.append(
            {
                "number": int(match[1]),
                "name": _heading(path) or match[2].replace("_", " ").capitalize(),
                "path": path.relative_to(root).as_posix(),
                "exercise": exercise.relative_to(root).as_posix() if exercise else "",
            }
        )
    return found


def _heading(path: Path) -> str:
    """Return a lesson's name as its own first line has it; empty where that cannot be read."""
    with contextlib.suppress(OSError, ValueError, LookupError, TypeError):
        first = json.loads(path.read_text(encoding="utf-8"))["cells"][0]["source"]
        match = _HEADING.match("".join(first))
        return match[1].strip() if match else ""
    return ""


def _state(root: Path, ready: Readiness) -> dict[str, Any]:
    told, done = _kept(root)
    return {
        "share": ready.share,
        "words": ready.words,
        "lab": ready.lab,
        "kept": told,
        "lessons": [one | {"kept": done.get(one["number"], "")} for one in lessons(root)],
    }


def _kept(root: Path) -> tuple[str, dict[int, str]]:
    """Return a sentence about the learner's file, and what it holds of each lesson."""
    from labkit.questions.progress import ELSEWHERE, FILE, read_progress  # noqa: PLC0415 - slow

    try:
        pages = read_progress(Path(os.environ.get(ELSEWHERE) or root / FILE))
    except LabkitError as problem:
        return str(problem), {}
    done = {}
    for name, page in pages.items():
        match = re.fullmatch(r"lesson (\d+)", name)
        if match is None or not page.answers:
            continue
        last = max(answer.date for answer in page.answers.values())
        count = len(page.answers)
        done[int(match[1])] = f"{count} answered, {last:%b} {last.day}"
    told = f"What you answered is kept in {FILE}." if done else ""
    return " ".join(part for part in (told, _coming_back(pages)) if part), done


def _coming_back(pages: "Pages") -> str:
    """Say how many questions come back today; nothing where none does."""
    from labkit.questions.returning import due  # noqa: PLC0415 - slow
    from labkit.text import sentence  # noqa: PLC0415 - slow

    count = len(due(pages, dt.datetime.now().astimezone().date()))
    return sentence("returning", "home", count=count) if count else ""


def _page(title: str, body: str, *, waits: bool = False) -> str:
    ready = '<p class="ready" id="ready" role="status" data-waits></p>' if waits else ""
    return (
        '<!doctype html>\n<html lang="en-US"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<title>{html.escape(title)}</title><link rel="icon" href="data:,">'
        '<link rel="stylesheet" href="home.css"><script type="module" src="home.js"></script>'
        f'</head><body><main><p><a href="./">Home</a></p><h1>{html.escape(title)}</h1>{ready}{body}'
        "</main></body></html>"
    )


def _wrong_page(ready: Readiness, known: Sequence[Mapping[str, Any]]) -> str:
    title = "Something's wrong with my line"
    if ready.checks is None:
        return _page(title, "<p>The checks are being worked out.</p>", waits=True)
    names = {one["number"]: one for one in known}
    before = (
        "<p>Pick what you see. The checks come in the order that tells most for your time. The "
        "readings are those of a sample line; compare with what yours reads when it works.</p>"
        '<p class="caution"><b>Before anything else:</b> panels are live in daylight. Bleed the '
        "pressure to zero before you open anything. Leave wiring to a licensed electrician and "
        "the well to a licensed pump installer.</p>"
    )
    parts = [
        before,
        *(_symptom(one, names, ready.lab) for one in ready.checks if one["suspects"]),
        _own_line(ready.lab),
    ]
    return _page(title, "".join(parts))


def _own_line(lab: str) -> str:
    """Lead on to the form for readings of one's own."""
    from labkit.text import sentence  # noqa: PLC0415 - slow

    words, rest = (html.escape(sentence("diagnosis", key)) for key in ("home-link", "home-rest"))
    path = "lessons/my_line_is_down.ipynb"
    link = f'<a href="{html.escape(lab.replace("PATH", path))}">{words}</a>' if lab else words
    return f"<p>{link} {rest}</p>"


def _symptom(told: Mapping[str, Any], names: Mapping[int, Mapping[str, Any]], lab: str) -> str:
    """Write one symptom: its checks in order, then each suspect with repair, caution and lesson."""
    checks = "".join(_check(check) for check in told["checks"])
    suspects = "".join(
        f'<li id="{told["key"]}-{_slug(one["name"])}"><b>{_said(one["name"])}</b>: '
        f"{_said(one['brief'])}. {html.escape(one['repair'])} "
        f'<span class="caution">{html.escape(one["cautions"])}</span> '
        f"{_lesson(one['lesson'], names, lab)}</li>"
        for one in told["suspects"]
    )
    return (
        f'<details id="{told["key"]}"><summary>{html.escape(told["title"])}</summary>'
        f"<h3>Check in this order</h3><ol class=steps>{checks}</ol>"
        f"<h3>What it can be</h3><ul>{suspects}</ul></details>"
    )


def _check(check: Mapping[str, Any]) -> str:
    readings = "".join(
        f"<li>{html.escape(one['says'])} <b>{'Still open' if one['is_good'] else 'Points to'}: "
        f"{html.escape(_listed(one['means']))}.</b></li>"
        for one in check["readings"]
    )
    return (
        f"<li><b>{html.escape(check['do'])}</b> (about {check['minutes']:g} min)<br>"
        f"A good line: {html.escape(check['good'])}<ul>{readings}</ul></li>"
    )


def _listed(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def _said(words: str) -> str:
    return html.escape(words[:1].upper() + words[1:])


def _slug(words: str) -> str:
    return re.sub(r"\W+", "-", words)


def _lesson(number: int, names: Mapping[int, Mapping[str, Any]], lab: str) -> str:
    if number not in names:
        return ""
    one = names[number]
    words = f"Lesson {number}: {html.escape(one['name'])}"
    return (
        f'<a href="{html.escape(lab.replace("PATH", one["path"]))}">{words}</a>' if lab else words
    )


_TEACH: Final = """
<p>Type these in the window in which labkit was started, or in another one in the same folder.
There <code>labkit</code> stands for <code>.venv/bin/labkit</code>
(on Windows <code>.venv\\Scripts\\labkit</code>).</p>
<h2>On paper</h2>
<pre>labkit handout 1</pre>
<p>A lesson for paper, as PDF or HTML. <code>labkit handout 12 --number 17</code> makes a fault to
find, with number 17's service call.</p>
<pre>labkit plan 1</pre>
<p>The trainer's page of a lesson: aim, time, what to bring, common mistakes, safety, and the
answers.</p>
<pre>labkit quiz 1-4 --numbers 1-24</pre>
<p>A quiz from the exercises: a sheet for each number, the key, and a page for the projector.</p>
<h2>On the wall</h2>
<p><a data-large href="#" aria-disabled="true">Every page in large letters</a>, for a projector,
where labkit runs on the machine itself.</p>
<p class="ready" id="ready" role="status"></p>
<h2>In a room without internet</h2>
<p>Set up each laptop beforehand with the one line of the README; nothing is fetched after that.
The file <code>lessons/trainer/workshop.md</code> tells how to run the room, from the week before
to the last question.</p>
<h2>What the class knows</h2>
<pre>labkit gradebook FOLDER</pre>
<p>Collect the file <code>my_progress.toml</code> of each learner in a folder. The table counts by
question and by mistake, so that you see what to explain again.</p>
<h2>A morning that works</h2>
<p>Lessons 0, 1 and 4 before the break, lesson 12 in pairs after it, and the rig of lesson 11 at
the end: each takes about a quarter of an hour, with questions twice that.</p>
"""

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
from typing import Any, Final

import attrs
import platformdirs

from labkit.errors import LabkitError
from labkit.shipped import SHIPPED
from labkit.text import Words, as_id, sentence, sources, speaker, spoken, template
from labkit.text import page as words_page

say = speaker("home")

FOLDER: Final = Path(__file__).parent
ADDRESS: Final = "/labkit/"
"""Where the page is on its server."""

_KINDS: Final = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
}
_FILES: Final = frozenset(("home.css", "home.js", "large.js"))
OPEN: Final = _FILES | {"words.js", "recorded_run.json"}
"""What tells nothing of a learner."""
MAKE_CHECKS: Final = (
    "catalogue", "drills", "engine", "faults", "parts", "physics", "sun", "trace", "units",
)  # fmt: skip
"""Rooms from which the checks for a symptom are worked out."""
_LESSON: Final = re.compile(r"(\d\d)_(.+)\.ipynb")
_HEADING: Final = re.compile(r"# \d+ · (.+)")


@attrs.frozen(kw_only=True)
class Readiness:
    """How far what the doors need has come."""

    share: float  # from 0 to 1
    words: str  # what is going on
    lab: str  # address of a notebook, with ``PATH`` for its path; empty until there is one
    # what `labkit.pages.wrong` worked out; None until it is there
    checks: Sequence[Mapping[str, Any]] | None


def answer(name: str, root: Path, readiness: Callable[[], Readiness]) -> tuple[str, bytes] | None:
    """Return kind and content of what is asked for by its name, or None if there is no such thing.

    The name is what follows `ADDRESS` in the address.
    """
    if name in _FILES:
        return _KINDS[Path(name).suffix], (FOLDER / name).read_bytes()
    made: dict[str, Callable[[], str]] = {
        "": lambda: words_page("home.html"),
        "wrong": lambda: _wrong_page(readiness(), lessons(root)),
        "teach": lambda: _page(say("teach"), words_page("teach.html")),
        "large.html": lambda: words_page("large.html"),
        "recorded_run.json": lambda: json.dumps(_recorded()),
        "words.js": lambda: words_script({key: template("screen", key) for key in Words("screen")}),
        "state": lambda: json.dumps(_state(root, readiness())),
    }
    if name not in made:
        return None
    kind = ".json" if name == "state" else Path(name).suffix or ".html"
    return _KINDS[kind], made[name]().encode()


def words_script(sentences: Mapping[str, str]) -> str:
    """Return the script from which the pages' other scripts take what they say."""
    return f"const words = {json.dumps(sentences)};\n{(FOLDER / 'words.js').read_text('utf-8')}"


def _recorded() -> dict[str, Any]:
    run: dict[str, Any] = json.loads((FOLDER / "recorded_run.json").read_text(encoding="utf-8"))
    run["tells"] = [[time, say(f"tells-{as_id(kind)}")] for time, kind in run["tells"]]
    return run


@functools.cache
def checks_file() -> Path:
    """Return where the checks are kept, by a digest of all that they are worked out from.

    It is found once: a hall's copies of a process share the file of that process.
    """
    house = FOLDER.parents[1]
    files = [house / "pages" / "wrong.py", *(SHIPPED / "lessons" / "sites").glob("*.toml")]
    files += [
        path
        for room in MAKE_CHECKS
        for kind in ("py", "csv")
        for path in (house / room).glob(f"*.{kind}")
    ]
    files += [
        path for room in ("home", "faults", "tasks", "units") for path in sources(f"{room}.ftl")
    ]
    content = b"".join(path.read_bytes() for path in sorted(files))
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
    from labkit.questions.returning import due  # noqa: PLC0415

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
        done[int(match[1])] = say("answered", count=count, day=f"{last:%b} {last.day}")
    told = [say("kept", file=FILE)] if done else []
    if count := len(due(pages, dt.datetime.now().astimezone().date())):
        told.append(sentence("returning", "home", count=count))
    return " ".join(told), done


def _page(title: str, body: str, *, waits: bool = False) -> str:
    ready = '<p class="ready" id="ready" role="status" data-waits></p>' if waits else ""
    return (
        f'<!doctype html>\n<html lang="{html.escape(spoken())}"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<title>{html.escape(title)}</title><link rel="icon" href="data:,">'
        '<link rel="stylesheet" href="home.css"><script type="module" src="home.js"></script>'
        f'</head><body><main><p><a href="./">{html.escape(say("home"))}</a></p>'
        f"<h1>{html.escape(title)}</h1>{ready}{body}"
        "</main></body></html>"
    )


def _wrong_page(ready: Readiness, known: Sequence[Mapping[str, Any]]) -> str:
    title = say("wrong")
    if ready.checks is None:
        return _page(title, f"<p>{html.escape(say('wrong-waits'))}</p>", waits=True)
    names = {one["number"]: one for one in known}
    before = (
        f"<p>{html.escape(say('wrong-intro'))}</p>"
        f'<p class="caution"><b>{html.escape(say("wrong-first"))}</b> '
        f"{html.escape(say('wrong-caution'))}</p>"
    )
    symptoms = [_symptom(one, names, ready.lab) for one in ready.checks if one["suspects"]]
    words, rest = (html.escape(sentence("diagnosis", key)) for key in ("home-link", "home-rest"))
    own = _link(ready.lab, "lessons/my_line_is_down.ipynb", words)
    return _page(title, "".join([before, *symptoms, f"<p>{own} {rest}</p>"]))


def _link(lab: str, path: str, words: str) -> str:
    """Return words [HTML] that lead to a notebook, once there is a server for it."""
    return f'<a href="{html.escape(lab.replace("PATH", path))}">{words}</a>' if lab else words


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
        f"<h3>{html.escape(say('wrong-order'))}</h3><ol class=steps>{checks}</ol>"
        f"<h3>{html.escape(say('wrong-causes'))}</h3><ul>{suspects}</ul></details>"
    )


def _check(check: Mapping[str, Any]) -> str:
    means = ("check-points", "check-open")  # what a reading points to, or leaves open
    readings = "".join(
        f"<li>{html.escape(one['says'])} "
        f"<b>{html.escape(say(means[one['is_good']], faults=_listed(one['means'])))}</b></li>"
        for one in check["readings"]
    )
    minutes = say("check-minutes", minutes=f"{check['minutes']:g}")
    return (
        f"<li><b>{html.escape(check['do'])}</b> "
        f"{html.escape(minutes)}<br>"
        f"{html.escape(say('check-good', reading=check['good']))}<ul>{readings}</ul></li>"
    )


def _listed(words: Iterable[str]) -> str:
    *first, last = words
    return say("list-last", all=", ".join(first), last=last) if first else last


def _said(words: str) -> str:
    return html.escape(words[:1].upper() + words[1:])


def _slug(words: str) -> str:
    return re.sub(r"\W+", "-", words)


def _lesson(number: int, names: Mapping[int, Mapping[str, Any]], lab: str) -> str:
    if number not in names:
        return ""
    words = html.escape(say("lesson", number=number, name=names[number]["name"]))
    return _link(lab, names[number]["path"], words)

"""Where words stand, and which words: sentences in files of a language, in plain American English."""

import ast
import csv
import json
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest
from fluent.syntax import FluentParser
from fluent.syntax import ast as ftl

from labkit.text import FOLDER, LANGUAGE, Words, as_id, template

CHECKOUT: Final = Path(__file__).parents[1]
_BRACES: Final = re.compile(r"\{[^{}]*\}")
_MAKES_ERRORS: Final = ("Error", "error", "broken", "misled", "misnamed", "Said")
"""How the names end of what makes an error."""
_NAME: Final = re.compile(r"[a-z][A-Za-z0-9',\[\]/ -]*")
_SENTENCE: Final = re.compile(r"[A-Za-z][a-z',;:.*?!]+(?: [A-Za-z*(][a-z',;:.*?!)-]*){2,}")
"""Three words in a row; code, styles and paths are not written like that."""

AVOIDED: Final = {
    "controller": r"\b(?:[Tt]he|[Aa]|[Yy]our|[Tt]his|that|and|solar|another) drive\b|\bdrive (?:is|was|locks|rests)\b",
    "grid-powered": r"\bmains\b",
    "kept running": r"\bpush(?:es|ed)? on\b|\buntold\b",
    "restarts": r"\b(?:comes?|came|coming) back\b(?! (?:below|here|in the))",
    "stops, is, stays": r"\bst(?:ands?|ood) (?:still|at|above|below|over|under|up|down|high)\b",
    "is, sits": r"\b(?:lies|lie|lay) (?:above|below|over|under|between|at|within)\b|\bmust lie\b",
    "good, works": r"\ball sound\b|\bsound (?:line|pair|wire|check|switch|part|contact|stop)\b",
    "cloudy": r"\bdull\b",
    "caution, note": r"\bMind:|\bMind\b(?= )",
    "percent sign": r"\d percent\b",
    "range nut": r"\bscrews?\b",
    "precharge": r"\b[Ss]et the tank's air\b|\bair (?:of|in) the (?:empty )?tank\b",
    "bleed off": r"\blet (?:the pressure )?(?:off|down)\b",
    "no matter": r"\b(?:whatever|whoever|whichever)\b",
    "divide": r"\b[Ss]hare (?:\{|it |them )",
    "replace, repair, install": r"\bmend(?:s|ed|ing)?\b|\bfit a\b|\bfits a\b",
    "static head": r"\bstanding (?:water|column)\b",
    "poly pipe": r"\bpolythene\b",
    "differential": r"\bcloser points\b",
    "shutoff head": r"\bdead head\b",
    "coworker": r"\bcolleague\b",
    "find": r"\breckon(?:s|ed|ing)?\b",
}
"""Better word -> what stands for it in the mouth of a stranger (the words of the trade in the US)."""


def is_error(node: ast.AST) -> bool:
    """Whether something makes an error: what it says may stand beside the rule that it tells."""
    if isinstance(node, ast.ClassDef):
        return node.name.endswith(("Error", "Errors"))
    return isinstance(node, ast.Raise) or (
        isinstance(node, ast.Call) and ast.unparse(node.func).endswith(_MAKES_ERRORS)
    )


def told_in_errors(tree: ast.AST, known: set[int]) -> Iterator[ast.AST]:
    """Yield what is put into names, and the private functions, that are read in errors alone."""
    read: dict[str, bool] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            read[node.id] = read.get(node.id, True) and id(node) in known
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("_"):
            told: list[tuple[str, ast.AST]] = [(node.name, node)]
        elif isinstance(node, (ast.Assign, ast.AnnAssign, ast.NamedExpr)) and node.value:
            targets: list[ast.expr] = (
                node.targets if isinstance(node, ast.Assign) else [node.target]
            )
            told = list(pairs(targets, node.value))
        else:
            continue
        yield from (part for name, part in told if read.get(name, False))


def pairs(targets: list[ast.expr], value: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """Yield each name that is given a value, with its own where several are given at once."""
    for target in targets:
        if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
            for one, own in zip(target.elts, value.elts, strict=True):
                yield from pairs([one], own)
        else:
            named = (one for one in ast.walk(target) if isinstance(one, ast.Name))
            yield from ((one.id, value) for one in named)


def in_errors(tree: ast.Module) -> set[int]:
    """Return all that a module tells in its errors, however it gets there within a function."""
    known = {id(part) for node in ast.walk(tree) if is_error(node) for part in ast.walk(node)}
    scopes = [tree, *(node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))]
    before = -1
    while before < len(known):
        before = len(known)
        for scope in scopes:
            known |= {id(part) for one in told_in_errors(scope, known) for part in ast.walk(one)}
    return known


def sentences(path: Path) -> Iterator[str]:
    """Yield the sentences in a module's strings, but for docstrings, errors and names."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    left_out = in_errors(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            left_out.add(id(node.value))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = "" if id(node) in left_out else node.value
            if _SENTENCE.search(text) and not is_name(text):
                yield text


def is_name(text: str) -> bool:
    """Whether a text is what something goes by in files, such as a question or a part's kind."""
    return _NAME.fullmatch(text) is not None and (
        text in names()
        or any(key == as_id(text) or key.endswith(f"-{as_id(text)}") for key in ids())
    )


@cache
def ids() -> frozenset[str]:
    """Return the ids of all messages."""
    paths = (FOLDER / LANGUAGE).glob("*.ftl")
    parsed = (FluentParser().parse(path.read_text(encoding="utf-8")) for path in paths)
    return frozenset(
        one.id.name for bundle in parsed for one in bundle.body if isinstance(one, ftl.Message)
    )


@cache
def names() -> frozenset[str]:
    """Return what questions, slips, options and the choices of a site file go by."""
    found: set[str] = set()
    for path in (CHECKOUT / "tests" / "questions" / "goldens").glob("*.json"):
        found |= set(json.loads(path.read_text(encoding="utf-8"))["questions"])
    for path in (FOLDER / LANGUAGE / "questions").rglob("*.toml"):
        found |= names_in(tomllib.loads(path.read_text(encoding="utf-8")))
    for path in (CHECKOUT / "labkit" / "catalogue").glob("*.csv"):
        with path.open(encoding="utf-8") as file:
            found |= {row.get("kind", "") for row in csv.DictReader(file)}
    for path in (CHECKOUT / "labkit").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            keys = node.keys if isinstance(node, ast.Dict) else []
            keys = [node.slice] if isinstance(node, ast.Subscript) else keys
            parts = [part for key in keys if key for part in ast.walk(key)]
            found |= {
                part.value
                for part in parts
                if isinstance(part, ast.Constant) and isinstance(part.value, str)
            }
    return frozenset(found)


def names_in(value: Any) -> set[str]:
    """Return the names in a table of the bank: its keys, and what it calls a name."""
    if isinstance(value, list):
        return set().union(*map(names_in, value))
    if not isinstance(value, dict):
        return set()
    told = {one for key, one in value.items() if key in {"name", "key", "slip"}}
    return {*value, *told}.union(*map(names_in, value.values()))


PACKAGE: Final = sorted((CHECKOUT / "labkit").rglob("*.py"))


@pytest.mark.parametrize("path", PACKAGE, ids=lambda path: str(path.relative_to(CHECKOUT)))
def test_no_sentence_stands_in_the_code(path: Path) -> None:
    """Errors may stay; whatever else a person reads belongs into a file of the language."""
    assert list(sentences(path)) == []


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("report('The pump runs now.')", ["The pump runs now."]),
        ("raise Error('The pump runs now.')", []),
        ("def f():\n    rule = 'The pump runs now.'\n    raise Error(rule)", []),
        ("def f():\n    rule = 'The pump runs now.'\n    report(rule)", ["The pump runs now."]),
        ("def _why():\n    return 'The pump runs now.'\n\n\nraise Error(_why())", []),
        ("read('worn float seat')", []),
        ("read('worn float boat')", ["worn float boat"]),
    ],
)
def test_a_sentence_in_the_code_would_be_found(tmp_path: Path, code: str, found: list[str]) -> None:
    path = tmp_path / "module.py"
    path.write_text(code, encoding="utf-8")

    assert list(sentences(path)) == found


PLACES: Final = ("jupyter/labextensions/labkit-lesson/static", "pages/home", "pages/live")
SCRIPTS: Final = sorted(
    path for place in PLACES for path in (CHECKOUT / "labkit" / place).glob("*.js")
)
_STRING: Final = re.compile(
    r"//[^\n]*|/\*.*?\*/|(?P<quote>['\"`])(?P<text>(?:\\.|(?!(?P=quote)).)*)(?P=quote)", re.DOTALL
)
_PUT_IN: Final = re.compile(r"\$\{(?:[^{}]|\{[^{}]*\})*\}?|<[^>]*>")
_NOT_SHOWN: Final = re.compile(
    r"(?:===|labels\[|fills\[[^\]]*|console\.warn\(|description:|factory:|LEFT ="
    r"|\.(?:put|text|line|rect|shape)\()\s*$"
)
"""What stands before a text that nobody reads: the name of a key, a label, a drawn part or a cell's maker."""
_SHOWN: Final = re.compile(r"[A-Za-z]{2,}[.,:;!?'…]{0,2} [A-Za-z]|^[A-Z][a-z]+$")


def words_in_script(source: str) -> list[str]:
    """Return what a script's own strings would show: two words in a row, or one with a capital."""
    return [
        text
        for found in _STRING.finditer(source)
        if (text := _PUT_IN.sub("\N{HORIZONTAL ELLIPSIS}", found["text"] or ""))
        and _SHOWN.search(text)
        and not text.startswith((".", "(", "labkit-"))
        and not _NOT_SHOWN.search(source[max(0, found.start() - 40) : found.start()])
    ]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_no_shown_word_stands_in_a_script(path: Path) -> None:
    assert words_in_script(path.read_text(encoding="utf-8")) == []


def test_a_word_in_a_script_would_be_found() -> None:
    source = """
    // 'Not this one'
    make('a', { title: 'Home' }, `${name}, type a value`);
    event.key === 'Home'; pen.text('grade name', 0, 0, 'grade line');
    """

    assert words_in_script(source) == [
        "Home",
        "\N{HORIZONTAL ELLIPSIS}, type a value",
        "grade line",
    ]


def test_the_scripts_say_what_the_language_has() -> None:
    """Each key of the pages' bundle is asked for by a script, and each that is asked for is there."""
    source = "\n".join(path.read_text(encoding="utf-8") for path in SCRIPTS)
    words = Words("screen")

    asked = set(re.findall(r"\bsay\('([\w-]+)'", source))
    assert asked <= set(words)
    assert [key for key in words if f"'{key}'" not in source] == []
    for key in words:
        assert template("screen", key)


def texts_of(value: Any, field: str = "") -> Iterator[str]:
    """Yield what people read in a table of the bank."""
    if isinstance(value, dict):
        for name, one in value.items():
            if name not in {"name", "key", "kind", "slip", "checks"}:
                yield from texts_of(one, name)
    elif isinstance(value, list):
        for one in value:
            yield from texts_of(one, field)
    elif isinstance(value, str):
        yield value


def of_bank(path: Path) -> list[str]:
    return list(texts_of(tomllib.loads(path.read_text(encoding="utf-8"))))


def of_bundle(path: Path) -> list[str]:
    """Return the messages of a bundle, each as it is written."""
    parsed = FluentParser().parse(path.read_text(encoding="utf-8"))
    found = [entry for entry in parsed.body if isinstance(entry, (ftl.Message, ftl.Term))]
    text = path.read_text(encoding="utf-8")
    spans = [entry.span for entry in found]
    return [text[span.start : span.end].partition("=")[2] for span in spans if span]


def of_lesson(path: Path) -> list[str]:
    """Return a page's words: its Markdown, its cells that tell, and what else its code says."""
    found = []
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        source = "".join(cell["source"])
        is_words = cell["cell_type"] == "markdown" or source.startswith("%%tell")
        found += [_BRACES.sub("…", source)] if is_words else list(of_code(source))
    return found


def of_code(source: str) -> Iterator[str]:
    """Yield the texts of several words in a cell's code, without what stands in their braces."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = _BRACES.sub("…", node.value)
            if " " in text and not is_name(text):
                yield text


SHOWN: Final = {
    **{f"bank/{path.name}": of_bank(path) for path in (FOLDER / LANGUAGE).rglob("*.toml")},
    **{f"bundle/{path.name}": of_bundle(path) for path in (FOLDER / LANGUAGE).glob("*.ftl")},
    **{f"lesson/{path.stem}": of_lesson(path) for path in (CHECKOUT / "lessons").glob("*.ipynb")},
    **{
        f"exercise/{path.stem}": of_lesson(path)
        for path in (CHECKOUT / "exercises").glob("*.ipynb")
    },
    **{
        f"trainer/{path.name}": [path.read_text(encoding="utf-8")]
        for path in (CHECKOUT / "lessons" / "trainer").glob("*.md")
    },
    **{
        f"page/{path.name}": [path.read_text(encoding="utf-8")]
        for path in (CHECKOUT / "README.md", *(FOLDER / LANGUAGE / "pages").iterdir())
    },
}


@pytest.mark.parametrize("where", SHOWN)
def test_what_is_shown_is_in_the_words_of_the_trade(where: str) -> None:
    found = [
        f"{mark.group()!r} (better: {better}) in {text[max(0, mark.start() - 40) : mark.end() + 40]!r}"
        for text in SHOWN[where]
        for better, pattern in AVOIDED.items()
        for mark in re.finditer(pattern, text)
    ]

    assert found == []

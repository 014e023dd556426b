"""The words of a language: one folder of it is enough, and a plain sentence is said as Fluent says it."""

import ast
import re
from functools import cache
from pathlib import Path
from typing import Final

import pytest
from fluent.runtime import FluentBundle, FluentResource
from fluent.syntax import FluentParser
from fluent.syntax import ast as ftl

from labkit.cli import main
from labkit.errors import LabkitError
from labkit.text import FOLDER, LANGUAGE, OWN_WORDS, SPOKEN, Words, sentence

ROOMS: Final = sorted(path.stem for path in (FOLDER / LANGUAGE).glob("*.ftl"))


def messages(room: str) -> list[ftl.Message]:
    text = (FOLDER / LANGUAGE / f"{room}.ftl").read_text(encoding="utf-8")
    parsed = FluentParser().parse(text)
    assert [entry for entry in parsed.body if isinstance(entry, ftl.Junk)] == []
    return [entry for entry in parsed.body if isinstance(entry, ftl.Message)]


@pytest.mark.parametrize("room", ROOMS)
def test_a_bundle_is_read_as_fluent_reads_it(room: str) -> None:
    text = (FOLDER / LANGUAGE / f"{room}.ftl").read_text(encoding="utf-8")
    bundle = FluentBundle([LANGUAGE], use_isolating=False)
    bundle.add_resource(FluentResource(text))
    words = Words(room)

    found = messages(room)
    assert sorted(message.id.name for message in found) == sorted(words)
    for message in found:
        names = re.findall(r"\$(\w+)", text)
        values = {name: f"<{name}>" for name in names}
        pattern = bundle.get_message(message.id.name).value
        if pattern is None:
            continue
        said, _ = bundle.format_pattern(pattern, values)
        assert words[message.id.name].format(**values) == said


@cache
def said_in_code() -> tuple[set[str], set[str]]:
    """Return the ids that the package's strings could mean, and the beginnings of others."""
    whole, begun = set(), set()
    for path in FOLDER.parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                whole.add(as_id(node.value))
            elif isinstance(node, ast.JoinedStr):
                first, *_, last = (*node.values, node.values[-1])
                begun |= {
                    as_id(part.value)
                    for part in (first, last)
                    if isinstance(part, ast.Constant) and isinstance(part.value, str)
                }
    return whole, begun - {""}


def as_id(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")


@pytest.mark.parametrize("room", sorted({*ROOMS} - {"names", "rig", "screen"}))
def test_no_sentence_is_left_unsaid(room: str) -> None:
    """A sentence that nobody says would go stale unseen; two rooms are said by names in files, one by scripts."""
    whole, begun = said_in_code()
    left = [
        key
        for key in Words(room)
        if key not in whole
        and not any(key.startswith(f"{one}-") or key.endswith(f"-{one}") for one in begun)
    ]

    assert left == []


def test_a_key_may_be_written_with_spaces() -> None:
    words = Words("bench")

    assert words["no stop"] == words["no-stop"]
    assert "no stop" in words
    assert "no such sentence" not in words
    with pytest.raises(KeyError):
        words["no such sentence"]


@pytest.mark.parametrize(("encoding", "newline"), [("utf-8", "\n"), ("utf-8-sig", "\r\n")])
def test_what_is_missing_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, encoding: str, newline: str
) -> None:
    monkeypatch.setenv(OWN_WORDS, str(tmp_path))
    folder = tmp_path / LANGUAGE
    folder.mkdir()
    (folder / "mine.ftl").write_text(
        "plain = It is { $depth } deep.\nmany = { $count ->\n    [one] One.\n   *[other] { $count }.\n }\n",
        encoding=encoding,
        newline=newline,
    )

    assert sentence("mine", "plain", depth="3 ft") == "It is 3 ft deep."
    assert (sentence("mine", "many", count=1), sentence("mine", "many", count=7)) == ("One.", "7.")
    assert Words("mine")["many"].format(count=7) == "7."
    with pytest.raises(LabkitError, match="text mine: sentence 'plain' needs 'depth'"):
        sentence("mine", "plain")
    with pytest.raises(LabkitError, match="text mine: there is no sentence 'other'"):
        sentence("mine", "other")


def shouted(message: ftl.Message) -> str:
    """Write a message in a language that nobody speaks: in capitals."""
    text = "".join(
        element.value.upper() if isinstance(element, ftl.TextElement) else _placeable(element)
        for element in (message.value.elements if message.value else [])
    )
    return f"{message.id.name} = {text}"


def _placeable(element: ftl.Placeable) -> str:
    inner = element.expression
    if isinstance(inner, ftl.VariableReference):
        return f"{{ ${inner.id.name} }}"
    assert isinstance(inner, ftl.StringLiteral)
    return f'{{ "{inner.value}" }}'


def test_a_language_is_one_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole report of `labkit run`, in capitals; what the folder leaves out is said as before."""
    typed = ["run", "first_line", "--sun", "700 W/m^2", "--duration", "1 hour"]
    typed += ["--out", str(tmp_path / "out")]
    assert main(typed) == 0
    before = capsys.readouterr().out
    folder = tmp_path / "en-XC"
    folder.mkdir()
    for room in ("bench", "judge", "report"):
        lines = "\n".join(map(shouted, messages(room)))
        (folder / f"{room}.ftl").write_text(lines, encoding="utf-8")
    monkeypatch.setenv(OWN_WORDS, str(tmp_path))
    monkeypatch.setenv(SPOKEN, "en-XC")

    assert main(typed) == 0
    after = capsys.readouterr().out

    assert after.lower() == before.lower()
    told = re.sub(r"(?i)two buckets|constant|WROTE \S+|psi|gal|min|gpm|\d e-", "", after)
    assert re.findall(r"[a-z]{3,}", told) == []
    assert Words("card")["set"] == "Set it"

"""Files that are no site files: each is refused in one sentence, at once."""

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from labkit.errors import SiteError, SiteErrors
from labkit.sitefile import DEMO_SITES, LARGEST, demo_site, load_site, loads, save_site

ONE = (DEMO_SITES / "one_trough.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ("", "site file is empty; begin from one of the demo ranches"),
        (" \n\t\n", "site file is empty"),
        ("\x00", "site file is not written as TOML; quote every text and quantity; the reader "),
        ("title = ", "site file is not written as TOML"),
        ("cut_in = 15 psi", "site file is not written as TOML"),
        ('title = "a"\ntitle = "b"', "site file is not written as TOML"),
        ("\n".join(f"{'a.' * 240}b{i} = 1" for i in range(130)), "a is not a known key"),
        ("\n".join(f"[{'a.' * 240}b{i}]" for i in range(130)), "a is not a known key"),
        ("a = [\n" + "[\n" * 30_000, "site file is nested too deeply"),
        ("a = [\n" + "{a=[\n" * 9_000, "site file is nested too deeply"),
        ("a = " + "[" * 5_000, "site file is too wide; line 1 has more than 500 characters"),
        ("a = 1" + "9" * 449, "a is not a known key"),
        ("\n".join(f"k{i} = 1" for i in range(6_000)), "k0 is not a known key"),
        (f'"{"k" * 400}" = 1', "kkkk"),
        ('"\\u202e\\n<b>" = 1', ""),
    ],
    ids=[
        "empty", "blank", "null", "no value", "no quotes", "twice", "deep keys", "deep tables",
        "deep lists", "deep inline", "wide", "huge number", "many keys", "long key", "odd key",
    ],
)  # fmt: skip
def test_text_that_is_no_site(text: str, start: str) -> None:
    began = time.process_time()
    with pytest.raises(SiteError) as caught:
        loads(text, file="bad.toml")

    sentence = str(caught.value)
    assert time.process_time() - began < 1.0
    assert sentence.startswith(f"bad.toml: {start}")
    lines = sentence.split("\n")
    assert len(lines) <= SiteErrors.MOST + 1
    assert all(line.isprintable() and len(line) < 400 for line in lines)


def make_empty(path: Path) -> None:
    path.write_bytes(b"")


def make_large(path: Path) -> None:
    path.write_bytes(b"# no end of it\n" * 700_000)


def make_just_too_large(path: Path) -> None:
    path.write_bytes((ONE + "#" * 400).encode().ljust(LARGEST + 1, b"\n"))


def make_latin(path: Path) -> None:
    path.write_bytes('title = "Señal"'.encode("latin-1"))


def make_wide_text(path: Path) -> None:
    path.write_text(ONE, encoding="utf-16")


def make_binary(path: Path) -> None:
    path.write_bytes(bytes(range(256)))


def make_folder(path: Path) -> None:
    path.mkdir()


def make_pipe(path: Path) -> None:
    os.mkfifo(path)


def make_nothing(path: Path) -> None:
    assert not path.exists()


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (make_empty, "site file is empty; begin from one of the demo ranches"),
        (make_large, "site file is too large; a site file has at most 64000 bytes"),
        (make_just_too_large, "site file is too large; a site file has at most 64000 bytes"),
        (make_latin, "site file is not plain text; save it as UTF-8 text (byte 11 is not)"),
        (make_wide_text, "site file is not plain text; save it as UTF-8 text (byte 0 is not)"),
        (make_binary, "site file is not plain text; save it as UTF-8 text (byte 128 is not)"),
        (
            make_folder,
            "site file is not a file; write the name of a site file, which ends in .toml",
        ),
        pytest.param(
            make_pipe,
            "site file is not a file; write the name of a site file, which ends in .toml",
            marks=pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here"),
        ),
        (make_nothing, "site file is not there; check the name and the folder"),
    ],
)
def test_a_file_that_is_no_site_file(
    make: Callable[[Path], None], sentence: str, tmp_path: Path
) -> None:
    path = tmp_path / "bad.toml"
    make(path)
    began = time.process_time()

    with pytest.raises(SiteError) as caught:
        load_site(path)

    assert str(caught.value) == f"bad.toml: {sentence}"
    assert time.process_time() - began < 1.0


@pytest.mark.parametrize("name", ["\x00.toml", "x" * 5_000, ""])
def test_a_name_that_no_file_can_have(name: str) -> None:
    with pytest.raises(SiteError):
        load_site(name)


def test_a_file_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_text(ONE.replace("\n", "\r\n"), encoding="utf-8-sig", newline="")

    assert load_site(path) == demo_site("one_trough")


def test_a_site_that_cannot_be_saved_says_so(tmp_path: Path) -> None:
    with pytest.raises(
        SiteError, match=r"^site file is not saved at site.toml; it can't be written: "
    ):
        save_site(demo_site("one_trough"), tmp_path / "missing" / "site.toml")


def test_an_unknown_demo_ranch_names_the_known_ones() -> None:
    with pytest.raises(SiteError, match="write one of 'deep_well', 'first_line', 'one_trough', "):
        demo_site("../one_trough")

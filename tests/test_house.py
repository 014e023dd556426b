"""The plan of the house: who may import whom, what loads when, and what no file may say."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Final

import pytest

CHECKOUT: Final = Path(__file__).parents[1]
HEAVY: Final = ("IPython", "ipywidgets", "jupyterlab", "matplotlib", "numba", "pvlib", "scipy")

# With one letter of each in brackets, so that this file does not say what it forbids.
FORBIDDEN: Final = {
    "host of a package registry": r"py[p]i[.]org|python[h]osted|npm[j]s[.]|deb[.]debia[n]",
    "path of one machine": r"(?<![\w.])/(wor[k]|roo[t]|far[m]|hom[e]|tm[p])/",
}


def python(code: str) -> str:
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def tracked() -> list[Path]:
    listing = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],  # noqa: S607
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listing.returncode:
        pytest.skip("not a git checkout")
    return [
        path for name in listing.stdout.split("\0") if name and (path := CHECKOUT / name).is_file()
    ]


@pytest.mark.parametrize("module", ["labkit", "labkit.cli"])
def test_nothing_heavy_loads_before_it_is_asked_for(module: str) -> None:
    loaded = python(f"import {module}, sys; print(*sorted(sys.modules))").split()

    assert module in loaded
    assert [name for name in HEAVY if name in loaded] == []


def test_every_name_of_the_public_face_can_be_had() -> None:
    asked = "import labkit as lab; print(*(n for n in lab.__all__ if not hasattr(lab, n)))"

    assert python(asked) == ""


def test_rooms_import_one_way_only() -> None:
    done = subprocess.run(  # noqa: S603
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stdout + done.stderr


def test_a_room_that_stands_is_not_marked_as_missing() -> None:
    """A layer in parentheses may be absent; once it stands, a slip in its name would go unseen."""
    table = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
    layers = table["tool"]["importlinter"]["contracts"][0]["layers"]
    absent = re.findall(r"\((\w+)\)", " ".join(layers))

    standing = [
        room
        for room in absent
        if (CHECKOUT / "labkit" / f"{room}.py").exists() or (CHECKOUT / "labkit" / room).is_dir()
    ]
    assert standing == []


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_says(what: str) -> None:
    pattern, found = re.compile(FORBIDDEN[what]), []
    for path in tracked():
        try:
            lines = path.read_text(encoding="utf-8").splitlines()
        except UnicodeDecodeError:
            continue
        found += [f"{path.name}:{n}" for n, line in enumerate(lines, 1) if pattern.search(line)]

    assert found == []


def test_the_guide_is_two_pages_of_paper() -> None:
    """On letter paper at 9 points in a narrow sans serif 1,270 words and the picture are two."""
    guide = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert len(guide.split()) <= 1280


def test_the_guide_names_only_what_is_there() -> None:
    guide = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`([a-z_]+/[\w/.-]+)`", guide))

    assert "trace/verdict.py" in named
    there = [
        CHECKOUT,
        CHECKOUT / "labkit",
        CHECKOUT / "labkit/questions",
        CHECKOUT / "labkit/text/en-US",
    ]
    missing = {
        name
        for name in named
        if "NN" not in name
        and not any(
            (folder / name).exists() or (folder / f"{name}.py").exists() for folder in there
        )
    }
    assert missing == set()


def test_no_file_of_the_package_is_longer_than_six_hundred_lines() -> None:
    lengths = {
        path: len(path.read_bytes().splitlines()) for path in CHECKOUT.glob("labkit/**/*.py")
    }

    assert max(lengths.values()) > 100
    assert {path.name for path, length in lengths.items() if length > 600} == set()

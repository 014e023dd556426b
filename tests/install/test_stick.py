"""A stick: the right wheels for each kind of laptop, start files that fit, one sentence if it can't be."""

import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from labkit import stick
from labkit.cli import main
from labkit.errors import LabkitError


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, list[tuple[str, ...]]]:
    """A stick for every kind of laptop, with stand-ins for the tools."""
    asked: list[tuple[str, ...]] = []

    def tool(name: str, *words: str) -> str:
        asked.append((name, *words))
        if words[0] == "build":
            (Path(words[words.index("--out-dir") + 1]) / "labkit-9-py3-none-any.whl").write_bytes(
                b"x"
            )
        return "labkit @ file:///x\nnumpy==2.4.6\npywinpty==3\n" if words[1] == "compile" else ""

    monkeypatch.setattr(stick, "_tool", tool)
    stick.make_stick(
        tmp_path / "stick",
        systems=list(stick.SYSTEMS),
        pythons=["3.12", "3.13"],
        report=lambda _: None,
    )
    return tmp_path / "stick", asked


def test_each_kind_of_laptop_and_python_is_asked_for(
    made: tuple[Path, list[tuple[str, ...]]],
) -> None:
    _, asked = made
    fetched = [words for words in asked if words[1] == "download"]
    assert len(fetched) == 8
    assert all("--no-deps" in words and ":all:" in words for words in fetched)
    assert sum("win_amd64" in words for words in fetched) == 2
    assert sum("macosx_11_0_arm64" in words for words in fetched) == 2
    assert sum("macosx_11_0_x86_64" in words for words in fetched) == 2
    assert sum("manylinux_2_28_x86_64" in words for words in fetched) == 2


def test_start_files_and_the_page_are_there(made: tuple[Path, list[tuple[str, ...]]]) -> None:
    folder, _ = made
    batch = (folder / "start-windows.bat").read_bytes()
    assert batch.count(b"\r\n") == batch.count(b"\n") > 20, "cmd reads lines that end in both"
    assert b"py -%%v" in batch
    assert b"(3.12 3.13)" in batch
    for name in ("start-linux.sh", "start-mac.command"):
        assert os.access(folder / name, os.X_OK)
        assert b"\r" not in (folder / name).read_bytes()
        subprocess.run(["sh", "-n", folder / name], check=True)  # noqa: S603, S607
    page = (folder / "READ_ME_FIRST.html").read_text(encoding="utf-8")
    assert "Mac with an Apple chip" in page
    assert "Python 3.12 or 3.13" in page


PRETENDER = """\
#!/bin/sh
# Stands for Python, for the one in the folder that it makes, and for labkit: writes down what it is told.
printf '%s\\n' "$(basename "$0")" "$@" >> "$HEARD"
if [ "$2" = venv ]; then
  mkdir -p "$3/bin" && cp "$0" "$3/bin/python" && cp "$0" "$3/bin/labkit"
fi
"""


@pytest.mark.skipif(sys.platform == "win32", reason="start files of the others")
@pytest.mark.parametrize("how", [["dash"], ["bash", "--posix"], ["sh"], []], ids=" ".join)
@pytest.mark.parametrize("name", ["start-linux.sh", "start-mac.command"])
def test_a_start_file_works_from_any_folder_into_any_folder(
    made: tuple[Path, list[tuple[str, ...]]], tmp_path: Path, how: list[str], name: str
) -> None:
    if how and not shutil.which(how[0]):
        pytest.skip(f"no {how[0]} here")
    odd = tmp_path / "-Wärm & dry (2) it's"
    stick_folder, home = odd / "the stick", odd / "my home"
    shutil.copytree(made[0], stick_folder)
    heard, python = tmp_path / "heard", tmp_path / "bin" / "python3.13"
    python.parent.mkdir()
    python.write_text(PRETENDER)
    python.chmod(0o755)
    environment = {
        "PATH": f"{python.parent}:{os.defpath}", "HEARD": str(heard), "HOME": str(home),
        "CDPATH": str(odd),
    }  # fmt: skip
    command = [*how, f"the stick/{name}"] if how else [str(stick_folder / name)]

    for lesson in ([], ["3"]):
        subprocess.run([*command, *lesson], cwd=odd, env=environment, check=True)  # noqa: S603

    lessons = home / "labkit-lessons"
    install = ["python", "-m", "pip", "install", "--no-index", "--find-links",
               str(stick_folder / "wheels"), "--upgrade", "labkit"]  # fmt: skip
    assert heard.read_text().splitlines() == [
        "python3.13", "-m", "venv", str(lessons / ".venv"), *install, "labkit", "open", "--in",
        str(lessons), *install, "labkit", "open", "--in", str(lessons), "3",
    ]  # fmt: skip


def test_on_windows_no_folders_name_stands_without_quotes(
    made: tuple[Path, list[tuple[str, ...]]],
) -> None:
    """A user's folder may be called ``Bob & Co (2)``; inside brackets or bare, cmd reads on past it."""
    words = (made[0] / "start-windows.bat").read_text(encoding="ascii")
    for line in words.splitlines():
        outside = "".join(line.split('"')[::2])
        assert not re.search(r"%(here|bin|LABKIT_HOME|USERPROFILE)%", outside), line
        assert not line.endswith("("), "no blocks: a bracket in a name would close them"
    jumps = set(re.findall(r"goto (:\w+)", words))
    assert jumps == {line for line in words.splitlines() if line.startswith(":")}


def test_without_its_tools_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(stick, "find_spec", lambda _: None)
    monkeypatch.setattr(shutil, "which", lambda _: None)

    assert main(["stick", str(tmp_path / "stick")]) == 2
    assert "pip install 'labkit[stick]'" in capsys.readouterr().err
    assert not (tmp_path / "stick").exists()


def test_a_tool_that_fails_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    failed = subprocess.CompletedProcess([], 1, "", "long\nstory\nERROR: no wheel of x\n")
    monkeypatch.setattr(subprocess, "run", lambda *_, **__: failed)
    with pytest.raises(LabkitError, match=r"^pip download failed: ERROR: no wheel of x$"):
        stick._tool("pip", "download")


@pytest.mark.slow
@pytest.mark.skipif(
    sys.platform != "linux" or os.geteuid() != 0, reason="the plug is pulled by root on Linux"
)
def test_it_installs_with_the_plug_pulled(tmp_path: Path) -> None:
    """Needs the network once, to fill the stick; then a network namespace without any."""
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    stick.make_stick(
        tmp_path / "stick", systems=["linux"], pythons=[version], report=lambda _: None
    )
    own = next((tmp_path / "stick" / stick.WHEELS).glob("labkit-*.whl"))
    with zipfile.ZipFile(own) as packed:
        assert "labkit/shipped_files/lessons/sites/first_line.toml" in packed.namelist()
    python = tmp_path / "bin" / f"python{version}"
    python.parent.mkdir()
    python.symlink_to(Path(sys.executable).resolve())
    environment = {
        "PATH": f"{python.parent}:{os.environ['PATH']}", "HOME": str(tmp_path),
        "LABKIT_HOME": str(tmp_path / "mine"), "PIP_CONFIG_FILE": os.devnull,
    }  # fmt: skip

    done = subprocess.run(  # noqa: S603
        ["unshare", "-n", "sh", tmp_path / "stick" / "start-linux.sh", "no-such-lesson"],  # noqa: S607
        env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert "No notebook in lessons is named 'no-such-lesson'" in done.stderr
    listed = subprocess.run(  # noqa: S603
        ["unshare", "-n", tmp_path / "mine" / ".venv" / "bin" / "labkit", "sites"],  # noqa: S607
        env=environment, capture_output=True, text=True, check=True,
    )  # fmt: skip
    ranches = Path(__file__).parents[2] / "lessons" / "sites"
    assert len(listed.stdout.splitlines()) == len(list(ranches.glob("*.toml")))

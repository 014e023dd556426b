"""The page around a lesson: JupyterLab on this machine, set up so that a lesson opens and runs.

Nothing is installed into the environment's shared folders: the page settings and the small page
extension are handed to JupyterLab by path, so an editable install and a wheel behave alike.
People's own JupyterLab keeps its settings and its open tabs, for a lesson has its own.
"""

import argparse
import contextlib
import difflib
import re
import secrets
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

import platformdirs

from labkit.commands import EXERCISES, Report, command, flag, option, say
from labkit.errors import LabkitError
from labkit.files import FileError, read_small
from labkit.lab.door import AT_LESSON, TO_LESSON, private_door
from labkit.shipped import IS_CHECKOUT, LAID, SHIPPED, USUAL_COPY, lay_copy

LOOPBACK: Final = "127.0.0.1"
FIRST_PORT: Final = 8888
ABANDONED: Final = 300
"""Seconds after which a kernel ends whose page nobody has open: each keeps 150 MB, and a page
that is opened again runs anew and puts back what was answered."""
_PAGE: Final = Path(__file__).parent / "jupyter"
_LARGEST: Final = 20_000_000
"""Bytes of a notebook that is opened; an edited lesson with pictures has a tenth of it."""
_DAMAGED: Final = (
    FileError, OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError,
)  # fmt: skip
"""What reading a damaged notebook raises, besides its library's own error."""
_KEPT_OF_THE_RUN: Final = ("execution", "scrolled", "collapsed")


class ShellError(LabkitError):
    """What stands in the way of opening a lesson, in one sentence."""


def _shortcut(options: argparse.Namespace, report: Report) -> None:
    from labkit.lab.shortcut import make_shortcut  # noqa: PLC0415 - only needed here

    copy = Path(options.copy) if options.copy else None
    root = find_copy(Path.cwd(), asked=copy, report=report)
    path = make_shortcut(root, desktop=Path(options.to) if options.to else None)
    report(say("wrote", path=str(path)))


def _run(options: argparse.Namespace, report: Report) -> None:
    given: dict[str, Any] = {
        "copy": Path(options.copy) if options.copy else None,
        "browser": not options.no_browser,
        "port": options.port,
        "token": options.token,
        "report": report,
    }
    if options.lesson is None and not (options.exercises or options.fresh):
        open_home(**given)
    else:
        folder = "exercises" if options.exercises else "lessons"
        open_lesson(options.lesson, folder=folder, fresh=options.fresh, **given)


def open_home(
    *,
    report: Report,
    copy: Path | None = None,
    browser: bool = True,
    port: int | None = None,
    token: str | None = None,
) -> None:
    """Show the home page at once, and load the engine and JupyterLab behind it.

    Parameters as in `open_lesson`.
    """
    from labkit.lab.home_server import serve_home  # noqa: PLC0415 - only needed here

    root = find_copy(Path.cwd(), asked=copy, report=report)
    port = free_port(port)
    serve_home(
        root=root,
        port=port,
        lab_port=free_port(None, but=port),
        token=token or secrets.token_hex(16),
        browser=browser,
        report=report,
    )


def lessons_behind(root: str, port: int, token: str) -> None:
    """Serve the lessons in a process behind the home page."""
    folder = Path(root)
    for broken in trust([*folder.glob("lessons/*.ipynb"), *folder.glob("exercises/*.ipynb")]):
        damaged = say("damaged", path=broken.relative_to(folder).as_posix())
        sys.stderr.write(say("others-work", damaged=damaged) + "\n")
    serve(root=folder, page="/lab", port=port, token=token, browser=False)


def open_lesson(
    lesson: str | None = None,
    *,
    report: Report,
    copy: Path | None = None,
    folder: str = "lessons",
    fresh: bool = False,
    browser: bool = True,
    port: int | None = None,
    token: str | None = None,
) -> None:
    """Start JupyterLab on this machine only, open a lesson, and return when it stops.

    A lesson is a number, part of the name, or path of a notebook; the first of `folder` if left
    out. The learner's `copy` is chosen by `find_copy`, a free `port` and a new `token`, the key
    that the page asks for, if left out. `fresh` opens the lesson as it was shipped, as a new file
    beside the edited one. Unless a `browser` is wanted, the address is only printed.
    """
    from labkit.engine.warm import warm  # noqa: PLC0415  (slow to load, and only needed here)

    root = find_copy(Path.cwd(), asked=copy, report=report)
    notebook = find_notebook(lesson, root=root, folder=folder)
    if fresh:
        notebook = fresh_copy(notebook, root=root)
    port = free_port(port)
    token = token or secrets.token_hex(16)
    warm(report, waves="lab.surge(" in notebook.read_text(encoding="utf-8"))
    for broken in trust([*root.glob("lessons/*.ipynb"), *root.glob("exercises/*.ipynb"), notebook]):
        said = say("damaged", path=broken.relative_to(root).as_posix())
        if broken == notebook:
            raise ShellError(said)
        report(say("others-work", damaged=said))
    page = f"/{AT_LESSON}/{quote(notebook.relative_to(root).as_posix())}"
    address = f"http://{LOOPBACK}:{port}{page}?token={token}"
    report(say("opening", name=notebook.stem, address=address))
    report(say("keep-lesson"))
    serve(root=root, page=page, port=port, token=token, browser=browser)


def find_copy(here: Path, *, asked: Path | None, report: Report) -> Path:
    """Folder in which a learner works: the one asked for, the current one, or one at home.

    Lessons inside an installed package aren't worked in: an update would take what was written.
    """
    folder = here
    if asked is not None:
        folder = asked.expanduser().resolve()
    elif not IS_CHECKOUT and not any(here.glob("lessons/*.ipynb")):
        folder = Path.home() / USUAL_COPY
        report(say("your-lessons", folder=str(folder)))
    if folder != here or (folder / LAID).is_file():
        lay_copy(folder, report)
    return find_root(folder)


def find_root(here: Path) -> Path:
    """Folder that holds ``lessons/``: the current one, else what came along with labkit."""
    for root in (here, SHIPPED):
        if any(root.glob("lessons/*.ipynb")):
            return root.resolve()
    raise ShellError(
        f"There are no lessons in {here}; go to the folder that holds 'lessons' and try again"
    )


def find_notebook(name: str | None, *, root: Path, folder: str = "lessons") -> Path:
    """Notebook that `name` means: a path inside `root`, a number, or a part of only one name.

    Without a name it is the first one with something to move; number 0 is for reading.
    """
    notebooks = sorted((root / folder).glob("*.ipynb"))
    if name is None:
        if not notebooks:
            raise ShellError(f"There is no notebook in {root / folder}")
        moving = [path for path in notebooks if not path.stem.startswith("00")]
        return (moving or notebooks)[0]
    for path in (Path(name), root / name):
        if path.suffix == ".ipynb" and path.is_file():
            if not path.resolve().is_relative_to(root):
                raise ShellError(
                    f"The notebook {name} lies outside {root}; only notebooks in that folder open"
                )
            return path.resolve()
    for found in _matches(name.removesuffix(".ipynb"), notebooks):
        if len(found) == 1:
            return found[0]
    raise ShellError(_not_found(name, [path.stem for path in notebooks], folder))


def _matches(name: str, notebooks: list[Path]) -> Iterable[list[Path]]:
    """Notebooks that fit `name`, the strictest reading first."""
    yield [path for path in notebooks if path.stem == name]
    if name.isdecimal():
        numbers = {path: re.match(r"\d+", path.stem) for path in notebooks}
        yield [path for path, number in numbers.items() if number and int(number[0]) == int(name)]
    plain = re.sub(r"[\s_-]+", " ", name.lower())
    yield [path for path in notebooks if plain in re.sub(r"[\s_-]+", " ", path.stem.lower())]


def _not_found(name: str, stems: list[str], folder: str) -> str:
    near = difflib.get_close_matches(name, stems, n=3, cutoff=0.4)
    rest = f"the nearest: {', '.join(near)}" if near else f"there is: {', '.join(stems) or 'none'}"
    return f"No notebook in {folder} is named '{name}'; {rest}"


def fresh_copy(notebook: Path, *, root: Path) -> Path:
    """Write the notebook as it was shipped beside the edited one and give the new file's path."""
    inside = notebook.relative_to(root).as_posix()
    shipped = _as_shipped(inside, root=root)
    for number in range(1, 1000):
        copy = notebook.with_name(f"{notebook.stem}-fresh-{number}.ipynb")
        if not copy.exists():
            copy.write_bytes(shipped)
            return copy
    raise ShellError(f"There are too many fresh copies of {inside}; delete some of them")


def _as_shipped(inside: str, *, root: Path) -> bytes:
    """Return a lesson as it came: from the package, or in a checkout from its history."""
    if root != SHIPPED.resolve() and (SHIPPED / inside).is_file():
        return (SHIPPED / inside).read_bytes()
    command = ["git", "-C", str(root), "show", f"HEAD:./{inside}"]
    try:
        return subprocess.run(command, capture_output=True, check=True).stdout  # noqa: S603
    except (OSError, subprocess.CalledProcessError) as trouble:
        raise ShellError(
            f"The lesson {inside} can't be restored, because neither labkit nor the history of "
            "this folder has it; get a new copy of the lessons instead"
        ) from trouble


def free_port(wanted: int | None, *, but: int | None = None) -> int:
    """Port that nothing on this machine listens on: the wanted one, or one near the usual."""
    usual = [port for port in range(FIRST_PORT, FIRST_PORT + 50) if port != but]
    for port in [wanted] if wanted is not None else [*usual, 0]:
        with socket.socket() as probe:
            try:
                probe.bind((LOOPBACK, port))
            except (OSError, OverflowError):
                continue
            return int(probe.getsockname()[1])
    raise ShellError(f"Port {wanted} cannot be used; leave --port out and a free one is chosen")


def trust(notebooks: Iterable[Path]) -> list[Path]:
    """Mark notebooks as a person's own, as ``jupyter trust`` does; return the unreadable ones."""
    import nbformat  # noqa: PLC0415  (slow to load, and only needed here)
    from nbformat.sign import NotebookNotary  # noqa: PLC0415

    notary, broken = NotebookNotary(), []
    with contextlib.closing(notary.store):
        for path in dict.fromkeys(notebooks):
            try:
                text = read_small(path, most=_LARGEST).decode("utf-8")
                notary.sign(nbformat.reads(text, as_version=4))
            except (*_DAMAGED, nbformat.ValidationError):
                broken.append(path)
    return broken


def save_without_outputs(*, model: dict[str, Any], **_unused: object) -> None:
    """Drop what a run left in a lesson before it is saved, so that the file stays as shipped.

    JupyterLab calls this before each save. A learner's own words stay; pictures and counts come
    back with the next run. Notebooks without ``labkit`` in their metadata are left alone.
    """
    notebook = model.get("content")
    if model.get("type") != "notebook" or not isinstance(notebook, dict):
        return
    if "labkit" not in notebook.get("metadata", {}):
        return
    for key in ("language_info", "widgets"):
        notebook["metadata"].pop(key, None)
    for cell in notebook["cells"]:
        for key in _KEPT_OF_THE_RUN:
            cell["metadata"].pop(key, None)
        if cell["cell_type"] == "code":
            cell["outputs"], cell["execution_count"] = [], None


def server_options(
    *, root: Path, page: str, port: int, token: str, browser: bool, workspaces: Path
) -> list[str]:
    """Return JupyterLab's options to show one lesson, offline and on this machine only."""
    settings = Path(platformdirs.user_config_dir("labkit", appauthor=False)) / "page"
    return [
        f"--ServerApp.root_dir={root}",
        f"--ServerApp.ip={LOOPBACK}",
        f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0",
        f"--IdentityProvider.token={token}",
        f"--ServerApp.open_browser={browser}",
        "--ServerApp.use_redirect_file=True",
        "--ServerApp.kernel_websocket_connection_class=labkit.wire.PromptConnection",
        "--ServerApp.answer_yes=True",
        "--ServerApp.allow_root=True",  # a classroom container; no option of its own on Windows
        "--ServerApp.log_level=ERROR",
        "--LabApp.log_level=ERROR",
        "--FileContentsManager.pre_save_hook=labkit.shell.save_without_outputs",
        f"--LabApp.default_url={page}",
        f"--LabApp.app_settings_dir={_PAGE / 'settings'}",
        f"--LabApp.extra_labextensions_path={_PAGE / 'labextensions'}",
        f"--LabApp.user_settings_dir={settings}",
        f"--LabApp.workspaces_dir={workspaces}",
        "--KernelManager.transport_encryption=auto",  # else each kernel warns in this window
        f"--MappingKernelManager.cull_idle_timeout={ABANDONED}",
        f"--MappingKernelManager.cull_interval={ABANDONED // 2}",
        "--LabApp.extension_manager=readonly",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    ]


def serve(*, root: Path, page: str, port: int, token: str, browser: bool) -> None:
    """Serve JupyterLab on this machine until it is stopped."""
    from jupyterlab.labapp import LabApp  # noqa: PLC0415  (slow to load, and only needed here)

    from labkit.lab.home_pages import add_home  # noqa: PLC0415

    with tempfile.TemporaryDirectory(prefix="labkit-", ignore_cleanup_errors=True) as workspaces:
        server = LabApp.initialize_server(
            argv=server_options(
                root=root,
                page=page,
                port=port,
                token=token,
                browser=browser,
                workspaces=Path(workspaces),
            )
        )
        add_home(server.web_app, root)
        door = private_door(root, Path(workspaces), name=TO_LESSON)
        server.browser_open_file = str(door)
        try:
            server.start()
        finally:
            door.unlink(missing_ok=True)


_COPY: Final = option("--in", dest="copy", metavar="FOLDER")
COMMANDS: Final = (
    command("open", _run, option("lesson", nargs="?"), _COPY, EXERCISES, flag("--fresh"),
            flag("--no-browser"), option("--port", type=int), option("--token")),
    command("shortcut", _shortcut, option("--to", metavar="FOLDER"), _COPY),
)  # fmt: skip

"""``labkit hub``: start the hall, say where it is, and show it to the room."""

import argparse
import contextlib
import html
import io
import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Final
from urllib.parse import quote

from labkit.commands import Report, command, option, say
from labkit.errors import LabkitError, shortened
from labkit.files import reason
from labkit.lab.door import AT_LESSON
from labkit.pages.home import checks_file
from labkit.text import page as words_page
from labkit.text import trainers_words

PROXY: Final = "configurable-http-proxy"
COPIES: Final = "copies.sock"
OWN_WORDS: Final = "own_words.json"
PATIENCE: Final = 180
"""Seconds that a learner's server may take to answer."""
SHORTEST: Final = 8  # letters of a class word
MOST_SERVERS: Final = 100
"""Learners at once: past it nobody new gets in, and those who are in work on."""
_NOBODY: Final = 65534


def _run(options: argparse.Namespace, report: Report) -> None:
    from labkit.engine.warm import warm  # noqa: PLC0415 - slow to load
    from labkit.pages.wrong import keep  # noqa: PLC0415 - slow to load
    from labkit.shell import find_notebook, free_port  # noqa: PLC0415
    from labkit.shipped import SHIPPED  # noqa: PLC0415

    folder = Path(options.folder).resolve()
    if options.forget is not None:
        forget(folder, options.forget, report)
        return
    check_machine(options.word)
    port = free_port(options.port)
    lesson = find_notebook(options.lesson, root=SHIPPED)
    make_folders(folder)
    check_learners_python()
    warm(report, waves=True)
    report(say("checks"))
    keep(checks_file())
    settings = folder / "private" / "jupyterhub_config.py"
    settings.write_text(
        hub_settings(
            folder,
            word=options.word,
            port=port,
            inner=inner_ports(),
            lesson=f"lessons/{lesson.name}",
        ),
        encoding="utf-8",
    )
    address = f"http://{options.address or own_address()}:{port}/"
    page = folder / "for_the_projector.html"
    page.write_text(projector_page(address, options.word), encoding="utf-8")
    report(say("loading-lessons"))
    with copied(folder, lesson):
        report(say("learners-open", address=address, word=options.word))
        report(say("projector", page=str(page)))
        report(say("who-is-where", folder=str(folder / "homes")))
        report(say("keep-class"))
        command = [sys.executable, "-m", "jupyterhub", "--config", str(settings)]
        _until_it_ends(command, folder / "private", report)


def forget(folder: Path, name: str, report: Report) -> None:
    """Let a learner choose a word anew."""
    from labkit.hall.signin import OwnWords, account_of  # noqa: PLC0415 - only a hall has it

    account, words = account_of(name), OwnWords(folder / "private" / OWN_WORDS)
    if account is None or not words.forget(account):
        raise LabkitError(f"'{shortened(name)}' has not signed in at the hall in {folder}")
    report(say("forgotten", account=account))


@contextlib.contextmanager
def copied(folder: Path, lesson: Path) -> Iterator[None]:
    """Have the process at hand that is copied for each learner.

    It keeps what was compiled, and the checks of the home page, in a folder that everybody reads.
    Its environment, which its copies show to anyone who may look at them, holds nothing of the
    hub's.
    """
    from labkit.compiled import CACHE  # noqa: PLC0415 - slow to load

    shared = folder / "compiled" / "labkit"  # as both are found below that folder
    shutil.copytree(CACHE, shared / "compiled" / CACHE.name, dirs_exist_ok=True)
    shutil.copy(checks_file(), shared)
    environment = {
        "PATH": os.defpath, "LANG": "C.UTF-8", "HOME": str(folder / "compiled"),
        "XDG_CACHE_HOME": str(folder / "compiled"),
        **dict.fromkeys(("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"),
        **trainers_words(),
    }  # fmt: skip
    command = [sys.executable, "-P", "-m", "labkit.hall.copies", str(folder / COPIES), str(lesson)]
    with subprocess.Popen(  # noqa: S603
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd="/", env=environment,
        start_new_session=True,
    ) as loaded:  # fmt: skip
        if loaded.stdout is None or loaded.stdout.readline() != b"ready\n":
            raise LabkitError("the lessons can't be loaded ahead; see above")
        yield


def _until_it_ends(command: list[str], where: Path, report: Report) -> None:
    """Run the hub until it is asked to end: by Ctrl-C, a closed window, or whoever stops services.

    It is told once and in one way, and then needs its time to close the learners' servers.
    """
    asked: list[int] = []

    def close(number: int, _frame: object) -> None:
        asked.append(number)
        hub.terminate()
        with contextlib.suppress(OSError):  # the window may be gone
            report(say("closing"))

    with (
        contextlib.ExitStack() as kept,
        subprocess.Popen(ends_with_us(command), cwd=where, start_new_session=True) as hub,  # noqa: S603
    ):
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            if signal.getsignal(number) != signal.SIG_IGN:  # as after nohup
                kept.callback(signal.signal, number, signal.signal(number, close))
        code = hub.wait()
    if code != 0 and not asked:
        raise LabkitError(f"the hub ended by itself (exit code {code}); see above")


def ends_with_us(command: list[str]) -> list[str]:
    """Return a command that is asked to end once the process is gone that started it."""
    return ["setpriv", "--pdeathsig", "TERM", *command]


def check_machine(word: str) -> None:
    """Raise LabkitError with one sentence if this machine can't be a hall."""
    if not sys.platform.startswith("linux"):
        raise LabkitError(
            "labkit hub runs on Linux only; on Windows or macOS use a Linux machine or a virtual "
            "one for the room, or put labkit on each laptop (labkit stick)"
        )
    if os.geteuid() != 0:
        raise LabkitError("labkit hub makes an account for each learner: run it as root (sudo)")
    if len(word.strip()) < SHORTEST or not word.isprintable():
        raise LabkitError(f"the class word needs {SHORTEST} letters or more")
    missing = [name for name in ("jupyterhub", "segno") if find_spec(name) is None]
    if missing:
        raise LabkitError(f"labkit hub needs {' and '.join(missing)}: pip install 'labkit[hall]'")
    if shutil.which(PROXY) is None:
        raise LabkitError(f"labkit hub needs its proxy: npm install -g {PROXY}")
    if shutil.which("setpriv") is None:
        raise LabkitError("labkit hub needs setpriv, which is in the system's package util-linux")


def check_learners_python() -> None:
    """Raise LabkitError if other accounts can't run this Python, as from a locked home."""
    done = subprocess.run(
        [sys.executable, "-c", "import ssl\nimport labkit.shell\nimport jupyterhub"],
        user=_NOBODY, group=_NOBODY, extra_groups=[], cwd="/", env={"PATH": os.defpath},
        capture_output=True, check=False,
    )  # fmt: skip
    if done.returncode != 0:
        raise LabkitError(
            f"learners' accounts can't run {sys.executable}: install Python and labkit in a folder "
            "that everybody may read, such as /opt/labkit, not in a home folder"
        )


def make_folders(folder: Path) -> None:
    """Make the hall's folders: homes that can be entered but not listed, and a private one."""
    try:
        for name, mode in (("", 0o711), ("homes", 0o711), ("compiled", 0o755), ("private", 0o700)):
            (folder / name).mkdir(parents=True, exist_ok=True)
            (folder / name).chmod(mode)
    except OSError as problem:
        raise LabkitError(f"{folder}: the hall can't be made there: {reason(problem)}") from None


def hub_settings(folder: Path, *, word: str, port: int, inner: tuple[int, int], lesson: str) -> str:
    """Return JupyterHub's settings as the text of its file, which holds the class word."""
    private = folder / "private"
    values = {
        "JupyterHub.bind_url": f"http://:{port}/",
        "JupyterHub.hub_ip": "127.0.0.1",
        "JupyterHub.hub_port": inner[0],
        "ConfigurableHTTPProxy.command": ends_with_us([PROXY]),
        "ConfigurableHTTPProxy.api_url": f"http://127.0.0.1:{inner[1]}",
        "JupyterHub.db_url": f"sqlite:///{private / 'hub.sqlite'}",
        "JupyterHub.cookie_secret_file": str(private / "cookie_secret"),
        "JupyterHub.authenticator_class": "labkit.hall.signin.ClassSignIn",
        "JupyterHub.spawner_class": "labkit.hall.spawner.LearnerSpawner",
        "JupyterHub.active_server_limit": MOST_SERVERS,
        "JupyterHub.concurrent_spawn_limit": 0,  # past a limit, learners would be sent away
        "JupyterHub.implicit_spawn_seconds": 1,  # whose server ended gets another by coming back
        "JupyterHub.template_paths": [str(Path(__file__).parent / "templates")],
        "JupyterHub.log_level": "WARN",
        "JupyterHub.cleanup_servers": True,
        "ConfigurableHTTPProxy.log_level": "error",
        "ConfigurableHTTPProxy.pid_file": str(private / "proxy.pid"),
        "Authenticator.allow_all": True,
        "ClassSignIn.class_word": word,
        "ClassSignIn.own_words": str(private / OWN_WORDS),
        "LearnerSpawner.homes": str(folder / "homes"),
        "LearnerSpawner.copies": str(folder / COPIES),
        "Spawner.default_url": f"/{AT_LESSON}/{quote(lesson)}",
        "Spawner.start_timeout": PATIENCE,
        "Spawner.http_timeout": PATIENCE,
    }
    lines = (f"c.{name} = {value!r}" for name, value in values.items())
    return "\n".join(("c = get_config()  # noqa", *lines, ""))


def inner_ports() -> tuple[int, int]:
    """Return two free ports of this machine, for hub and proxy to talk to each other."""
    with socket.socket() as one, socket.socket() as other:
        one.bind(("127.0.0.1", 0))
        other.bind(("127.0.0.1", 0))
        return one.getsockname()[1], other.getsockname()[1]


def own_address() -> str:
    """Return this machine's address on the network that it is joined to."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: an address of nobody; nothing is sent
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()


def projector_page(address: str, word: str) -> str:
    """Return a page in large letters: the address, its code for phones, and the class word."""
    import segno  # noqa: PLC0415 - only a hall has it

    code = io.BytesIO()
    segno.make(address, error="m").save(code, kind="svg", xmldecl=False, svgns=False, scale=10)
    return words_page(
        "projector.html",
        address=html.escape(address),
        word=html.escape(word),
        code=code.getvalue().decode(),
    )


COMMANDS: Final = (
    command("hub", _run, option("--word", default=""), option("--folder", default="/srv/labkit"),
            option("--lesson"), option("--address"), option("--port", type=int, default=8000),
            option("--forget", metavar="NUMBER"), shortest=SHORTEST),
)  # fmt: skip

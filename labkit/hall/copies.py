"""One process that has everything loaded, and copies itself for each learner's server and kernel.

To load what a lesson needs takes ten seconds of a processor and some 250 MB. A copy of a process
that has it takes a tenth of a second, and shares the memory until it changes it.

Who may have what is a matter of accounts alone. A copy takes the account of whoever asks, as the
system tells it, before it reads a word of the request. Only root, which is the hub, may name
another account. So a learner gets nothing here but a process of the learner's own.

Started as ``python -P -m labkit.hall.copies SOCKET NOTEBOOK``; says ``ready`` when it is, and ends
with its input. The client is `copy_for`.
"""

import contextlib
import ctypes
import gc
import io
import json
import logging
import os
import pwd
import resource
import select
import signal
import socket
import struct
import sys
import threading
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any, Final

from labkit.errors import LabkitError
from labkit.pages.home import checks_file

SERVER: Final = "server"
KERNEL: Final = "kernel"
WITHIN: Final = 60
"""Seconds in which a copy must have read its request and be under way."""

MOST: Final = 60
"""Processes that a learner may have before no further one is made for them: one for each page."""

_THREADS: Final = 1000
"""That an account may have; a page takes ten. A loop that starts processes ends here."""
_FIRST_TO_GO: Final = "500"
"""How much sooner than others, of 1000, the system ends a copy where memory is short."""
_BEGIN: Final = b" "  # what a request begins with; a socket travels along with it
_LARGEST: Final = 1_000_000
_PR_SET_PDEATHSIG: Final = 1
_PR_SET_DUMPABLE: Final = 4
_LOADED: Final = {
    SERVER: (
        "jupyterhub.singleuser.extension", "jupyterlab.labapp", "jupyterlab.handlers.announcements",
        "jupyter_server.serverapp", "jupyter_server_terminals", "jupyter_lsp", "notebook_shim",
        "labkit.wire", "labkit.hall.kernels", "labkit.hall.home",
    ),
    KERNEL: (
        "ipykernel.kernelapp", "ipykernel.ipkernel", "ipykernel.debugger", "ipywidgets",
        "IPython.core.completerlib", "IPython.extensions.storemagic", "matplotlib.figure",
    ),
}  # fmt: skip
"""What is loaded ahead, besides what running a lesson loads: what a copy loads is its own. A kernel
makes itself a debugger, which alone takes 36 MiB."""


class Copy:
    """A process that was made for us, with what others ask of a process of theirs."""

    stdin = stdout = stderr = None

    def __init__(self, pid: int, process: int, line: socket.socket) -> None:
        self.pid = pid
        self._process, self._line = process, line

    def poll(self) -> int | None:
        """Return None while it runs."""
        return 0 if self._has_ended(0.0) else None

    def wait(self) -> int:
        """Wait for its end."""
        self._has_ended(None)
        self.let_go()
        return 0

    def send_signal(self, number: int) -> None:
        """Send a signal, to this very process and no later one of the same number."""
        signal.pidfd_send_signal(self._process, number)

    def kill(self) -> None:
        """End it at once."""
        self.send_signal(signal.SIGKILL)

    def terminate(self) -> None:
        """Ask it to end."""
        self.send_signal(signal.SIGTERM)

    def let_go(self) -> None:
        """Forget it; a kernel ends with that."""
        self._line.close()
        with contextlib.suppress(OSError):
            os.close(self._process)
        self._process = -1

    def _has_ended(self, patience: float | None) -> bool:
        if self._process < 0:
            return True
        waiting = select.poll()
        waiting.register(self._process, select.POLLIN)
        return bool(waiting.poll(patience if patience is None else patience * 1000.0))


def copy_for(
    path: str,
    kind: str,
    words: Sequence[str],
    *,
    env: Mapping[str, str],
    cwd: str,
    account: str = "",
    listening: socket.socket | None = None,
) -> Copy:
    """Ask for a copy that runs as a ``"server"`` or a ``"kernel"``, over the socket at `path`.

    `words` are its command line, without the program. Whose process it is to be, only root may say.
    A server listens where `listening` does: a port that is found free and bound only later may be
    taken by then, by another server or by any connection of this machine.
    """
    asked = {"kind": kind, "words": list(words), "env": dict(env), "cwd": cwd, "account": account}
    line = socket.socket(socket.AF_UNIX)
    line.settimeout(WITHIN)
    try:
        line.connect(path)
        socket.send_fds(line, [_BEGIN], [listening.fileno()] if listening is not None else [])
        line.sendall(json.dumps(asked).encode() + b"\n")
        said, handles, _, _ = socket.recv_fds(line, 2000, 1)
    except OSError as problem:
        line.close()
        raise LabkitError(f"the hall can't start a {kind}: {problem.strerror or problem}") from None
    if not handles:
        line.close()
        raise LabkitError(said.decode(errors="replace") or f"the hall can't start a {kind}")
    line.settimeout(None)
    return Copy(int(said), handles[0], line)


def main(path: str, notebook: str) -> None:
    """Load everything, then copy this process for whoever asks, until the input ends."""
    load(Path(notebook))
    count = len(list(Path("/proc/self/task").iterdir()))
    if count != 1:
        raise LabkitError(f"the hall loads with {count} threads, and only one may be copied")
    listener = socket.socket(socket.AF_UNIX)
    Path(path).unlink(missing_ok=True)
    listener.bind(path)
    Path(path).chmod(0o666)  # anyone may ask: each gets a process of their own
    listener.listen(1024)  # past it, whoever asks is sent away
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the hub's; this ends with its input
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for the copies
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    line = _next_line(listener)
    if line is not None:
        _run(line)


def load(notebook: Path) -> None:
    """Load what servers and kernels need, run a lesson once, and forget the lesson."""
    os.environ.setdefault("PYDEVD_DISABLE_FILE_VALIDATION", "1")  # a warning of the debugger's
    for name in (*_LOADED[SERVER], *_LOADED[KERNEL]):
        with contextlib.suppress(ModuleNotFoundError):  # not every version has each
            import_module(name)
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    codes = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    space: dict[str, Any] = {"__name__": "lesson"}
    with contextlib.redirect_stdout(io.StringIO()):
        for code in codes:
            if not code.startswith("%%"):  # its words need a shell, and load nothing
                exec(code, space)  # noqa: S102 - a lesson that came along
        for one in space["lesson"].benches:
            one.draw_charts()
            one.close()
    space.clear()
    import_module("ipywidgets").Widget.close_all()
    checks_file()  # while this process's environment says where; a copy's own doesn't
    gc.collect()
    gc.freeze()  # the collector would write to, and so unshare, every page


def _next_line(listener: socket.socket) -> socket.socket | None:
    """Return in a copy, with the line to whoever asked for it; or None when all is over."""
    while True:
        ready, _, _ = select.select([listener, sys.stdin], [], [])
        if sys.stdin in ready:
            return None
        line, _ = listener.accept()
        if _has_many(_asker(line)[0]):
            with contextlib.suppress(OSError):
                line.send(b"too many pages are open; close some")
        elif os.fork() == 0:
            listener.close()  # else a learner's process could answer for the others
            return line
        line.close()


def _asker(line: socket.socket) -> tuple[int, int]:
    """Return user and group of whoever is at the other end, as the system tells them."""
    _, user, group = struct.unpack("3i", line.getsockopt(socket.SOL_SOCKET, socket.SO_PEERCRED, 12))
    return user, group


def _has_many(user: int) -> bool:
    """Whether an account that is not root has so many processes that it gets no further one."""
    count = 0
    for process in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):  # it may have ended by now
            count += process.stat().st_uid == user
    return user != 0 and count >= MOST


def _run(line: socket.socket) -> None:
    """Take an account, read the request, and run as what was asked for."""
    for number in (signal.SIGCHLD, signal.SIGTERM):
        signal.signal(number, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    signal.alarm(WITHIN)
    os.setsid()
    user, group = _asker(line)
    if user != 0:
        _take_account(user, group)
    try:
        asked, listening = _request(line)
        if user == 0:
            account = pwd.getpwnam(asked["account"])
            _take_account(account.pw_uid, account.pw_gid)
        _move_in(asked)
    except (LabkitError, OSError, ValueError, LookupError, TypeError) as problem:
        line.sendall(f"{type(problem).__name__}: {problem}".encode()[:1000])
        return
    # What few pages need is compiled by each: that it can't be kept in the shared folder is meant.
    logging.getLogger("labkit.compiled").setLevel(logging.ERROR)
    handle = os.pidfd_open(os.getpid())
    socket.send_fds(line, [str(os.getpid()).encode()], [handle])
    os.close(handle)
    signal.alarm(0)
    if asked["kind"] == KERNEL:
        threading.Thread(target=_end_with, args=(line,), daemon=True).start()
        import_module("ipykernel.kernelapp").launch_new_instance()
    else:
        line.close()
        _listen_at(listening)
        import_module("jupyterhub.singleuser.extension").main()


def _listen_at(listening: socket.socket) -> None:
    """Have a server take the socket that came with the request, in place of one of its own."""

    def bind(app: Any) -> bool:
        app.http_server.add_socket(listening)
        return True

    server = import_module("jupyter_server.serverapp").ServerApp
    server._find_http_port = lambda _: None  # noqa: SLF001 - no option of it takes a socket
    server._bind_http_server_tcp = bind  # noqa: SLF001


def _take_account(user: int, group: int) -> None:
    """Become an account for good."""
    if user == 0:
        raise PermissionError("nothing runs as root here")
    Path("/proc/self/oom_score_adj").write_text(_FIRST_TO_GO, encoding="ascii")
    resource.setrlimit(resource.RLIMIT_NPROC, (_THREADS, _THREADS))
    os.setgroups([])
    os.setresgid(group, group, group)
    os.setresuid(user, user, user)
    os.umask(0o077)
    control = ctypes.CDLL(None).prctl
    # As after a start from a file: else the process may not look at itself under /proc.
    control(_PR_SET_DUMPABLE, 1, 0, 0, 0)
    control(_PR_SET_PDEATHSIG, signal.SIGTERM, 0, 0, 0)  # with the hall, however that ends


def _request(line: socket.socket) -> tuple[dict[str, Any], socket.socket]:
    """Read a request, a line of JSON, and the socket that comes along; a kernel needs none."""
    _, handles, _, _ = socket.recv_fds(line, len(_BEGIN), 1)
    listening = socket.socket(fileno=handles[0]) if handles else socket.socket()
    with line.makefile("rb") as words:
        asked = json.loads(words.readline(_LARGEST))
    if asked["kind"] not in {SERVER, KERNEL}:
        raise ValueError("no such kind")
    return dict(asked), listening


def _move_in(asked: Mapping[str, Any]) -> None:
    """Take on environment, folder, words and log; a learner's first server lays the lessons."""
    os.environ.clear()
    os.environ.update(asked["env"])
    home = Path(os.environ["HOME"])
    os.chdir(asked["cwd"])
    flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW
    log = os.open(home / f".{asked['kind']}.log", flags, 0o600)
    streams = os.open(os.devnull, os.O_RDONLY), log
    for number, handle in enumerate((*streams, log)):
        os.dup2(handle, number)
    for handle in streams:
        os.close(handle)
    if asked["kind"] == SERVER:
        import_module("labkit.hall.home").furnish(home)
    sys.argv = [f"labkit-{asked['kind']}", *asked["words"]]


def _end_with(line: socket.socket) -> None:
    """End when the server is gone that asked for this kernel."""
    with contextlib.suppress(OSError):
        line.recv(1)
    os.kill(os.getpid(), signal.SIGTERM)


if __name__ == "__main__":
    main(*sys.argv[1:])

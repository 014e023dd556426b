"""The home page's own server: there in a moment, while the engine and JupyterLab load behind it."""

import contextlib
import hmac
import subprocess
import threading
import urllib.request
import webbrowser
from collections.abc import Iterator
from http.cookies import SimpleCookie
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Final
from urllib.parse import parse_qs, urlsplit

import attrs
from typing_extensions import override

from labkit.commands import Report, say
from labkit.lab import behind
from labkit.lab.door import AT_LESSON, TO_HOME, private_door
from labkit.pages.home import ADDRESS, Readiness, answer, kept_checks

LOOPBACK: Final = "127.0.0.1"
_COOKIE: Final = "labkit_home"
_STEPS: Final = ("loading", "preparing", "compiling-water", "compiling-run")
_LAB_SHARE: Final = 0.3
_POLICY: Final = "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:"


@attrs.define(kw_only=True)
class Loading:
    """What is known of the processes behind the page; written by their threads."""

    lab_address: str  # address of a notebook, with ``PATH`` for its path
    engine: str = ""  # the last that the engine's process said
    lab_is_up: bool = False  # whether the lessons answer
    trouble: str = ""  # what went wrong, in a sentence

    def readiness(self) -> Readiness:
        """Say how far it all is."""
        is_done = self.engine == behind.READY
        lab = self.lab_address if self.lab_is_up else ""
        if is_done and self.lab_is_up:
            return Readiness(share=1.0, words=say("all-ready"), lab=lab, checks=kept_checks())
        step = next((i for i, key in enumerate(_STEPS) if self.engine == say(key)), None)
        engine = 1.0 if is_done else 0.2 * (step if step is not None else len(_STEPS))
        share = _LAB_SHARE * self.lab_is_up + (1.0 - _LAB_SHARE) * engine
        words = self.trouble or (say("lessons-open") if is_done else self.engine)
        checks = kept_checks() if is_done else None
        return Readiness(share=min(share, 0.97), words=words, lab=lab, checks=checks)


def serve_home(
    *, root: Path, port: int, lab_port: int, token: str, browser: bool, report: Report
) -> None:
    """Show the home page until it is stopped, with everything else loading behind it."""
    loading = Loading(
        lab_address=f"http://{LOOPBACK}:{lab_port}/{AT_LESSON}/PATH?token={token}",
        engine=say("loading"),
    )
    server = _Server(root, port, token, loading)
    address = f"http://{LOOPBACK}:{port}{ADDRESS}?token={token}"
    with _processes(root, lab_port, token, loading), server:
        report(say("opening-home", address=address))
        report(say("keep-home"))
        door = private_door(root, name=TO_HOME, address=address) if browser else None
        try:
            if door is not None:
                args = (door.resolve().as_uri(),)
                threading.Thread(target=webbrowser.open, args=args, daemon=True).start()
            server.serve_forever()
        finally:
            if door is not None:
                door.unlink(missing_ok=True)


@contextlib.contextmanager
def _processes(root: Path, lab_port: int, token: str, loading: Loading) -> Iterator[None]:
    """Run the engine's and the lessons' processes; end them with the page."""
    engine = behind.start("labkit.lab.behind.engine")
    lab = behind.start("labkit.shell.lessons_behind", root=str(root), port=lab_port, token=token)
    threads = (
        threading.Thread(target=_follow_engine, args=(engine, loading), daemon=True),
        threading.Thread(target=_follow_lab, args=(lab, lab_port, loading), daemon=True),
    )
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        for process in (engine, lab):
            process.terminate()
        for process in (engine, lab):
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(15)


def _follow_engine(process: "subprocess.Popen[str]", loading: Loading) -> None:
    for line in process.stdout or ():
        loading.engine = line.strip()
    if loading.engine != behind.READY:
        loading.trouble = say("engine-failed")


def _follow_lab(process: "subprocess.Popen[str]", port: int, loading: Loading) -> None:
    while process.poll() is None:
        try:
            urllib.request.urlopen(f"http://{LOOPBACK}:{port}/api", timeout=2).close()
        except OSError:
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(0.3)
            continue
        loading.lab_is_up = True
        process.wait()
    loading.lab_is_up = False
    loading.trouble = say("lessons-stopped")


class _Server(ThreadingHTTPServer):
    """The server of one home page."""

    daemon_threads = True

    def __init__(self, root: Path, port: int, token: str, loading: Loading) -> None:
        self.root, self.token, self.loading = root, token, loading
        self.hosts = {f"{LOOPBACK}:{port}", f"localhost:{port}"}
        super().__init__((LOOPBACK, port), _Handler)


class _Handler(BaseHTTPRequestHandler):
    """Hands out the home page to whoever has the key."""

    server_version = "labkit"
    server: "_Server"

    def do_GET(self) -> None:
        """Answer a browser."""
        address = urlsplit(self.path)
        if self.headers.get("Host") not in self.server.hosts:
            self._send(403, "text/plain", say("not-this-machine").encode())
            return
        asked = parse_qs(address.query).get("token", [""])[0]
        if asked and hmac.compare_digest(asked, self.server.token):
            cookie = f"{_COOKIE}={self.server.token}; HttpOnly; SameSite=Strict; Path=/labkit"
            self._send(303, "text/plain", b"", Location=address.path, Set_Cookie=cookie)
            return
        if not self._has_key():
            said = say("no-key").encode()
            self._send(403, "text/plain", said)
            return
        found = None
        if address.path.startswith(ADDRESS):
            found = answer(
                address.path.removeprefix(ADDRESS), self.server.root, self.server.loading.readiness
            )
        if found is None:
            self._send(404, "text/plain", b"There is no such page.")
            return
        self._send(200, *found)

    def _has_key(self) -> bool:
        cookie = SimpleCookie(self.headers.get("Cookie", "")).get(_COOKIE)
        return cookie is not None and hmac.compare_digest(cookie.value, self.server.token)

    def _send(self, code: int, kind: str, content: bytes, **headers: str) -> None:
        self.send_response(code)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("Content-Security-Policy", _POLICY)
        self.send_header("Referrer-Policy", "no-referrer")
        for name, value in headers.items():
            self.send_header(name.replace("_", "-"), value)
        self.end_headers()
        with contextlib.suppress(ConnectionError):
            self.wfile.write(content)

    @override
    def log_message(self, format: str, *args: Any) -> None:
        """Keep quiet: the window is for people."""

"""The home page inside JupyterLab's server, so that a lesson's header leads back to it."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from jupyter_server.auth.decorator import allow_unauthenticated
from jupyter_server.base.handlers import JupyterHandler
from tornado import web
from typing_extensions import override

from labkit.commands import say
from labkit.lab import behind
from labkit.lab.door import AT_LESSON
from labkit.pages.home import ADDRESS, OPEN, Readiness, answer, kept_checks


class _Checks:
    """Has the checks worked out, once somebody asks for them."""

    def __init__(self) -> None:
        self._process: Any = None

    def readiness(self, base: str, *, asked: bool) -> Readiness:
        """Say how far they are."""
        lab = f"{base}{AT_LESSON}/PATH"
        checks = kept_checks()
        if checks is None and asked and self._process is None:
            self._process = behind.start("labkit.lab.behind.engine")
        if checks is None and self._process is not None and self._process.poll() is None:
            return Readiness(share=0.5, words=say("checks"), lab=lab, checks=None)
        return Readiness(share=1.0, words=say("all-ready"), lab=lab, checks=checks)


class _HomePage(JupyterHandler):
    """Hands out the home page to whoever may see the lessons."""

    @override
    def initialize(self, root: Path, checks: _Checks) -> None:
        """Take what the page is about."""
        self._root, self._checks = root, checks

    @override
    @web.authenticated
    def get(self, name: str) -> None:
        """Answer a browser."""
        asked = name == "wrong"
        self._send(name, lambda: self._checks.readiness(self.base_url, asked=asked))

    def _send(self, name: str, readiness: Callable[[], Readiness]) -> None:
        found = answer(name, self._root, readiness)
        if found is None:
            raise web.HTTPError(404)
        kind, content = found
        self.set_header("Content-Type", kind)
        self.finish(content)


class _OpenPart(_HomePage):
    """Hands out the scripts and what they play to anybody: a hub takes no cookie from a script."""

    @override
    @allow_unauthenticated
    def get(self, name: str) -> None:
        """Answer a browser."""
        self._send(name, lambda: self._checks.readiness(self.base_url, asked=False))


def add_home(application: Any, root: Path) -> None:
    """Add the home page to a server of JupyterLab."""
    base = application.settings["base_url"].rstrip("/")
    given = {"root": root, "checks": _Checks()}
    parts = "|".join(map(re.escape, sorted(OPEN)))
    application.add_handlers(
        ".*$",
        [
            (f"{base}{ADDRESS}({parts})", _OpenPart, given),
            (f"{base}{ADDRESS}([a-z_.]*)", _HomePage, given),
        ],
    )


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    """Tell a server that begins elsewhere, as in a hall, what to load."""
    return [{"module": __name__}]


def _load_jupyter_server_extension(server: Any) -> None:
    """Add the home page to such a server."""
    add_home(server.web_app, Path(server.root_dir))

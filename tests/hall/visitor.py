"""A learner's browser, without the browser: signs in, waits for the server, talks to a kernel."""

import json
import struct
import time
import uuid
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Final
from urllib.parse import urlparse

import requests
import websocket

PROTOCOL: Final = "v1.kernel.websocket.jupyter.org"
"""How the page and the server write messages on a websocket; its layout is in the server's manual.

A number of places, then the places: where channel, header, parent's header, metadata, content and
each buffer begin, and where the last one ends. All numbers have eight bytes, the lowest first.
"""


class Line:
    """A websocket to a kernel, with the widgets that came over it."""

    def __init__(self, socket: websocket.WebSocket) -> None:
        self._socket = socket
        self.widgets: dict[str, dict[str, Any]] = {}

    def close(self) -> None:
        self._socket.close()

    def send(self, kind: str, content: dict[str, Any]) -> str:
        """Send a message; give its number."""
        number = uuid.uuid4().hex
        header = {
            "msg_id": number,
            "msg_type": kind,
            "username": "",
            "session": "s",
            "version": "5.3",
            "date": "",
        }
        parts = [b"shell", *(json.dumps(one).encode() for one in (header, {}, {}, content))]
        places = [8 * (len(parts) + 2)]
        for part in parts:
            places.append(places[-1] + len(part))
        head = struct.pack(f"<{len(places) + 1}Q", len(places), *places)
        self._socket.send_binary(head + b"".join(parts))
        return number

    def run(self, code: str) -> str:
        """Run code; return what it printed, or the name of its error."""
        content = {"code": code, "silent": False, "store_history": False, "allow_stdin": False}
        asked, printed = self.send("execute_request", content), ""
        for kind, parent, told in self.heard():
            if parent != asked:
                continue
            if kind == "stream":
                printed += told["text"]
            if kind == "error":
                printed += told["ename"]
            if kind == "status" and told["execution_state"] == "idle":
                break
        return printed.strip()

    def tell_widget(self, name: str, content: dict[str, Any]) -> None:
        """Send what a widget's script sends to its other half in the kernel."""
        self.send("comm_msg", {"comm_id": name, "data": {"method": "custom", "content": content}})

    def heard(self) -> Iterator[tuple[str, str, dict[str, Any]]]:
        """Give kind, parent's number and content of each message as it comes, and keep widgets up to date."""
        while True:
            message = self._socket.recv()
            assert isinstance(message, bytes)
            (count,) = struct.unpack_from("<Q", message)
            places = struct.unpack_from(f"<{count}Q", message, 8)
            header, parent, _, content = (
                json.loads(message[start:end]) for start, end in pairwise(places[1:6])
            )
            kind = header["msg_type"]
            if kind in {"comm_open", "comm_msg"} and "state" in content["data"]:
                self.widgets.setdefault(content["comm_id"], {}).update(content["data"]["state"])
            yield kind, parent.get("msg_id", ""), content


class Visitor:
    """One learner at a hall."""

    def __init__(self, address: str, name: str, *, class_word: str, own_word: str) -> None:
        self.address, self.name = address.rstrip("/"), name
        self.web = requests.Session()
        page = self.web.get(f"{self.address}/hub/login", timeout=30)
        words = {
            "username": name, "class_word": class_word, "password": own_word,
            "_xsrf": self._xsrf("/hub/"),
        }  # fmt: skip
        answer = self.web.post(page.url, data=words, timeout=60, allow_redirects=False)
        self.is_in = answer.status_code == 302
        self.said = answer.text

    @property
    def base(self) -> str:
        return f"{self.address}/user/learner-{self.name}"

    def arrive(self, patience: float = 240.0) -> str:
        """Wait for the server; return the address at which one lands."""
        until = time.monotonic() + patience
        answer = self.web.get(f"{self.address}/hub/spawn", timeout=patience)
        while "/user/" not in urlparse(answer.url).path or answer.status_code != 200:
            if time.monotonic() > until:
                raise TimeoutError(answer.url)
            time.sleep(1.0)
            answer = self.web.get(f"{self.base}/", timeout=patience)
        return str(answer.url)

    def ask(self, method: str, path: str, **told: Any) -> requests.Response:
        """Ask the learner's own server, or another's with a path that begins with ``/user/``."""
        address = f"{self.address}{path}" if path.startswith("/user/") else f"{self.base}/{path}"
        headers = {"X-XSRFToken": self._xsrf(f"/user/learner-{self.name}/")}
        return self.web.request(
            method, address, headers=headers, timeout=120, allow_redirects=False, **told
        )

    def kernel(self) -> str:
        answer = self.ask("POST", "api/kernels", json={"name": "python3"})
        assert answer.status_code == 201, answer.text
        return str(answer.json()["id"])

    def run(self, kernel: str, code: str, patience: float = 240.0) -> str:
        """Run code in a kernel; return what it printed, or the name of its error."""
        line = self.line(kernel, patience)
        try:
            return line.run(code)
        finally:
            line.close()

    def line(self, kernel: str, patience: float = 240.0) -> Line:
        """Connect to a kernel, as the page does."""
        where = f"{self.base}/api/kernels/{kernel}/channels".replace("http", "ws", 1)
        cookie = "; ".join(
            f"{one.name}={one.value}" for one in self.web.cookies if self._fits(one.path)
        )
        return Line(
            websocket.create_connection(
                where, cookie=cookie, timeout=patience, subprotocols=[PROTOCOL]
            )
        )

    def _fits(self, path: str) -> bool:
        return path == "/" or path.startswith(f"/user/learner-{self.name}/")

    def _xsrf(self, path: str) -> str:
        return next(
            (
                str(one.value)
                for one in self.web.cookies
                if one.name == "_xsrf" and one.path == path
            ),
            "",
        )

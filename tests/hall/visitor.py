"""A learner's browser, without the browser: signs in, waits for the server, runs code in a kernel."""

import json
import time
import uuid
from typing import Any
from urllib.parse import urlparse

import requests
import websocket


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
        where = f"{self.base}/api/kernels/{kernel}/channels".replace("http", "ws", 1)
        cookie = "; ".join(
            f"{one.name}={one.value}" for one in self.web.cookies if self._fits(one.path)
        )
        line = websocket.create_connection(where, cookie=cookie, timeout=patience)
        asked = uuid.uuid4().hex
        head = {
            "msg_id": asked,
            "msg_type": "execute_request",
            "username": "",
            "session": "s",
            "version": "5.3",
        }
        content = {"code": code, "silent": False, "store_history": False, "allow_stdin": False}
        line.send(
            json.dumps(
                {
                    "channel": "shell",
                    "header": head,
                    "parent_header": {},
                    "metadata": {},
                    "content": content,
                }
            )
        )
        printed = ""
        while True:
            told = json.loads(line.recv())
            if told.get("parent_header", {}).get("msg_id") != asked:
                continue
            if told["msg_type"] == "stream":
                printed += told["content"]["text"]
            if told["msg_type"] == "error":
                printed += told["content"]["ename"]
            if told["msg_type"] == "status" and told["content"]["execution_state"] == "idle":
                line.close()
                return printed.strip()

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

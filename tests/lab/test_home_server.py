"""The home page's server: for this machine and this key only, and nothing left behind it."""

import http.client
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from labkit.lab import behind
from labkit.lab.home_server import Loading, _Server
from labkit.shell import free_port
from labkit.shipped import SHIPPED


@pytest.fixture
def loading() -> Loading:
    return Loading(lab_address="http://127.0.0.1:1/doc/tree/PATH?token=k", engine="")


@pytest.fixture
def port(loading: Loading) -> Iterator[int]:
    port = free_port(None)
    with _Server(SHIPPED, port, "k", loading) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield port
        server.shutdown()


def get(port: int, path: str, **headers: str) -> tuple[int, dict[str, str], str]:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        line.request("GET", path, headers=headers)
        answer = line.getresponse()
        return answer.status, dict(answer.getheaders()), answer.read().decode()
    finally:
        line.close()


def test_without_the_key_nothing_is_shown(port: int) -> None:
    for path in ("/labkit/", "/labkit/state", "/labkit/?token=wrong", "/"):
        status, _, said = get(port, path)
        assert status == 403
        assert "key is missing" in said
    assert get(port, "/labkit/", Cookie="labkit_home=wrong")[0] == 403


def test_the_key_is_put_away_in_a_cookie_that_no_script_reads(port: int) -> None:
    status, headers, _ = get(port, "/labkit/?token=k")

    assert status == 303
    assert headers["Location"] == "/labkit/"
    assert "HttpOnly" in headers["Set-Cookie"]
    status, headers, page = get(port, "/labkit/", Cookie="labkit_home=k")
    assert status == 200
    assert "Something's wrong with my line" in page
    assert headers["Content-Security-Policy"].startswith("default-src 'self'")
    assert get(port, "/labkit/no-such-page", Cookie="labkit_home=k")[0] == 404


def test_another_name_for_this_machine_is_refused(port: int) -> None:
    """A page elsewhere can point a name of its own at this machine, but not change what it sends."""
    assert get(port, "/labkit/?token=k", Host="ranch.example")[0] == 403


def test_the_bar_moves_on_and_ends_only_when_all_is_there(loading: Loading) -> None:
    said = ["", "The engine is loading …", "Preparing the engine.", "Compiling the water's",
            "Compiling the run", "Working out the checks …", behind.READY]  # fmt: skip
    shares = []
    for loading.engine in said:
        shares.append(loading.readiness().share)
    assert shares[1:] == sorted(shares[1:])
    assert shares[-1] < 1.0
    assert loading.readiness().lab == ""
    loading.lab_is_up = True
    assert loading.readiness().share == 1.0
    assert loading.readiness().lab.endswith("?token=k")


def test_a_process_behind_the_page_gets_what_it_is_given_and_ends_with_it() -> None:
    process = behind.start("tests.lab.test_home_server.told", words="a key that is in no command")
    assert process.stdout is not None
    assert process.stdout.readline().strip() == "a key that is in no command"
    assert "key" not in Path(f"/proc/{process.pid}/cmdline").read_text()

    assert process.stdin is not None
    process.stdin.close()

    assert process.wait(20) != 0
    process.stdout.close()


def told(words: str) -> None:
    """Say what was given, and wait to be ended."""
    behind.say(words)
    threading.Event().wait()

"""A real JupyterLab, started as a learner starts it, and a real Chromium to open lessons in."""

import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import quote

import nbformat
import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Error,
    Locator,
    Page,
    Playwright,
    Request,
    ViewportSize,
    expect,
    sync_playwright,
)

from labkit.lab.door import AT_LESSON
from labkit.pages.home import words_script
from labkit.questions.progress import ELSEWHERE, FILE
from labkit.text import Words, template

CHECKOUT: Final = Path(__file__).parents[2]
TOKEN: Final = "t"  # noqa: S105
START: Final = "import sys; from labkit.cli import main; sys.exit(main())"
OPTIONS: Final = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
NOT_OURS: Final = re.compile(
    r"Menu entry for command|favicon|ResizeObserver loop|Could not restore the debugger state",
    re.IGNORECASE,
)
"""What JupyterLab says of itself: of its debugger, if a page is left while that asks for its kernel's."""
THROWN_BY_LAB: Final = "Cannot read properties of null (reading 'observe')"
"""What JupyterLab throws now and then where a page's settings come between its cells and the frame
in which it begins to observe them: they took its `_contentVisibilityObserver` away. None of ours
is ever null."""
PICTURE: Final = ".jp-OutputArea-output img[alt], .labkit-stage"
BENCH: Final = ".labkit-live:not([data-plain=true])"
IDLE: Final = """bench => bench.dataset.busy === 'false'
  && (bench.dataset.shown || bench.dataset.leads === 'pictures')"""
PAUSE: Final = """() => document.querySelectorAll('.labkit-live').forEach(
  bench => bench.labkitBench?.pause())"""
ERRORS: Final = (
    ".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.error'], "
    ".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr'], "
    ".jupyter-widgets-error-widget"
)
WINDOW: Final[ViewportSize] = {"width": 1280, "height": 900}
SECOND: Final = 1000.0  # Playwright counts in milliseconds
PATIENCE: Final = 120 * SECOND
"""How long anything may be waited for. It says nothing of how long it should take: on a busy machine of
the slow kind a page takes ten times as long as on a fast one."""

expect.set_options(timeout=PATIENCE)


@dataclass(frozen=True)
class Server:
    """A running JupyterLab: where it is and the folder that it shows."""

    address: str
    root: Path

    def at(self, path: str) -> str:
        """Address of a notebook by its path in the checkout."""
        return f"{self.address}/{AT_LESSON}/{quote(path)}?token={TOKEN}"


@dataclass
class LessonPage:
    """A lesson open in the browser, what the page complained of and asked the outside for."""

    page: Page
    complaints: list[str] = field(default_factory=list)
    outside: list[str] = field(default_factory=list)
    can_be_leafed: bool = False

    def slider(self, label: str) -> Locator:
        """Handle of the slider that a screen reader calls `label`: the bench's, where it has one."""
        of_bench = self.bench.get_by_role("slider", name=label, exact=True)
        if of_bench.count():  # the picture over the predictions has a clock of its own
            return of_bench.first
        return self.page.get_by_role("slider", name=label, exact=True).first

    @property
    def status(self) -> Locator:
        """The line that says in words what the picture shows."""
        return self.page.locator(".labkit-status").get_by_role("status").first

    @property
    def picture(self) -> Locator:
        return self.page.locator(PICTURE).first

    def press(self, label: str, key: str, *, times: int = 1) -> str:
        """Press a key on a slider, wait until its number is another one, and give that number.

        It is the one that a screen reader speaks; the other, `aria-valuenow`, has one decimal only.
        """
        handle = self.slider(label)
        before = handle.get_attribute("aria-valuetext")
        handle.focus()
        for _ in range(times):
            self.page.keyboard.press(key)
        expect(handle).not_to_have_attribute("aria-valuetext", before or "")
        return (handle.get_attribute("aria-valuetext") or "").replace(",", "")

    def press_until_redrawn(self, label: str, key: str, *, times: int = 1) -> str:
        """Press a key on a slider, wait for another picture, and give the slider's number."""
        before = self.picture.get_attribute("src")
        value = self.press(label, key, times=times)
        expect(self.picture).not_to_have_attribute("src", before or "")
        return value

    @property
    def bench(self) -> Locator:
        """The first bench that can be turned."""
        return self.page.locator(BENCH).first

    def settle(self, bench: Locator | None = None) -> None:
        """Wait until nothing is on its way between a bench and Python, and all of it is painted."""
        handle = (bench or self.bench).element_handle()
        self.page.wait_for_function(IDLE, arg=handle)
        self.page.wait_for_timeout(100)

    def rest(self) -> None:
        """Have nothing play on: a run plays for twelve seconds, painted sixty times in each."""
        self.page.emulate_media(reduced_motion="reduce")
        self.page.evaluate(PAUSE)

    def words(self) -> str:
        """What stands for the picture of the first bench for one who does not see it."""
        return self.bench.locator("p[id^=labkit-alt]").text_content() or ""

    def errors(self) -> list[str]:
        """Texts of error outputs, and of widgets that could not be shown."""
        return self.page.locator(ERRORS).all_inner_texts()


PLAIN: Final = """\
from base64 import b64encode
from io import BytesIO
from threading import current_thread
import ipywidgets as w
from PIL import Image
slider = w.FloatSlider(description="Head (m)", min=0, max=60, value=30, step=0.5)
view, status = w.HTML(), w.HTML().add_class("labkit-status")
def draw(change=None):
    Image.new("L", (200, 100), int(4 * slider.value)).save(png := BytesIO(), "png")
    data, words = b64encode(png.getvalue()).decode(), f"A head of {slider.value:g} m."
    image = f\'<img alt="{words}" src="data:image/png;base64,{data}"\'
    view.value, status.value = f\'{image} title="{current_thread().name}">\', f"<p>{words}</p>"
slider.observe(draw, "value"); draw(); display(w.VBox([slider, status, view]))"""


TYPING: Final = """\
import time
import ipywidgets as w
from labkit.view.widgets import on_enter
box, button, seen = w.Text(description="Answer"), w.Button(description="Send"), w.HTML()
seen.add_class("typed")
heard = []
def hear(_=None):
    heard.append(box.value); seen.value = " ".join(f"<code>{one}</code>" for one in heard)
box.observe(lambda change: time.sleep(0.05), "value")  # a kernel that is busy while people type
on_enter(box, hear); button.on_click(hear); display(w.VBox([box, button, seen]))"""


def shout(page: Page) -> None:
    """Have the pages' scripts speak a language that nobody speaks: capitals."""
    loud = {
        key: re.sub(r"\{\w+\}|[^{]+", lambda m: m[0] if m[0][0] == "{" else m[0].upper(), said)
        for key, said in ((key, template("screen", key)) for key in Words("screen"))
    }
    script = words_script(loud)
    page.route(
        "**/labkit/words.js",
        lambda route: route.fulfill(body=script, content_type="text/javascript"),
    )


def write_typing_bench(path: Path) -> None:
    """Write a lesson of one text box that writes down what it held when Enter came."""
    _write_lesson(path, "# A box to type in", TYPING)


def write_plain_bench(path: Path) -> None:
    """Write a lesson of one slider, one sentence and one picture, which needs nothing of labkit."""
    _write_lesson(path, "# A plain bench", PLAIN)


def _write_lesson(path: Path, title: str, code: str) -> None:
    hidden = {"deletable": False, "jupyter": {"source_hidden": True}}
    notebook = nbformat.v4.new_notebook(
        metadata={
            "kernelspec": {
                "display_name": "Python 3 (ipykernel)",
                "language": "python",
                "name": "python3",
            },
            "labkit": {"autorun": True},
        },
        cells=[
            nbformat.v4.new_markdown_cell(title, id="title"),
            nbformat.v4.new_code_cell(code, id="bench", metadata=hidden),
        ],
    )
    path.parent.mkdir(exist_ok=True)
    nbformat.write(notebook, path)


def _chromium() -> str:
    names = ("chromium", "chromium-browser", "google-chrome", "chrome")
    found = os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, names)), None)
    if not found or not Path(found).is_file():
        pytest.fail(
            "No Chromium to test with. Install one (on Debian: apt-get install chromium), or set "
            "CHROMIUM to its path, or leave these tests out: pytest -m 'not browser'",
            pytrace=False,
        )
    return found


def _private_home(home: Path) -> dict[str, str]:
    """Environment of a person who has never used Jupyter; only the compiled engine is shared."""
    cache = os.environ.get("XDG_CACHE_HOME", str(Path.home() / ".cache"))
    folders = {
        "HOME": ".",
        "XDG_CONFIG_HOME": "config",
        "XDG_DATA_HOME": "share",
        "MPLCONFIGDIR": "matplotlib",
        "JUPYTER_CONFIG_DIR": "jupyter",
        "JUPYTER_DATA_DIR": "data",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "IPYTHONDIR": "ipython",
    }
    here = {name: value for name, value in os.environ.items() if name != "PYTHONWARNINGS"}
    # (one of JupyterLab's own extensions does not start where warnings are errors)
    private = {name: str(home / folder) for name, folder in folders.items()}
    return {**here, **private, "XDG_CACHE_HOME": cache}


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_until_it_answers(address: str, process: "subprocess.Popen[bytes]", log: Path) -> None:
    for _ in range(6000):  # the first start compiles the engine
        if process.poll() is not None:
            pytest.fail(f"labkit open stopped by itself:\n{log.read_text()}", pytrace=False)
        try:
            urllib.request.urlopen(f"{address}/api", timeout=1).close()  # noqa: S310
        except OSError:
            time.sleep(0.1)
        else:
            return
    pytest.fail(f"labkit open did not answer in ten minutes:\n{log.read_text()}", pytrace=False)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Start ``labkit open`` on a copy of the lessons, for a person without any Jupyter settings."""
    root, home = tmp_path_factory.mktemp("checkout"), tmp_path_factory.mktemp("home")
    for folder in ("lessons", "exercises"):
        if (CHECKOUT / folder).is_dir():
            ignored = shutil.ignore_patterns(".ipynb_checkpoints", "__pycache__")
            shutil.copytree(CHECKOUT / folder, root / folder, ignore=ignored)
    write_plain_bench(root / "lessons" / "plain_bench.ipynb")
    write_typing_bench(root / "lessons" / "typing_bench.ipynb")
    port, log = _free_port(), home / "log"
    options = ["--no-browser", f"--port={port}", f"--token={TOKEN}"]
    with log.open("wb") as out:
        process = subprocess.Popen(  # noqa: S603
            [sys.executable, "-c", START, "open", "1", *options],
            cwd=root, env=_private_home(home), stdout=out, stderr=subprocess.STDOUT,
        )  # fmt: skip
        try:
            _wait_until_it_answers(f"http://127.0.0.1:{port}", process, log)
            yield Server(f"http://127.0.0.1:{port}", root)
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(90)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    chromium = playwright.chromium.launch(executable_path=_chromium(), args=OPTIONS)
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def profile(
    playwright: Playwright, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """A browser with a folder of its own, where it keeps the scripts that it has read.

    JupyterLab has seven megabytes of them: to read them anew is a third of each opening of a page.
    """
    folder = tmp_path_factory.mktemp("browser")
    context = playwright.chromium.launch_persistent_context(
        folder, executable_path=_chromium(), args=OPTIONS, viewport=WINDOW
    )
    context.set_default_timeout(PATIENCE)
    yield context
    context.close()


@pytest.fixture(scope="session")
def left_open() -> dict[tuple[str, bool], LessonPage]:
    """The page that the last test left, if there is one, by its path and whether it keeps still."""
    return {}


@pytest.fixture
def open_lesson(
    request: pytest.FixtureRequest,
    server: Server,
    profile: BrowserContext,
    left_open: dict[tuple[str, bool], LessonPage],
) -> Iterator[Callable[..., LessonPage]]:
    """Open a notebook by its path in the checkout, wait for a picture and for the run to end.

    The browser knows nobody: what an earlier page left with it is gone. A kernel of the same
    notebook that an earlier test left goes on, as it does when a page is loaded anew: starting one
    takes three times as long as all the rest. With `again` the page itself goes on, if the last
    test left that page and did not fail: for tests that can begin wherever another one ended. With
    `leafing` a lesson that the last test left is leafed on by its own list of contents: JupyterLab,
    which takes longer to load than any lesson, is there already.
    """

    def open_it(
        path: str,
        *,
        wait_for: str = PICTURE,
        runs: bool = True,
        still: bool = False,
        again: bool = False,
        leafing: bool = False,
    ) -> LessonPage:
        left = left_open.get((path, still))
        if again and left and not left.page.is_closed():
            return left
        if leafing and left_open and not left:
            _, lesson = left_open.popitem()
            if lesson.can_be_leafed and not lesson.page.is_closed():
                _leaf(lesson.page, path, server)
                left_open[path, still] = lesson
                return lesson
        left_open.clear()
        _forget(server, profile, but=path)
        page = profile.new_page()
        if still:
            page.emulate_media(reduced_motion="reduce")
        lesson = LessonPage(page, can_be_leafed=leafing)
        _listen(lesson, server.address)
        page.goto(f"{server.at(path)}&reset")
        page.locator(wait_for).first.wait_for()
        if runs:
            page.locator("[data-labkit-run=ended]").first.wait_for()
        expect(page.locator(".jp-Notebook .jp-Cell").first).to_have_class(re.compile("mod-active"))
        left_open[path, still] = lesson
        return lesson

    failed = request.session.testsfailed
    yield open_it
    if request.session.testsfailed > failed:
        left_open.clear()


def _leaf(page: Page, path: str, server: Server) -> None:
    """Go on from one page to another by the list of contents, as learners do, with nothing answered."""
    page.emulate_media(reduced_motion="no-preference")
    page.set_viewport_size(WINDOW)
    answers_of(server).unlink(missing_ok=True)
    page.locator(".jp-NotebookPanel").evaluate("it => it.dataset.left = 'yes'")
    page.get_by_role("button", name="Contents", exact=True).click()
    folder, name = path.split("/")
    section = page.locator(".labkit-list section").filter(
        has=page.get_by_role("heading", name=folder.capitalize(), exact=True)
    )
    entry = re.compile(rf"^{int(name[:2])} ")
    section.get_by_role("button").filter(has_text=entry).click()
    expect(page.locator("[data-left]")).to_have_count(0)
    page.locator("[data-labkit-run=ended]").wait_for()
    expect(page.locator(".jp-Notebook .jp-Cell").first).to_have_class(re.compile("mod-active"))


def answers_of(server: Server) -> Path:
    """Give the file in which what is answered is kept."""
    return Path(os.environ.get(ELSEWHERE) or server.root / FILE)


def _forget(server: Server, profile: BrowserContext, *, but: str) -> None:
    """Close what is open, and forget what was said: the kernel of one page alone goes on."""
    first, *pages = profile.pages  # with the last one the browser would end
    for page in pages:
        page.close()
    profile.clear_cookies()
    kept = {"origin": server.address, "storageTypes": "local_storage,indexeddb"}
    session = profile.new_cdp_session(first)
    session.send("Storage.clearDataForOrigin", kept)
    session.detach()
    answers_of(server).unlink(
        missing_ok=True
    )  # else what an earlier test answered would be put back
    _stop_kernels(server, but=but)


def _listen(lesson: LessonPage, address: str) -> None:
    allowed = (address, address.replace("http", "ws"), "data:", "blob:")

    def note(message: ConsoleMessage) -> None:
        words = f"{message.text} ({message.location['url']})"
        if message.type == "error" and not NOT_OURS.search(words):
            lesson.complaints.append(words)

    def check(request: Request) -> None:
        if not request.url.startswith(allowed):
            lesson.outside.append(request.url)

    lesson.page.on("console", note)
    lesson.page.on("pageerror", lambda error: complain(lesson.complaints, error))
    lesson.page.on("request", check)


def complain(complaints: list[str], error: Error) -> None:
    """Note what a page's script threw, but for what is not ours to mend."""
    if str(error) != THROWN_BY_LAB:
        complaints.append(str(error))


def _stop_kernels(server: Server, *, but: str) -> None:
    """End the kernels that closed pages left, but that of one page, so that they slow nothing."""
    headers = {"Authorization": f"token {TOKEN}"}
    listing = urllib.request.Request(f"{server.address}/api/sessions", headers=headers)  # noqa: S310
    with urllib.request.urlopen(listing, timeout=60) as answer:  # noqa: S310
        sessions = [session["id"] for session in json.load(answer) if session["path"] != but]
    for session in sessions:
        address = f"{server.address}/api/sessions/{session}"
        ending = urllib.request.Request(address, headers=headers, method="DELETE")  # noqa: S310
        urllib.request.urlopen(ending, timeout=60).close()  # noqa: S310

"""From a page of HTML to a PDF, by whatever browser of the Chromium kind the machine has."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Final

from labkit.errors import LabkitError

BROWSERS: Final = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "msedge",
)
_USUAL_PLACES: Final = (
    "C:/Program Files/Google/Chrome/Application/chrome.exe",
    "C:/Program Files (x86)/Microsoft/Edge/Application/msedge.exe",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
)
_OPTIONS: Final = ("--headless", "--disable-gpu", "--no-pdf-header-footer", "--disable-extensions")
_SECONDS: Final = 120


def find_browser() -> str | None:
    """Give a browser that can print to a file: the one named in ``CHROMIUM``, or any found."""
    named = os.environ.get("CHROMIUM")
    places = (path for path in _USUAL_PLACES if Path(path).is_file())
    return named or next(filter(None, map(shutil.which, BROWSERS)), None) or next(places, None)


def write_page(page: str, path: Path) -> None:
    """Write a page of HTML, as HTML or as PDF by the ending of `path`.

    Raises
    ------
    LabkitError
        If the ending is neither, the file cannot be written, or no browser can print it.
    """
    if path.suffix not in (".html", ".pdf"):
        raise LabkitError(f"{path.name}: write a name that ends in .html or .pdf")
    try:
        if path.suffix == ".html":
            path.write_text(page, encoding="utf-8")
        else:
            _print(page, path)
    except OSError as problem:
        raise LabkitError(f"{path}: cannot be written: {problem.strerror}") from None


def _print(page: str, path: Path) -> None:
    browser = find_browser()
    if browser is None:
        advice = "write it as .html, open that in your browser and print it from there"
        raise LabkitError(f"{path.name}: there is no browser here that can make a PDF; {advice}")
    with tempfile.TemporaryDirectory(prefix="labkit-", ignore_cleanup_errors=True) as folder:
        source, made = Path(folder) / "page.html", Path(folder) / "page.pdf"
        source.write_text(page, encoding="utf-8")
        options = [*_OPTIONS, f"--user-data-dir={folder}/user", f"--print-to-pdf={made}"]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            options.append("--no-sandbox")  # which the browser asks for where root runs it
        command = [browser, *options, source.as_uri()]
        try:
            subprocess.run(command, capture_output=True, check=False, timeout=_SECONDS)  # noqa: S603
        except subprocess.TimeoutExpired:
            raise LabkitError(f"{path.name}: the browser did not finish the PDF") from None
        if not made.is_file():
            raise LabkitError(f"{path.name}: the browser {browser} made no PDF")
        shutil.copyfile(made, path)

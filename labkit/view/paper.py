"""What stands on paper in place of a screen, and a PDF of it by any browser of the Chromium kind.

Words for the screen alone are marked where they stand, in a Markdown cell or in what a lesson
tells, by two comments that no screen shows::

    Say what you think **before** you see it. <!-- screen -->
    The sliders wait for your two predictions. <!-- paper: Write it down. -->

On paper, whatever stands from the first comment to the second is left out, and the words in the
second are read in its place; ``<!-- paper: -->`` leaves nothing. The two take turns in every cell.
Neither comment may begin a line: Markdown would take that line for HTML.
"""

import html
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Final

from labkit.errors import LabkitError
from labkit.files import reason, write_out
from labkit.text.shared import PAPER_WORDS
from labkit.view.tables import list_html, table_html

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
    f"{os.environ.get('PROGRAMFILES(X86)', 'C:')}/Microsoft/Edge/Application/msedge.exe",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
)
_OPTIONS: Final = ("--headless", "--disable-gpu", "--no-pdf-header-footer", "--disable-extensions")
_SECONDS: Final = 120


NEW_SHEET: Final = "labkit-new-sheet"
"""Class, or tag of a cell, of what begins on a new sheet: never on the back of what was before."""
_SHEETS: Final = re.compile(rf'<[^<>]*class="[^"]*{NEW_SHEET}\b[^<>]*>')
_BLANK: Final = '<div style="break-before:page">&nbsp;</div>'


def find_browser() -> str | None:
    """Return a browser that can print to a file: the one named in ``CHROMIUM``, or any found."""
    named = os.environ.get("CHROMIUM")
    places = (path for path in _USUAL_PLACES if Path(path).is_file())
    return named or next(filter(None, map(shutil.which, BROWSERS)), None) or next(places, None)


def document(body: str, title: str, *, looks: str) -> str:
    """Write a page of HTML that needs nothing else."""
    head = f'<meta charset="utf-8"><title>{html.escape(title)}</title>{looks}'
    return (
        f'<!doctype html><html lang="en"><head>{head}</head><body><main>{body}</main></body></html>'
    )


def write_page(page: str, path: Path) -> None:
    """Write a page of HTML, as HTML or as PDF by the ending of `path`."""
    if path.suffix not in (".html", ".pdf"):
        raise LabkitError(f"{path.name}: write a name that ends in .html or .pdf")
    write_out(path, page.encode() if path.suffix == ".html" else _pdf(page, path))


def _pdf(page: str, path: Path) -> bytes:
    """Return a page as a PDF, its sheets kept apart."""
    browser = find_browser()
    if browser is None:
        advice = "write it as .html, open that in your browser and print it from there"
        raise LabkitError(f"{path.name}: there is no browser here that can make a PDF; {advice}")
    try:
        if _SHEETS.search(page):
            page = on_sheets(page, lambda marked: _printed(browser, marked, path))
        return _printed(browser, page, path)
    except OSError as problem:
        raise LabkitError(f"{path.name}: it can't be printed: {reason(problem)}") from None


def _printed(browser: str, page: str, path: Path) -> bytes:
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
        return made.read_bytes()


def on_sheets(page: str, printed: Callable[[str], bytes]) -> str:
    """Put in empty back pages, so that what asks for a new sheet gets one on a two-sided printer.

    Elements of the class `NEW_SHEET` begin a page; `printed` gives the PDF of a page of HTML.
    Browsers of the Chromium kind begin a new page for ``break-before: right``, even on a back. But
    they write down in the PDF where an address within the document leads, and so on which page each
    of these elements came.
    """
    count = len(_SHEETS.findall(page))
    names = [f"{NEW_SHEET}-{number}" for number in range(count)]
    targets = iter(names)
    marked = _SHEETS.sub(lambda tag: f'{tag[0]}<a id="{next(targets)}"></a>', page)
    links = "".join(f'<a href="#{name}">.</a>' for name in names)
    nav = f'<div style="position:absolute;height:1px;overflow:hidden;opacity:0">{links}</div>'
    numbers = _page_numbers(printed(marked.replace("</body>", f"{nav}</body>")))
    blanks: list[str] = []
    for name in names:
        before = numbers.get(name, 0) + sum(map(bool, blanks))
        blanks.append(_BLANK if before % 2 else "")
    fill = iter(blanks)
    return _SHEETS.sub(lambda tag: f"{next(fill)}{tag[0]}", page)


def _page_numbers(pdf: bytes) -> dict[str, int]:
    """Return on which page, from 0, each named place of a PDF is."""
    order = [int(number) for number in re.findall(rb"(\d+) 0 obj\s*<<\s*/Type\s*/Page\b(?!s)", pdf)]
    found = re.findall(rb"/([\w-]+)\s*\[(\d+) 0 R\s*/XYZ", pdf)
    return {
        name.decode(): sorted(order).index(int(number))
        for name, number in found
        if int(number) in order
    }


_SCREEN: Final = re.compile(r"\s*<!-- screen -->.*?<!-- paper:(.*?)-->", re.DOTALL)
_MARK: Final = re.compile(r"<!-- (?:(screen) -->|paper:.*?(-->|(?=<!--)|\Z))", re.DOTALL)
_SHOWN: Final = 60
_CLOSES: Final = tuple(".,;:!?")
"""What follows a word without a space."""

LINE: Final = '<div class="line"></div>'  # a line to write on


def for_paper(words: str) -> str:
    """Leave out what is meant for a screen, and read the words for paper in its place."""
    if near := _unpaired(words):
        rule = "a mark stands without its partner"
        raise LabkitError(f"words for screen and paper: {rule} at “{near}”")

    def instead(found: re.Match[str]) -> str:
        said = found[1].strip()
        before = re.match(r"\s*", found[0])
        space = "" if said[:1] in _CLOSES else before[0] or " " if before else " "
        return f"{space}{said}" if said else ""

    return _SCREEN.sub(instead, words)


def _unpaired(words: str) -> str:
    """Return the words from where a mark has no partner; empty if the two kinds take turns."""
    opened = -1
    for mark in _MARK.finditer(words):
        is_open, is_whole = opened >= 0, bool(mark[1] or mark[2])
        opened = mark.start() if mark[1] or not (is_open and is_whole) else -1
        if bool(mark[1]) is is_open or not is_whole:
            break
    if opened < 0:
        return ""
    return " ".join(words[opened : opened + _SHOWN].split())


def question_form(
    ask: str, choices: Sequence[str], *, label: str = "", lines: int = 1, after: str = ""
) -> str:
    """Return a question [HTML] with boxes to tick or a label to write beside, and room below.

    There are `lines` to write on, and `after` comes last [HTML], such as room for a reason.
    """
    if choices:
        room = list_html(choices, is_numbered=True)
    else:
        room = f'<p class="beside"><span>{html.escape(label)}</span></p>'
    return f'<div class="labkit-paper">{ask}{room}{lines * LINE}{after}</div>'


def because(lines: int = 1) -> str:
    """Return room for a reason."""
    words = html.escape(PAPER_WORDS["because"])
    return f'<p class="beside"><span>{words}</span></p>{(lines - 1) * LINE}'


def comparison_form(rows: Iterable[tuple[str, str]]) -> str:
    """Return what the runs showed, with room for what was predicted and what to make of it."""
    cells = [(name.capitalize(), "", showed, "") for name, showed in rows]
    heads = ("", *(PAPER_WORDS[key] for key in ("you said", "run showed", "so")))
    return table_form("", heads, cells, widths=(20, 27, 30, 23), tall=True)


def table_form(
    title: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    widths: Sequence[int],
    tall: bool = False,
) -> str:
    """Return a table with cells to fill in, two lines of writing in each if it is `tall`."""
    look = "labkit-form labkit-tall" if tall else "labkit-form"
    return table_html(heads, rows, caption=title, look=look, widths=widths)

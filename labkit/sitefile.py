"""Site files: a site as TOML text, read and written."""

import os
import tomllib
from pathlib import Path
from typing import Any, Final

import tomli_w

from labkit.errors import Said, SiteError, shortened
from labkit.files import FileError, reason, write_out
from labkit.parts.build import build, table_of
from labkit.shipped import SHIPPED
from labkit.site import Site

LARGEST: Final = 64_000  # bytes that a site file may have; an ordinary one has two thousand
LONGEST_LINE: Final = 500  # characters that a line of it may have
DEMO_SITES: Final = SHIPPED / "lessons" / "sites"  # the folder of the demo ranches


def load_site(path: str | os.PathLike[str]) -> Site:
    """Read a site from a TOML file.

    Raises
    ------
    SiteError
        In one sentence: file, key, value, the rule, and what to write instead. Nothing is built.
    """
    path = Path(path)
    return loads(_text_of(path), file=path.name)


def loads(text: str, *, file: str | None = None) -> Site:
    """Read a site from TOML text; `file` is the name that errors give."""
    try:
        site: Site = build(Site, _table_of(text))
    except SiteError as problem:
        raise problem.located(file=file) from None
    return site


def save_site(site: Site, path: str | os.PathLike[str]) -> None:
    """Write a site to a TOML file that reads back as an equal site."""
    try:
        write_out(Path(path), dumps(site).encode())
    except FileError as problem:
        said = Said(f"not saved at {Path(path).name}")
        raise SiteError("site file", "", said, problem.why) from None


def dumps(site: Site) -> str:
    """Write a site as TOML text; what stands at its default is left out."""
    return tomli_w.dumps(table_of(site))


def demo_names() -> list[str]:
    """Return the names of the demo ranches, or raise SiteError for a damaged installation."""
    names = sorted(path.stem for path in DEMO_SITES.glob("*.toml"))
    if not names:
        rule = f"they belong in {DEMO_SITES}; install labkit again"
        raise SiteError("demo ranches", "", Said("missing"), rule)
    return names


def demo_site(name: str) -> Site:
    """Read one of the demo ranches by its name, such as ``"one_trough"`` or ``"Crooked Gate"``."""
    known = demo_names()
    if name in known:
        return load_site(DEMO_SITES / f"{name}.toml")
    for each in known:
        site = load_site(DEMO_SITES / f"{each}.toml")
        if site.title.casefold() == name.casefold():
            return site
    raise SiteError("demo ranch", "", name, f"write one of {', '.join(map(repr, known))}")


def _text_of(path: Path) -> str:
    """Read a file that may be a site file, and no other."""
    try:
        if not path.exists():
            raise _refused(path.name, "not there", "check the name and the folder")
        if not path.is_file():
            raise _refused(
                path.name, "not a file", "write the name of a site file, which ends in .toml"
            )
        with path.open("rb") as opened:
            data = opened.read(LARGEST + 1)
    except (OSError, ValueError) as problem:
        raise _refused(path.name, "not readable", f"the system says: {reason(problem)}") from None
    return decoded(data, file=path.name)


def decoded(data: bytes, *, file: str) -> str:
    """Return the text of a site file from what it holds, such as an upload."""
    if len(data) > LARGEST:
        raise _refused(file, "too large", f"a site file has at most {LARGEST} bytes")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        rule = f"save it as UTF-8 text (byte {problem.start} is not)"
        raise _refused(file, "not plain text", rule) from None


def _table_of(text: str) -> dict[str, Any]:
    """Read TOML text into a table, and turn its complaints into one sentence."""
    if not text.strip():
        raise SiteError("site file", "", Said("empty"), "begin from one of the demo ranches")
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > LONGEST_LINE:
            raise SiteError(
                "site file",
                "",
                Said("too wide"),
                f"line {number} has more than {LONGEST_LINE} characters",
            )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise SiteError(
            "site file", "", Said("nested too deeply"), "a site has tables three deep at most"
        ) from None
    except ValueError as problem:
        said = shortened(str(problem), 120)
        rule = f"quote every text and quantity; the reader says: {said[:1].lower()}{said[1:]}"
        raise SiteError("site file", "", Said("not written as TOML"), rule) from None


def _refused(file: str, what: str, rule: str) -> SiteError:
    return SiteError("site file", "", Said(what), rule, file=file)

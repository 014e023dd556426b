"""A small table that reads the same as text in a terminal and as HTML in a notebook."""

import html
from collections.abc import Iterable, Sequence
from typing import Final

import attrs

from labkit.pages.looks import look

LOOKS: Final = f"<style>{' '.join(look('tables.css').split())}</style>"
"""How a table looks in a page; words stand to the left and under one another."""


@attrs.frozen(kw_only=True)
class Rows:
    """A table of words."""

    title: str
    headers: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]

    def lines(self) -> list[str]:
        """Return the table as lines of text, each column aligned; numbers stand to the right."""
        table = [self.headers, *self.cells]
        widths = [max(len(row[k]) for row in table) for k in range(len(self.headers))]
        right = [all(row[k][:1].isdigit() for row in self.cells) for k in range(len(self.headers))]
        return [_aligned(row, widths, right) for row in table]

    def html(self) -> str:
        """Return the table as HTML, with its title as the caption that a screen reader reads."""
        table = table_html(self.headers, self.cells, look="labkit-table", named=self.title)
        return f"{LOOKS}{table}"

    def _repr_html_(self) -> str:
        return self.html()


def table_html(
    heads: Iterable[str],
    rows: Iterable[Iterable[str]],
    *,
    caption: str = "",
    named: str = "",
    look: str = "",
    widths: Iterable[int] = (),
) -> str:
    """Return a table of words as HTML: a class, its columns' names and widths [percent].

    In a table that is `named` for a screen reader, each row goes by its first cell.
    """
    top = "".join(f'<th scope="col">{html.escape(name)}</th>' for name in heads)
    body = ""
    for row in rows:
        cells = [f"<td>{html.escape(cell)}</td>" for cell in row]
        if named:
            first, *_ = row
            cells[0] = f'<th scope="row">{html.escape(first)}</th>'
        body += f"<tr>{''.join(cells)}</tr>"
    columns = "".join(f'<col style="width:{width}%">' for width in widths)
    inside = f"<caption><b>{html.escape(caption)}</b></caption>" if caption else ""
    inside += f"<caption>{html.escape(named)}</caption>" if named else ""
    inside += f"<colgroup>{columns}</colgroup>" if columns else ""
    inside += f"<thead><tr>{top}</tr></thead><tbody>{body}</tbody>"
    return f'<table class="{look}">{inside}</table>' if look else f"<table>{inside}</table>"


def list_html(lines: Iterable[str], *, is_numbered: bool = False) -> str:
    """Return lines as a list of HTML."""
    tag = "ol" if is_numbered else "ul"
    return f"<{tag}>{''.join(f'<li>{html.escape(line)}</li>' for line in lines)}</{tag}>"


def _aligned(row: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    """Set the cells of a row to the widths of their columns."""
    cells = (
        cell.rjust(width) if to_right else cell.ljust(width)
        for cell, width, to_right in zip(row, widths, right, strict=True)
    )
    return "  ".join(cells).rstrip()

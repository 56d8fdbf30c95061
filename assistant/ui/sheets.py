"""Tables in writing: as CSV to reckon with, and as HTML to read and print. Pure."""

import csv
import io
import re
from collections.abc import Iterable
from html import escape
from typing import Final, NamedTuple

Row = tuple[object, ...]

STYLE: Final = (
    "body{font:16px sans-serif;margin:2em;color:#000;background:#fff}"
    "table{border-collapse:collapse;margin:1em 0}"
    "th,td{border:1px solid #000;padding:.3em .6em;text-align:left}"
    "h1{font-size:1.4em}h2{font-size:1.1em;margin-top:1.5em}"
)
_FIGURE: Final = re.compile(r"[+-]\d+(\.\d+)?")


class Section(NamedTuple):
    title: str
    heads: tuple[str, ...]
    rows: tuple[Row, ...]


def csv_of(sections: Iterable[Section]) -> str:
    """One table after another, each under its title; a cell never begins a formula."""
    out = io.StringIO()
    writer = csv.writer(out)
    for title, heads, rows in sections:
        writer.writerows([(title,), heads, *(_safe(row) for row in rows), ()])
    return out.getvalue()


def _safe(row: Row) -> Row:
    """Spreadsheets run text that begins like a formula, after blanks too; figures keep their signs."""
    return tuple(f"'{cell}" if isinstance(cell, str) and _runs(cell) else cell for cell in row)


def _runs(cell: str) -> bool:
    begins = cell.lstrip()[:1]
    return begins in ("=", "@") or (begins in ("+", "-") and _FIGURE.fullmatch(cell) is None)


def html_of(section: Section) -> str:
    """A heading and a table."""
    title, heads, rows = section
    if not rows:
        return f"<h2>{escape(title)}</h2><p>None.</p>"
    lines = "".join(_row(row, "td") for row in rows)
    return f"<h2>{escape(title)}</h2><table>{_row(heads, 'th')}{lines}</table>"


def _row(cells: Iterable[object], tag: str) -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(str(cell))}</{tag}>" for cell in cells) + "</tr>"

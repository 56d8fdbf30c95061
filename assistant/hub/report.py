"""The day in writing, as HTML to print and CSV to reckon with. Pure."""

import csv
import io
from collections.abc import Iterable
from datetime import datetime
from html import escape
from typing import Final

from assistant.hub.patterns_told import sure
from assistant.hub.views import BoardView

_STYLE: Final = (
    "body{font:16px sans-serif;margin:2em;color:#000;background:#fff}"
    "table{border-collapse:collapse;margin:1em 0}"
    "th,td{border:1px solid #000;padding:.3em .6em;text-align:left}"
    "h1{font-size:1.4em}h2{font-size:1.1em;margin-top:1.5em}"
)
Row = tuple[object, ...]
Section = tuple[str, tuple[str, ...], tuple[Row, ...]]
"""Title, column heads, rows."""


def sections(view: BoardView) -> tuple[Section, ...]:
    """The day as tables; one list for both forms of the report."""
    today = view.today
    minutes = "" if today.pair_minutes is None else round(today.pair_minutes, 1)
    return (
        (
            "Pairs",
            ("made", "not made", "minutes a pair", "lenses broken", "lenses set aside"),
            ((today.pairs_done, today.not_made, minutes, today.broken, today.set_aside),),
        ),
        (
            "Benches",
            ("bench", "helper", "pairs made", "orders waiting", "last verdict", "entries in the record"),
            tuple(
                (b.name, b.helper or "", b.pairs_done, b.waiting, _verdict(b.verdict), b.lines)
                for b in view.benches
            ),
        ),
        (
            "Steps right at the first try",
            ("step", "done", "right at first", "per cent"),
            tuple((s.doing, s.done, s.first_time, round(100 * s.first_time / s.done)) for s in today.steps),
        ),
        (
            "Pockets running out",
            ("pocket", "sphere D", "cylinder D", "left to plan from"),
            tuple((k.pocket, f"{k.sphere:+.2f}", f"{k.cylinder:+.2f}", k.left) for k in today.running_out),
        ),
        (
            "Pockets to count",
            ("pocket", "by the books", "found", "by bench"),
            tuple((d.pocket, d.expected, d.found, d.bench) for d in today.to_count),
        ),
        (
            "Patterns",
            ("whose", "bench", "helper", "what many pairs show", "evidence", "how sure", "what to do"),
            tuple(
                (p.about, p.bench or "all", p.helper or "", p.what, p.evidence, sure(p), p.todo)
                for p in today.patterns
            ),
        ),
        (
            "Questions still open",
            ("bench", "question", "reasons"),
            tuple((q.bench, q.title, "; ".join(q.reasons)) for q in view.questions),
        ),
    )


def _verdict(verdict: object) -> str:
    passed = getattr(verdict, "passed", None)
    return "" if passed is None else "pass" if passed else "fail"


def as_csv(view: BoardView) -> str:
    """One table after another, each under its title; a cell never begins a formula."""
    out = io.StringIO()
    writer = csv.writer(out)
    for title, heads, rows in sections(view):
        writer.writerows([(title,), heads, *(_safe(row) for row in rows), ()])
    return out.getvalue()


def _safe(row: Row) -> tuple[object, ...]:
    """Spreadsheets run text that begins with = or @; figures keep their signs."""
    return tuple(f"'{cell}" if isinstance(cell, str) and cell[:1] in ("=", "@") else cell for cell in row)


def as_html(view: BoardView, at: datetime) -> str:
    """A page that needs nothing else."""
    body = "".join(_table(*section) for section in sections(view))
    title = escape(f"{view.kit}, {at:%Y-%m-%d}")
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        f"<style>{_STYLE}</style></head><body><h1>{title}</h1>"
        f"<p>Clinic {escape(view.clinic)}, as known at {at:%H:%M}.</p>{body}</body></html>"
    )


def _table(title: str, heads: tuple[str, ...], rows: tuple[Row, ...]) -> str:
    if not rows:
        return f"<h2>{escape(title)}</h2><p>None.</p>"
    lines = "".join(_row(row, "td") for row in rows)
    return f"<h2>{escape(title)}</h2><table>{_row(heads, 'th')}{lines}</table>"


def _row(cells: Iterable[object], tag: str) -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(str(cell))}</{tag}>" for cell in cells) + "</tr>"

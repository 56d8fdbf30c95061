"""The day in writing, as HTML to print and CSV to reckon with. Pure."""

from datetime import date, datetime
from html import escape
from typing import Final

from assistant.hub.patterns_told import sure
from assistant.hub.views import BoardView, DifferenceView, VerdictView
from assistant.hub.words import helper_sign
from assistant.ui.sheets import STYLE, Section, csv_of, html_of

UNNAMED: Final = "clinic"
"""A clinic that was given no name: the report does not speak of it."""


def sections(view: BoardView) -> tuple[Section, ...]:
    """The day as tables; one list for both forms of the report."""
    today = view.today
    minutes = "" if today.pair_minutes is None else round(today.pair_minutes, 1)
    return (
        Section(
            "Pairs",
            ("made", "not made", "minutes a pair", "lenses broken", "lenses set aside"),
            ((today.pairs_done, today.not_made, minutes, today.broken, today.set_aside),),
        ),
        Section(
            "Benches",
            (
                "bench",
                "helper",
                "pairs made",
                "orders waiting",
                "last pair",
                "verdict",
                "figure",
                "cause",
                "entries",
            ),
            tuple(
                (b.name, helper_sign(b.helper), b.pairs_done, b.waiting, *_verdict(b.verdict), b.lines)
                for b in view.benches
            ),
        ),
        Section(
            "Steps right at the first try",
            ("step", "done", "right at first", "per cent"),
            tuple((s.doing, s.done, s.first_time, 100 * s.first_time // s.done) for s in today.steps),
        ),
        Section(
            "Pockets running out",
            ("pocket", "sphere D", "cylinder D", "left to plan from"),
            (
                *(
                    (k.pocket, f"{k.sphere:+.2f}", f"{k.cylinder:+.2f}", max(0, k.left))
                    for k in today.running_out
                ),
                *(((f"and {today.running_out_more} more", "", "", ""),) if today.running_out_more else ()),
            ),
        ),
        Section(
            "Pockets to count",
            ("pocket", "by the books", "found", "by bench"),
            tuple(_difference(d) for d in today.to_count),
        ),
        Section(
            "Patterns",
            ("whose", "bench", "helper", "what many pairs show", "evidence", "how sure", "what to do"),
            tuple(
                (
                    p.about,
                    p.bench or "all",
                    "" if p.helper is None else helper_sign(p.helper),
                    p.what,
                    p.evidence,
                    sure(p),
                    p.todo,
                )
                for p in today.patterns
            ),
        ),
        Section(
            "Questions still open",
            ("bench", "question", "reasons"),
            tuple((q.bench, q.title, "; ".join(q.reasons)) for q in view.questions),
        ),
    )


def _difference(d: DifferenceView) -> tuple[object, ...]:
    if d.expected < 0:
        return (d.pocket, f"{-d.expected} more taken than can have been there", "", d.bench)
    return (d.pocket, d.expected, d.found, d.bench)


def _verdict(verdict: VerdictView | None) -> tuple[str, str, str, str]:
    """Case, verdict, the figure that decided, and the likeliest cause."""
    if verdict is None:
        return ("", "", "", "")
    cause = verdict.causes[0] if verdict.causes else ""
    return (verdict.case, "pass" if verdict.passed else "fail", verdict.short, cause)


def day_of(view: BoardView, at: datetime) -> date:
    """The day that the report tells of: the one the benches opened, though it be written after midnight."""
    began = view.today.began
    return (datetime.fromtimestamp(began) if began else at).date()


def as_csv(view: BoardView) -> str:
    """One table after another, each under its title; a cell never begins a formula."""
    return csv_of(sections(view))


def as_html(view: BoardView, at: datetime) -> str:
    """A page that needs nothing else."""
    body = "".join(html_of(section) for section in sections(view))
    day = day_of(view, at)
    title = escape(f"{view.kit}, {day:%Y-%m-%d}")
    known = f"{at:%H:%M}" if at.date() == day else f"{at:%Y-%m-%d %H:%M}"
    clinic = "" if view.clinic == UNNAMED else f"Clinic: {escape(view.clinic)}. "
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        f"<style>{STYLE}</style></head><body><h1>{title}</h1>"
        f"<p>{clinic}As known at {known}.</p>{body}</body></html>"
    )

"""A judged pair in figures and words, the worst figure first. Pure."""

from typing import Final

from assistant.hub.story import Verdict
from assistant.hub.views import VerdictView
from assistant.hub.words import CAUSES, ROWS
from assistant.optics.tolerance import RowVerdict
from assistant.workflow.checking import PairCheck

NOT_RIGHT: Final = "not right: "
"""Stands before a figure that is out of its tolerance."""


def verdict_view(verdict: Verdict | None, offset_s: float) -> VerdictView | None:
    if verdict is None:
        return None
    check = verdict.check
    rows = verdict_rows(check)
    return VerdictView(
        case=verdict.case,
        at=verdict.at + offset_s,
        passed=check.passed,
        short=rows[0],
        rows=list(rows),
        causes=[] if check.passed else [CAUSES[code] for code in check.codes],
    )


def verdict_rows(check: PairCheck) -> tuple[str, ...]:
    """Every figure that was judged with what is allowed; failed ones first, then by the share used up."""
    eyes = [found for found in (check.right, check.left) if found is not None]
    rows = [(row, f"{found.eye.value} ") for found in eyes for row in found.judgement.rows]
    rows += [(row, "") for row in check.rows]
    rows.sort(key=lambda one: (one[0].passed, -one[0].used))
    measured = (
        f"centres {check.centres_error_mm:+.1f} mm from the frame's, heights {check.height_mm:.1f} mm apart"
    )
    told = tuple(_row(row, whose) for row, whose in rows)
    lens_failed = any(not row.passed for row, _ in rows)
    return (*told, measured) if check.passed or lens_failed else (measured, *told)


def _row(row: RowVerdict, whose: str) -> str:
    name, unit = ROWS[row.kind]
    digits = 0 if row.kind == "axis" and row.error == round(row.error) else 1 if row.kind == "axis" else 2
    verdict = "" if row.passed else NOT_RIGHT
    error = f"{row.error:+.{digits}f}" if row.error else f"{0.0:.{digits}f}"
    return f"{verdict}{whose}{name} {error}{unit} (allowed {row.limit:.3g})"

"""What the hub's views say, as short lines for a screen or a printer. Pure: times come in as arguments."""

from datetime import datetime
from typing import Final

from assistant.hub.patterns_told import sure
from assistant.hub.verdict_told import NOT_RIGHT
from assistant.hub.views import (
    BenchView,
    BoardView,
    DifferenceView,
    PatternView,
    QuestionView,
    StepView,
    TodayView,
)
from assistant.hub.words import helper_sign

LATE: Final = "LATE"
MOST_STEPS: Final = 6
"""Steps that are named as going wrong; the day report holds them all."""


def length_of_time(seconds: float) -> str:
    """Minutes and seconds up to an hour, hours and minutes beyond: `1:05`, `2 h 10`, never below 0."""
    whole = max(0, int(seconds))
    if whole < 3600:
        return f"{whole // 60}:{whole % 60:02d}"
    return f"{whole // 3600} h {whole % 3600 // 60:02d}"


def o_clock(at: float) -> str:
    """Local time of day; a question mark for a moment that no calendar has."""
    try:
        return f"{datetime.fromtimestamp(at):%H:%M}"
    except (ValueError, OverflowError, OSError):
        return "?"


def helper_of(bench: BenchView) -> str:
    return helper_sign(bench.helper)


def work_of(bench: BenchView) -> str:
    """Case, eye and step."""
    case = "" if bench.case is None else f"case {bench.case}, "
    eye = "" if bench.eye is None else f"{bench.eye} eye: "
    return f"{case}{eye}{bench.doing}"


def place_of(bench: BenchView) -> str:
    """How far on its way; nothing where the way is one step."""
    return f"step {bench.place} of {bench.places}" if bench.places > 1 else ""


def is_late(bench: BenchView, now: float) -> bool:
    known = bench.budget_s is not None and bench.step_since > 0
    return (
        known
        and bench.connected
        and bench.asked_at is None
        and now - bench.step_since > (bench.budget_s or 0.0)
    )


def time_of(bench: BenchView, now: float) -> str:
    """Time on the step against its budget, and the word once it is over; or how long the question waits."""
    if not bench.step_since or not bench.connected:
        return ""
    if bench.asked_at is not None:
        return f"waits for you {length_of_time(now - bench.asked_at)}"
    spent = length_of_time(now - bench.step_since)
    if bench.budget_s is None:
        return spent
    late = f" {LATE}" if is_late(bench, now) else ""
    return f"{spent} of {length_of_time(bench.budget_s)}{late}"


def connection_of(bench: BenchView, now: float) -> str:
    """Whether it is heard, or since when not."""
    if bench.connected:
        return "connected"
    if bench.heard_at is None:
        return "not heard since the board started"
    return f"AWAY since {o_clock(bench.heard_at)} ({length_of_time(now - bench.heard_at)})"


def verdict_of(bench: BenchView) -> str:
    """The last pair judged, with the figure that decided."""
    verdict = bench.verdict
    if verdict is None:
        return "none judged yet"
    if verdict.passed:
        return f"case {verdict.case} passed, {verdict.short}"
    return f"case {verdict.case} FAILED, {verdict.short.removeprefix(NOT_RIGHT)}"


def cause_of(bench: BenchView) -> str:
    """What probably went wrong with the last pair; empty where nothing did."""
    verdict = bench.verdict
    return verdict.causes[0] if verdict is not None and verdict.causes else ""


def last_of(bench: BenchView) -> str:
    """Verdict and cause in one."""
    return ": ".join(part for part in (verdict_of(bench), cause_of(bench)) if part)


def done_of(bench: BenchView) -> str:
    return f"{bench.pairs_done} made, {bench.waiting} waiting"


def counted(count: int, what: str, ending: str = "s") -> str:
    """`1 pair`, `2 pairs`."""
    return f"{count} {what}{'' if count == 1 else ending}"


def bench_line(bench: BenchView, now: float) -> str:
    """One bench in one line."""
    parts = (
        f"{bench.name} [{helper_of(bench)}]",
        work_of(bench),
        place_of(bench),
        time_of(bench, now),
        f"last pair: {last_of(bench)}",
        connection_of(bench, now),
        bench.trouble,
    )
    return "; ".join(part for part in parts if part)


def question_line(question: QuestionView, now: float) -> str:
    """Who asks what, and since when."""
    case = "" if question.case is None else f", case {question.case}"
    waits = "answer on its way" if question.answered else f"waits {length_of_time(now - question.asked_at)}"
    return f"{question.bench}{case}: {question.title} ({waits})"


def question_lines(question: QuestionView) -> tuple[str, ...]:
    """All that is needed to answer it."""
    eye = "" if question.eye is None else f", {question.eye} eye"
    return (
        f"helper {helper_sign(question.helper)}, {question.doing}{eye}",
        *(f"why: {reason}" for reason in question.reasons),
        *(f"plan: {row}" for row in question.plan),
        *(f"reading: {row}" for row in question.readings),
        f"yes: {question.yes_does}",
        f"no: {question.no_does}",
    )


def head_line(view: BoardView) -> str:
    away = sum(not bench.connected for bench in view.benches)
    gone = f", {away} AWAY" if away else ""
    return f"{view.kit}  {o_clock(view.now)}  {counted(len(view.benches), 'bench', 'es')}{gone}"


def day_lines(today: TodayView) -> tuple[str, ...]:
    """What was made today, in a few figures."""
    minutes = "" if today.pair_minutes is None else f", {today.pair_minutes:.1f} minutes each"
    return (
        f"{counted(today.pairs_done, 'pair')} done{minutes}",
        f"{today.not_made} sent back or given up",
        f"lenses: {today.broken} broken, {today.set_aside} set aside",
    )


def first_time_lines(today: TodayView) -> tuple[str, ...]:
    """Steps that do not always go right at the first try, worst first."""
    wrong = [step for step in today.steps if step.first_time < step.done]
    if not wrong:
        return ("every step right at the first try",) if today.steps else ()
    return tuple(_step_line(step) for step in wrong[:MOST_STEPS])


def _step_line(step: StepView) -> str:
    share = 100 * step.first_time // step.done
    return f"{step.doing}: {step.first_time} of {step.done} ({share}%)"


def running_out_lines(today: TodayView) -> tuple[str, ...]:
    rows = [
        f"pocket {pocket.pocket} ({pocket.sphere:+.2f}/{pocket.cylinder:+.2f}): "
        + (f"{pocket.left} left" if pocket.left > 0 else "none left")
        for pocket in today.running_out
    ]
    more = today.running_out_more
    return (*rows, *((f"and {counted(more, 'more pocket')}",) if more else ()))


def to_count_lines(today: TodayView) -> tuple[str, ...]:
    return tuple(_difference(d) for d in today.to_count)


def _difference(d: DifferenceView) -> str:
    if d.expected < 0:
        return f"pocket {d.pocket}: {-d.expected} more taken than can have been there, last by {d.bench}"
    return f"pocket {d.pocket}: the books say {d.expected}, {d.bench} found {d.found} at {o_clock(d.at)}"


def pattern_lines(pattern: PatternView) -> tuple[str, ...]:
    """Whose fault, where; from what and how sure; what to do."""
    where = "all benches" if pattern.bench is None else f"bench {pattern.bench}"
    who = "" if pattern.helper is None else f", helper {helper_sign(pattern.helper)}"
    return (f"{where}{who}: {pattern.what}", f"{pattern.evidence}; {sure(pattern)} sure", pattern.todo)


def day_parts(today: TodayView) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The day under its headings; a heading without lines has nothing to tell."""
    patterns = tuple(" | ".join(pattern_lines(pattern)) for pattern in today.patterns)
    return (
        ("Today", day_lines(today)),
        ("Patterns", patterns),
        ("Right at the first try", first_time_lines(today)),
        ("To count", to_count_lines(today)),
        ("Running out", running_out_lines(today)),
    )

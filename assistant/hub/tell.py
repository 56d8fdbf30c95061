"""From stories and ledger to what the board shows. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from assistant.hub import views as v
from assistant.hub.ledger import Ledger
from assistant.hub.story import Story, Tries, Verdict
from assistant.kit.bank import Bank, Ints
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.power import Power
from assistant.workflow.state import Pair

LAST_ONES: Final = 1
"""A pocket runs out when no more than this may still be promised."""
MOST_POCKETS: Final = 24
GOOD: Final = "handed_over"


@dataclass(frozen=True, slots=True)
class Seen:
    """A bench as the board knows it now."""

    story: Story
    offset_s: float
    connected: bool
    heard_at: float | None
    answered: int = 0
    """The question whose answer waits to be heard; 0 for none."""
    trouble: str = ""


def bench_view(seen: Seen) -> v.BenchView:
    story, bench = seen.story, seen.story.bench
    item = bench.current
    return v.BenchView(
        name=story.name,
        helper=bench.day.helper if bench.day is not None else None,
        case=bench.pair.order.case if bench.pair is not None else None,
        eye=item.eye.value if item.eye is not None else None,
        step=item.step,
        step_since=bench.step_at + seen.offset_s if bench.step_at else 0.0,
        budget_s=bench.kit.time_budget_s.get(item.step),
        verdict=_verdict_view(story.verdict, seen.offset_s),
        connected=seen.connected,
        heard_at=seen.heard_at,
        clock_off_s=seen.offset_s,
        lines=story.seq,
        pairs_done=sum(closed.outcome == GOOD for closed in story.closed_today),
        waiting=len(bench.queue),
        asks=bench.question is not None,
        trouble=seen.trouble,
    )


def _verdict_view(verdict: Verdict | None, offset_s: float) -> v.VerdictView | None:
    if verdict is None:
        return None
    return v.VerdictView(
        case=verdict.case,
        at=verdict.at + offset_s,
        passed=verdict.passed,
        rows=list(verdict.rows),
        causes=list(verdict.causes),
    )


def question_view(seen: Seen) -> v.QuestionView | None:
    """The question this bench waits with; None if it waits with none."""
    story, question = seen.story, seen.story.bench.question
    if question is None:
        return None
    pair = story.bench.pair
    texts = {} if pair is None else {reason.code: reason.text for reason in pair.plan.reasons}
    return v.QuestionView(
        bench=story.name,
        line=story.question_line,
        code=question.code,
        asked_at=story.question_at + seen.offset_s,
        case=pair.order.case if pair is not None else None,
        step=replace(story.bench, question=None).current.step,
        reasons=[texts.get(code, code) for code in question.reasons],
        plan=[] if pair is None else _plan_rows(pair),
        readings=[] if pair is None else _reading_rows(pair, story.verdict),
        answered=seen.answered == story.question_line,
    )


def _plan_rows(pair: Pair) -> list[str]:
    rows = []
    for eye in Eye:
        plan = pair.plan.eye(eye)
        lens = "none" if plan.lens is None else f"{_power(plan.target)} from pocket {plan.lens.pocket}"
        blur = "" if plan.blur_d is None else f", blur {plan.blur_d:.2f} D"
        rows.append(
            f"{eye.value}: ordered {_power(plan.ordered)}, needs {_power(plan.needed)}, lens {lens}{blur}"
        )
    frame = pair.plan.frame
    if frame is None:
        return [*rows, "frame: none"]
    base = f" base {frame.base}" if frame.base else ""
    return [
        *rows,
        f"frame {frame.centre_distance_mm:g} mm: imbalance {frame.horizontal_imbalance:.2f}{base},"
        f" {frame.vertical_imbalance:.2f} vertical",
    ]


def _reading_rows(pair: Pair, verdict: Verdict | None) -> list[str]:
    rows = []
    for eye in pair.eyes:
        work = pair.work(eye)
        if work.reading is not None:
            rows.append(f"{eye.value} reads {_power(work.reading)}")
        if work.depth_mm is not None:
            pin = "" if work.pin_mm is None else f", pin {work.pin_mm:g} mm"
            rows.append(f"{eye.value} slot {work.depth_mm:g} mm deep{pin}")
    judged = verdict is not None and pair.check is not None and verdict.case == pair.order.case
    return [*rows, *(verdict.rows if judged and verdict is not None else ())]


def _power(power: Power | None) -> str:
    return "none" if power is None else str(power)


def today_view(
    seen: Sequence[Seen], ledger: Ledger, promised: Ints, kit: Kit, patterns: Sequence[str]
) -> v.TodayView:
    stories = [one.story for one in seen]
    closed = [done for story in stories for done in story.closed_today]
    minutes = [(done.ended_at - done.started_at) / 60.0 for done in closed if done.outcome == GOOD]
    return v.TodayView(
        pairs_done=len(minutes),
        not_made=len(closed) - len(minutes),
        pair_minutes=sum(minutes) / len(minutes) if minutes else None,
        steps=_steps(stories),
        broken=sum(story.broken_today for story in stories),
        set_aside=sum(story.set_aside_today for story in stories),
        running_out=_running_out(kit.bank, ledger.there - promised),
        to_count=[
            v.DifferenceView(pocket=d.pocket, expected=d.expected, found=d.found, bench=d.bench, at=d.at)
            for d in ledger.differences
        ],
        patterns=list(patterns),
    )


def _steps(stories: Sequence[Story]) -> list[v.StepView]:
    """Steps by the share that went right at the first try, worst first."""
    total: dict[str, Tries] = {}
    for story in stories:
        for step, tries in story.tries.items():
            known = total.get(step, Tries())
            total[step] = Tries(known.done + tries.done, known.first_time + tries.first_time)
    worst_first = sorted(total.items(), key=lambda pair: (pair[1].first_time / pair[1].done, pair[0]))
    return [v.StepView(step=step, done=t.done, first_time=t.first_time) for step, t in worst_first]


def _running_out(bank: Bank, left: Ints) -> list[v.PocketView]:
    """Pockets with few left that had more when packed, emptiest first."""
    rows = np.flatnonzero((left <= LAST_ONES) & (bank.count > left))
    order = sorted((int(left[row]), int(bank.pocket[row]), int(row)) for row in rows)
    return [
        v.PocketView(
            pocket=pocket, sphere=float(bank.sphere[row]), cylinder=float(bank.cylinder[row]), left=count
        )
        for count, pocket, row in order[:MOST_POCKETS]
    ]

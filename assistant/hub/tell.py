"""From stories and ledger to what the board shows of benches and of the day. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from assistant.hub import views as v
from assistant.hub.ledger import Ledger
from assistant.hub.patterns_told import pattern_view
from assistant.hub.story import Story, Tries
from assistant.hub.verdict_told import verdict_view
from assistant.hub.words import DOING, TRIED
from assistant.kit.bank import Bank, Ints
from assistant.kit.profile import Kit
from assistant.optics.patterns import Pattern
from assistant.workflow.agenda import trail

LAST_ONES: Final = 1
"""A pocket runs out when no more than this may still be promised."""
SAME_DAY_S: Final = 12 * 3600.0
"""Benches that opened their days within so long of each other work the same day."""
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

    @property
    def day_at(self) -> float:
        """When its day was opened, by the board's clock; 0 for none."""
        return self.story.day_at + self.offset_s if self.story.day_at else 0.0

    @property
    def last_word(self) -> float:
        return last_word(self.story, self.offset_s, self.heard_at)


def last_word(story: Story, offset_s: float, heard_at: float | None) -> float:
    """When something was last known of a bench, by the board's clock."""
    return max(heard_at or 0.0, story.at + offset_s)


def day_began(seen: Sequence[Seen], now: float) -> float:
    """When the last bench opened its day, by the board's clock; 0 for none yet. No clock tells of the future."""
    return max((one.day_at for one in seen if one.day_at <= now), default=0.0)


def of_today(seen: Sequence[Seen], last: float) -> list[Seen]:
    """Benches of the day that is on, or was the last. No midnight ends it: a clinic may work past it.

    Out of it are those that opened their day long before the last one did, and were not heard of since.
    """
    return [one for one in seen if one.day_at > last - SAME_DAY_S or one.last_word >= last]


def bench_view(seen: Seen, today: bool = True) -> v.BenchView:
    """`today`: whether what it made is of today."""
    story, bench = seen.story, seen.story.bench
    under = replace(bench, question=None)
    item = under.current
    way, place = trail(under)
    return v.BenchView(
        name=story.name,
        helper=bench.day.helper if bench.day is not None else None,
        case=bench.pair.order.case if bench.pair is not None else None,
        eye=item.eye.value if item.eye is not None else None,
        step=item.step,
        doing=DOING[item.step],
        place=place + 1,
        places=len(way),
        step_since=bench.step_at + seen.offset_s if bench.step_at else 0.0,
        budget_s=bench.kit.time_budget_s.get(item.step),
        verdict=verdict_view(story.verdict, seen.offset_s),
        connected=seen.connected,
        heard_at=seen.heard_at,
        clock_off_s=seen.offset_s,
        lines=story.seq,
        pairs_done=sum(closed.outcome == GOOD for closed in story.closed_today if today),
        waiting=len(bench.queue),
        asked_at=story.question_at + seen.offset_s if bench.question is not None else None,
        trouble=seen.trouble,
    )


def today_view(
    seen: Sequence[Seen], last: float, ledger: Ledger, promised: Ints, kit: Kit, patterns: Sequence[Pattern]
) -> v.TodayView:
    """`seen`: the benches of today, `last`: when the last of them began."""
    stories = [one.story for one in seen]
    closed = [done for story in stories for done in story.closed_today]
    minutes = [(done.ended_at - done.started_at) / 60.0 for done in closed if done.outcome == GOOD]
    running_out = _running_out(kit.bank, ledger.there - promised)
    return v.TodayView(
        began=min((one.day_at for one in seen if last - SAME_DAY_S < one.day_at <= last), default=0.0),
        pairs_done=len(minutes),
        not_made=len(closed) - len(minutes),
        pair_minutes=sum(minutes) / len(minutes) if minutes else None,
        steps=_steps(stories),
        broken=sum(story.broken_today for story in stories),
        set_aside=sum(story.set_aside_today for story in stories),
        running_out=running_out[:MOST_POCKETS],
        running_out_more=max(0, len(running_out) - MOST_POCKETS),
        to_count=[
            v.DifferenceView(pocket=d.pocket, expected=d.expected, found=d.found, bench=d.bench, at=d.at)
            for d in ledger.differences
        ],
        patterns=[pattern_view(pattern) for pattern in patterns],
    )


def _steps(stories: Sequence[Story]) -> list[v.StepView]:
    """Steps by the share that went right at the first try, worst first."""
    total: dict[str, Tries] = {}
    for story in stories:
        for step, tries in story.tries.items():
            known = total.get(step, Tries())
            total[step] = Tries(known.done + tries.done, known.first_time + tries.first_time)
    worst_first = sorted(total.items(), key=lambda pair: (pair[1].first_time / pair[1].done, pair[0]))
    return [
        v.StepView(step=step, doing=TRIED.get(step, DOING[step]), done=t.done, first_time=t.first_time)
        for step, t in worst_first
    ]


def _running_out(bank: Bank, left: Ints) -> list[v.PocketView]:
    """Pockets with few left that had more when packed, emptiest first."""
    rows = np.flatnonzero((left <= LAST_ONES) & (bank.count > left))
    order = sorted((int(left[row]), int(bank.pocket[row]), int(row)) for row in rows)
    return [
        v.PocketView(
            pocket=pocket, sphere=float(bank.sphere[row]), cylinder=float(bank.cylinder[row]), left=count
        )
        for count, pocket, row in order
    ]

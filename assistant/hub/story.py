"""One bench's record, folded with the workflow's own code, and what the board needs to tell of it. Pure.

Nothing here is added to what the bench does: every figure is read off the bench before and after a line.
"""

from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.workflow.advance import advance
from assistant.workflow.checking import PairCheck
from assistant.workflow.entry import NOT_THERE
from assistant.workflow.events import Answered, DayOpened, Event, StockCounted, TakenBack
from assistant.workflow.happened import axis_errors, judged, newly_cut
from assistant.workflow.state import Bench, Closed, Pair
from assistant.workflow.tries import at_first_try, finished, spoilt

_GONE: Final = "stock_gone"
"""The refusal that follows a pocket found empty."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Lenses that went into (above 0) or out of a pocket."""

    at: float
    """Seconds since 1970-01-01 UTC by the bench's clock."""
    row: int
    """Of the bank."""
    change: int


@dataclass(frozen=True, slots=True)
class CountedThere:
    """A pocket that somebody looked into: `found` lenses are in it."""

    at: float
    row: int
    found: int
    by_supervisor: bool
    counted_at: float = 0.0
    """By the board's clock, where the board had it written down."""


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """A helper who had found a pocket empty takes it back: a slip of the hand."""

    row: int


Told = Moved | CountedThere | Withdrawn
"""What a line says of a pocket."""


@dataclass(frozen=True, slots=True)
class Tries:
    """How often a step was finished today, and how often without a refusal on the way."""

    done: int = 0
    first_time: int = 0


@dataclass(frozen=True, slots=True)
class Verdict:
    """The last pair judged at this bench."""

    case: str
    at: float
    check: PairCheck


@dataclass(frozen=True, slots=True)
class Story:
    """A bench as far as its record is known here. `told` is what the last line moved."""

    name: str
    bench: Bench
    seq: int = 0
    at: float = 0.0
    question_line: int = 0
    """The line that opened the present question; 0 for none."""
    question_at: float = 0.0
    question_entry: str = ""
    """What was keyed or said that opened it; empty for a call."""
    spoilt: bool = False
    """Something was refused or taken back at the present step."""
    tries: dict[str, Tries] = field(default_factory=dict)
    verdict: Verdict | None = None
    verdicts: int = 0
    """How many pairs were judged, rescued ones each time."""
    day_began: Bench | None = None
    """The bench as the present day found it."""
    day_at: float = 0.0
    """When the present day was opened; 0 for none."""
    told: tuple[Told, ...] = ()
    errors: tuple[AxisError, ...] = ()
    """Of the pair judged by the last line, if one was: each lens once for every slot cut in it."""
    newly_cut: frozenset[Eye] = frozenset()
    """Eyes whose lens has a slot that no check has read yet."""

    @property
    def closed_today(self) -> tuple[Closed, ...]:
        before = 0 if self.day_began is None else len(self.day_began.closed)
        return self.bench.closed[before:]

    @property
    def broken_today(self) -> int:
        return self.bench.stock.broken - (0 if self.day_began is None else self.day_began.stock.broken)

    @property
    def set_aside_today(self) -> int:
        before = 0 if self.day_began is None else len(self.day_began.stock.blanks)
        return len(self.bench.stock.blanks) - before


def begun(name: str, kit: Kit) -> Story:
    """A bench of whose record nothing is known yet."""
    return Story(name, Bench(kit, Stock.packed(kit.bank)))


def continued(story: Story, seq: int, event: Event) -> Story:
    """The story after line `seq`. Pure; never raises for a line that follows."""
    before = story.bench
    after, _ = advance(before, event)
    asked = after.question is not None and before.question is None
    pair = judged(before, event, after)
    cut = newly_cut(story.newly_cut, before, event, after)
    # a day that is opened anew, because a language was brought, goes on
    opened = isinstance(event, DayOpened) and (before.day is None or before.day.date != event.date)
    return replace(
        story,
        bench=after,
        seq=seq,
        at=event.at,
        question_line=_question_line(story, after, seq, asked),
        question_at=event.at if asked else story.question_at,
        question_entry=_entry(event) if asked else story.question_entry,
        spoilt=spoilt(story.spoilt, before, event, after),
        tries=_tries({} if opened else story.tries, story, event, after),
        verdict=_verdict(pair, event.at) if pair is not None else story.verdict,
        verdicts=story.verdicts + (pair is not None),
        day_began=before if opened else story.day_began,
        day_at=event.at if opened else story.day_at,
        told=_told(before, after, event),
        errors=() if pair is None else axis_errors(story.name, after, pair, event.at, cut),
        newly_cut=cut if pair is None else frozenset(),
    )


def _entry(event: Event) -> str:
    return event.text if isinstance(event, Answered) else ""


def _question_line(story: Story, after: Bench, seq: int, asked: bool) -> int:
    if asked:
        return seq
    return 0 if after.question is None else story.question_line


def _tries(tries: dict[str, Tries], story: Story, event: Event, after: Bench) -> dict[str, Tries]:
    item = finished(story.bench, event, after)
    if item is None:
        return tries
    known = tries.get(item.step, Tries())
    clean = at_first_try(story.spoilt, story.bench, after)
    return {**tries, item.step: Tries(known.done + 1, known.first_time + clean)}


def _verdict(pair: Pair, at: float) -> Verdict | None:
    return None if pair.check is None else Verdict(pair.order.case, at, pair.check)


def _told(before: Bench, after: Bench, event: Event) -> tuple[Told, ...]:
    """What this line says about pockets: lenses that moved, and pockets that were looked into."""
    counted = _counted(before, after, event)
    if after.stock is before.stock:
        return counted
    change = after.stock.there - before.stock.there
    if isinstance(event, TakenBack):
        # nothing else puts lenses into a pocket that were not out of it
        slips = (change > 0) & (after.stock.out == before.stock.out)
        if slips.any():
            return tuple(Withdrawn(int(row)) for row in np.flatnonzero(slips))
    looked_into = {count.row for count in counted}
    rows = [int(row) for row in np.flatnonzero(change) if int(row) not in looked_into]
    return (*counted, *(Moved(event.at, row, int(change[row])) for row in rows))


def _counted(before: Bench, after: Bench, event: Event) -> tuple[CountedThere, ...]:
    bank = before.kit.bank
    match event:
        case StockCounted(pocket=pocket, count=count) if after is not before:
            return (CountedThere(event.at, bank.row_of(pocket), count, True, event.counted_at),)
        case Answered(step="fetch", text=text) if text == NOT_THERE and _found_empty(before, after):
            eye = before.current.eye
            lens = before.pair.plan.eye(eye).lens if before.pair is not None and eye is not None else None
            return () if lens is None else (CountedThere(event.at, bank.row_of(lens.pocket), 0, False),)
        case _:
            return ()


def _found_empty(before: Bench, after: Bench) -> bool:
    return before.current.step == "fetch" and after.refusal is not None and after.refusal.code == _GONE

"""One bench at work: the record on disk and the fold over it. An event is on disk before anything shows."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Self

from assistant.journal.errors import RecordFailed
from assistant.journal.events import EVENTS
from assistant.journal.file import Journal
from assistant.journal.recovery import Recovery
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.order import Order
from assistant.workflow.advance import Advance, advance
from assistant.workflow.effects import Effect, Say, Signal, Tone
from assistant.workflow.events import DayOpened, Event, OrderHandedOver
from assistant.workflow.present import present
from assistant.workflow.state import Bench

Clock = Callable[[], float]
RECORD = "record.jsonl"


@dataclass(frozen=True, slots=True)
class Opening:
    """What opening a bench found: how many lines were taken up again, and what had to be mended."""

    lines: int
    recovery: Recovery


class Session:
    """Owns one bench's record and its state. Use it as a context manager."""

    def __init__(self, kit: Kit, journal: Journal[Event], events: Iterable[Event], clock: Clock) -> None:
        self._journal, self._clock = journal, clock
        self.bench = Bench(kit, Stock.packed(kit.bank))
        self._foreseen: tuple[Bench, Event, Advance] | None = None
        self.question_line = 0
        """The line of the record that opened the present question; 0 for none."""
        for line, event in enumerate(events, 1):
            self._follow(line, event)

    @classmethod
    def open(cls, folder: Path, name: str, kit: Kit, clock: Clock) -> tuple[Self, Opening]:
        """Open the record in `folder` and fold it. Raises what `Journal.open` raises."""
        journal, lines, recovery = Journal.open(folder / RECORD, EVENTS, name)
        session = cls(kit, journal, (line.event for line in lines), clock)
        return session, Opening(len(lines), recovery)

    def now(self) -> float:
        return self._clock()

    def submit(self, event: Event) -> tuple[Effect, ...]:
        """Put `event` on disk, then take the step. If the disk refuses, nothing has happened."""
        try:
            line = self._journal.append(event)
        except RecordFailed as refusal:
            self.trouble = str(refusal)
            return (Signal(Tone.WRONG), Say("record-disk-full"), *present(self.bench))
        self.trouble = ""
        return self._follow(line, event)

    def _follow(self, line: int, event: Event) -> tuple[Effect, ...]:
        asked_before = self.bench.question is not None
        self.bench, effects = self.foreseen(event)
        if self.bench.question is None:
            self.question_line = 0
        elif not asked_before:
            self.question_line = line
        return effects

    def foreseen(self, event: Event) -> Advance:
        """What `event` would do now; taking the step afterwards does not work it out again."""
        known = self._foreseen
        if known is None or known[0] is not self.bench or known[1] is not event:
            known = self._foreseen = (self.bench, event, advance(self.bench, event))
        return known[2]

    @property
    def lines(self) -> int:
        """How many lines the record has."""
        return self._journal.seq

    def taken_up_again(self, opening: Opening) -> tuple[Effect, ...]:
        """What the helper must know about how the record was found; nothing when all is well."""
        if opening.recovery.clean:
            return ()
        self.trouble = " ".join(opening.recovery.sentences)
        return (Signal(Tone.WAIT), Say("record-mended"))

    def begin_day(
        self, date: str, orders: Iterable[Order] = (), brought: Mapping[str, str] = MappingProxyType({})
    ) -> tuple[Effect, ...]:
        """Open the day if this date is not open yet, hand over orders not seen before, and show the step.

        Where other languages were `brought` since, the day is opened anew: its checks come again, the language among
        them.
        """
        opening: tuple[Effect, ...] = ()
        day = self.bench.day
        if day is None or day.date != date or list(day.brought.items()) != list(brought.items()):
            opening = self.submit(DayOpened(at=self.now(), date=date, brought=dict(brought)))
        for order in orders:
            if order not in self.bench.orders:
                self.submit(OrderHandedOver(at=self.now(), order=order))
        return opening or present(self.bench)

    trouble: str = ""
    """Why the last event is not on disk, in a sentence; empty while all is well."""

    def close(self) -> None:
        self._journal.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

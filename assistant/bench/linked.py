"""A session with a board: lenses are asked for before they are promised, and answers come from outside.

`advance` is pure, so what an event would promise is known before it happens. Only then is the board asked,
and only while it is there; otherwise the bench plans on what it last knew of the others.
"""

import queue
import threading
import time
from collections.abc import Iterable, Iterator, Mapping
from typing import Final, TextIO

import numpy as np

from assistant.bench.session import Clock, Session
from assistant.bench.uplink import WITHIN_S, Uplink
from assistant.hub.protocol import Answer, Counted, Mail
from assistant.journal.file import Journal
from assistant.kit.profile import Kit
from assistant.workflow.effects import Effect
from assistant.workflow.events import BankShared, Event, StockCounted, SupervisorAnswered
from assistant.workflow.present import present
from assistant.workflow.state import Bench

MOST_TRIES: Final = 6
"""Other benches may take a lens between two tries; then the bench plans on what it knows."""


class LinkedSession(Session):
    """`uplink` is set once the record is open; without one this is a plain session."""

    uplink: Uplink | None = None
    unpaired = False
    """A board was asked for, and none could be paired with."""
    _unasked = False
    """The last entry promises lenses that the board did not grant."""

    def __init__(self, kit: Kit, journal: Journal[Event], events: Iterable[Event], clock: Clock) -> None:
        self._counts: set[tuple[int, float]] = set()
        """The board's counts that the record holds; each comes more than once."""
        super().__init__(kit, journal, events, clock)

    def _follow(self, line: int, event: Event) -> tuple[Effect, ...]:
        if isinstance(event, StockCounted):
            self._counts.add((event.pocket, event.counted_at))
        return super()._follow(line, event)

    @property
    def alone(self) -> bool:
        """A board is wanted and not there: lenses are planned on what was last known."""
        return self.unpaired if self.uplink is None else self._unasked or not self.uplink.connected

    @property
    def board_trouble(self) -> str:
        """Why the bench is alone, in a sentence for the supervisor; empty unless one was called."""
        called = self.alone and self.bench.question is not None
        return self.uplink.trouble if called and self.uplink is not None else ""

    def submit(self, event: Event) -> tuple[Effect, ...]:
        if self.uplink is None:
            return super().submit(event)
        agreed, before = self._agreed(self.uplink, event), self.bench
        effects = super().submit(event)
        self._unasked = not agreed and bool(promises(before, self.bench))
        self.uplink.wake(asking=self.question_line > 0)
        return effects

    def _agreed(self, uplink: Uplink, event: Event) -> bool:
        """Whether what `event` would promise is free by the board's word, which must come in time."""
        until = time.monotonic() + WITHIN_S
        for _ in range(MOST_TRIES):
            if not (uplink.connected or self._is_news(uplink.elsewhere)):
                return False
            if self._would_promise(event):
                self._learn(uplink.elsewhere)
            wanted = self._would_promise(event)
            if not wanted:
                return True
            left_s = until - time.monotonic()
            reply = uplink.reserve(self.lines + 1, wanted, free(self.bench, wanted), left_s)
            if reply is None:
                return False
            if reply.granted:
                return True
            uplink.elsewhere = reply.elsewhere
        return False

    def _would_promise(self, event: Event) -> dict[int, int]:
        return promises(self.bench, self.foreseen(event)[0])

    def _is_news(self, elsewhere: Mapping[int, int] | None) -> bool:
        return elsewhere is not None and dict(elsewhere) != dict(self.bench.elsewhere)

    def _learn(self, elsewhere: Mapping[int, int] | None) -> None:
        """Put what the others hold in the record, if it is news."""
        if elsewhere is not None and self._is_news(elsewhere):
            super().submit(BankShared(at=self.now(), elsewhere=dict(elsewhere)))

    def received(self, mail: Mail) -> tuple[Effect, ...]:
        """Take up what the board sent; nothing for an answer to a question that is not open any more.

        Nothing either for a count that changes nothing at this step: the helper need not hear it all again.
        """
        match mail:
            case Answer(question=question) if question == self.question_line:
                return self.submit(
                    SupervisorAnswered(at=self.now(), yes=mail.yes, code=mail.code, reason=mail.reason)
                )
            case Counted(pocket=pocket, counted_at=at) if (pocket, at) not in self._counts:
                asked_for = present(self.bench)
                effects = self.submit(
                    StockCounted(at=self.now(), pocket=pocket, count=mail.count, counted_at=at)
                )
                return effects if self.trouble or present(self.bench) != asked_for else ()
            case _:
                return ()


def promises(before: Bench, after: Bench) -> dict[int, int]:
    """Pockets from which `after` promises more than `before`, and how many lenses more."""
    if after.stock is before.stock:
        return {}
    more = after.stock.promised - before.stock.promised
    bank = before.kit.bank
    return {int(bank.pocket[row]): int(more[row]) for row in np.flatnonzero(more > 0)}


def free(bench: Bench, pockets: Mapping[int, int]) -> dict[int, int]:
    """By this bench's own book: what is in these pockets and not promised."""
    available = bench.stock.available
    return {pocket: int(available[bench.kit.bank.row_of(pocket)]) for pocket in pockets}


class Arrivals:
    """Lines of the input and the board's mail in one queue, each as it comes."""

    def __init__(self) -> None:
        self._waiting: queue.SimpleQueue[str | Mail | None] = queue.SimpleQueue()

    def deliver(self, mail: Mail) -> None:
        self._waiting.put(mail)

    def read(self, source: TextIO) -> Iterator[str | Mail]:
        """Until the input ends."""
        threading.Thread(target=self._read, args=(source,), name="input", daemon=True).start()
        while (came := self._waiting.get()) is not None:
            yield came

    def _read(self, source: TextIO) -> None:
        for line in source:
            self._waiting.put(line)
        self._waiting.put(None)

    def now(self) -> list[Mail]:
        """The mail that has come; for a program that asks instead of waiting."""
        came: list[Mail] = []
        while not self._waiting.empty():
            item = self._waiting.get()
            if item is not None and not isinstance(item, str):
                came.append(item)
        return came

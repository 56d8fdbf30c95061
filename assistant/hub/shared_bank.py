"""The shared bank: what all records together tell of it, and lenses kept for a bench about to promise them.

A promise stands in the bench's own record once its line has come here, and falls when the pair is given up.
Until the line comes, a reservation keeps the lens, released by the line or by time.
"""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np

from assistant.hub.known import Known
from assistant.hub.ledger import Ledger
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Reserve, Reserved
from assistant.hub.store import Reservation, Store, StoredLine
from assistant.hub.story import Story
from assistant.kit.bank import Bank, Ints

MOST_KEPT: Final = 8
"""Lines of one bench that lenses are kept for and that have not come yet; then the oldest falls."""
PROMISES_LAST_S: Final = 1800.0
"""Promises and reservations of a bench not heard of for so long no longer keep a lens from the others."""


class SharedBank:
    def __init__(
        self, bank: Bank, benches: Mapping[str, Known], store: Store, clock: Callable[[], float]
    ) -> None:
        """`benches` is looked at each time, never changed."""
        self.ledger = Ledger(bank)
        self._bank, self._benches, self._store, self._clock = bank, benches, store, clock
        self._kept = store.reservations()
        self._rows = {int(pocket): row for row, pocket in enumerate(bank.pocket)}

    def take(self, stored: StoredLine, after: Story) -> None:
        """Enter what one line tells."""
        self.ledger.take(stored.bench, stored.seq, stored.offset_s, after.told)

    def settle(self, bench: str, seq: int) -> None:
        """The record is known as far as line `seq`: what it promises need not be kept beside it."""
        before = self._kept.get(bench, ())
        self._keep(bench, [kept for kept in before if kept.line > seq])

    def _keep(self, bench: str, kept: list[Reservation]) -> None:
        if kept == self._kept.get(bench, []):
            return
        self._store.reserve(bench, kept)
        self._kept[bench] = kept

    def forget(self, bench: str) -> None:
        """As though nothing of this bench's record had come."""
        self._kept.pop(bench, None)
        self.ledger.forget(bench)

    def require_pocket(self, pocket: int) -> None:
        """Raises `NotDone` for a pocket that the bank has not."""
        if pocket not in self._rows:
            raise NotDone(400, "pocket", f"pocket {pocket} is not in the bank")

    def reserve(self, bench: str, request: Reserve) -> Reserved:
        """Keep these lenses for this bench, if they are there for it.

        What was kept for this line or a later one falls: what the bench would have written is not written.

        Raises `NotDone`, and has then changed nothing.
        """
        written = self._benches[bench].story.seq
        if request.line <= written:
            raise NotDone(409, "line", f"line {request.line} of bench {bench} is written already")
        for pocket in request.wanted:
            self.require_pocket(pocket)
        elsewhere = self.elsewhere(bench)
        granted = all(
            request.free.get(pocket, 0) - elsewhere.get(pocket, 0) >= lenses
            for pocket, lenses in request.wanted.items()
        )
        before = [kept for kept in self._kept.get(bench, ()) if kept.line < request.line]
        now = [Reservation(request.line, dict(request.wanted), self._clock())] if granted else []
        self._keep(bench, [*before, *now][-MOST_KEPT:])
        return Reserved(granted=granted, elsewhere=elsewhere)

    def elsewhere(self, bench: str) -> dict[int, int]:
        """Pocket to lenses that this bench's own book counts and others took, promised or reserved."""
        own = self._benches[bench].story.bench.stock.there
        held = own - self.ledger.there + self.promised(besides=bench)
        return {int(self._bank.pocket[row]): int(held[row]) for row in np.flatnonzero(held > 0)}

    def promised(self, besides: str | None = None) -> Ints:
        """Promised or reserved by every bench heard of lately, `besides` one; shape (pockets,)."""
        now = self._clock()
        total = np.zeros(len(self._bank), dtype=np.int64)
        for name, known in self._benches.items():
            if name != besides and now - known.last_word <= PROMISES_LAST_S:
                total += known.story.bench.stock.promised
        reserved = [kept for name, all_kept in self._kept.items() if name != besides for kept in all_kept]
        for kept in reserved:
            if now - kept.at <= PROMISES_LAST_S:
                for pocket, lenses in kept.lenses.items():
                    total[self._rows[pocket]] += lenses
        return total

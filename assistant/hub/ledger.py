"""The shared bank as all benches' lines together tell it. Pure.

Each bench counts down its own book from the case as packed; the ledger adds the books up. A count is a fact
about the pocket at its moment, so it is set among the movements of all benches by time. Times are the
benches' own, brought to one clock before they come here; a line that arrives late takes its own place, and
what it explains is no difference any more.
"""

import bisect
from dataclasses import dataclass, field

import numpy as np

from assistant.hub.story import CountedThere, Moved
from assistant.kit.bank import Bank, Ints

Entry = tuple[float, str, int, int, int | None, bool]
"""When, bench, line, change; and for a count what was found, and whether the supervisor found it."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A pocket whose books do not agree with what was found in it."""

    pocket: int
    expected: int
    found: int
    bench: str
    at: float


@dataclass(slots=True)
class _Pocket:
    packed: int
    there: int
    entries: list[Entry] = field(default_factory=list)
    difference: tuple[int, Entry] | None = None
    seen_empty: bool = False
    """By a helper, and no lens came back since."""

    def add(self, entry: Entry) -> None:
        if not self.entries or self.entries[-1][:3] <= entry[:3]:
            self.entries.append(entry)
            self._follow(entry)
            return
        bisect.insort(self.entries, entry, key=lambda known: known[:3])
        self._again()

    def forget(self, bench: str) -> None:
        kept = [entry for entry in self.entries if entry[1] != bench]
        if len(kept) < len(self.entries):
            self.entries = kept
            self._again()

    def _again(self) -> None:
        self.there, self.difference, self.seen_empty = self.packed, None, False
        for known in self.entries:
            self._follow(known)

    def _follow(self, entry: Entry) -> None:
        found, by_supervisor = entry[4], entry[5]
        if found is None:
            self._moved(entry[3])
            return
        if found != self.there and not by_supervisor:
            self.difference = (self.there, entry)
        elif by_supervisor or not self.seen_empty:
            self.difference = None
        self.there = found
        self.seen_empty = found == 0 and not by_supervisor

    def _moved(self, change: int) -> None:
        """A lens cannot come out of an empty pocket: it was out before, and the clocks are not that exact."""
        if self.seen_empty and self.there + change < 0:
            expected, entry = self.difference or (0, None)
            self.difference = None if entry is None or expected + change == 0 else (expected + change, entry)
            return
        self.there += change
        self.seen_empty = self.seen_empty and change <= 0


class Ledger:
    """What is in each pocket of the shared bank, shape (pockets,)."""

    def __init__(self, bank: Bank) -> None:
        self._bank = bank
        self._there = np.array(bank.count, dtype=np.int64)
        self._pockets: dict[int, _Pocket] = {}

    def take(self, bench: str, line: int, offset_s: float, told: tuple[Moved | CountedThere, ...]) -> None:
        """Enter what one line tells; `offset_s` brings the bench's clock to the board's."""
        for fact in told:
            count = fact if isinstance(fact, CountedThere) else None
            change = fact.change if isinstance(fact, Moved) else 0
            found = None if count is None else count.found
            by_board = 0.0 if count is None else count.counted_at
            entry = (
                by_board or fact.at + offset_s,
                bench,
                line,
                change,
                found,
                count is not None and count.by_supervisor,
            )
            self._enter(fact.row, entry)

    def forget(self, bench: str) -> None:
        """As though no line of this bench had come."""
        for row, pocket in self._pockets.items():
            pocket.forget(bench)
            self._there[row] = pocket.there

    def _enter(self, row: int, entry: Entry) -> None:
        packed = int(self._bank.count[row])
        pocket = self._pockets.setdefault(row, _Pocket(packed, packed))
        pocket.add(entry)
        self._there[row] = pocket.there

    @property
    def there(self) -> Ints:
        """Lenses in each pocket by all the books; below 0 where more were taken than there can have been."""
        return self._there

    @property
    def differences(self) -> tuple[Difference, ...]:
        """Pockets to count, by number: found empty against the books, or overdrawn."""
        rows = sorted(row for row, known in self._pockets.items() if known.difference or known.there < 0)
        return tuple(self._difference(row, self._pockets[row]) for row in rows)

    def _difference(self, row: int, pocket: _Pocket) -> Difference:
        number = int(self._bank.pocket[row])
        if pocket.difference is None:
            at, bench = pocket.entries[-1][0], pocket.entries[-1][1]
            return Difference(number, pocket.there, 0, bench, at)
        expected, entry = pocket.difference
        return Difference(number, expected, entry[4] or 0, entry[1], entry[0])

"""The shared bank as all benches' lines together tell it. Pure.

Each bench counts down its own book from the case as packed; the ledger adds the books up. A count is a fact
about the pocket at its moment, so it is set among the movements of all benches by time. Times are the
benches' own, brought to one clock before they come here; a line that arrives late takes its own place, and
what it explains is no difference any more.
"""

import bisect
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from assistant.hub.story import CountedThere, Moved, Told, Withdrawn
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


class _State(NamedTuple):
    """A pocket after one of its entries."""

    there: int
    difference: tuple[int, Entry] | None = None
    seen_empty: bool = False
    """By a helper, and no lens came back since."""


def _after(state: _State, entry: Entry) -> _State:
    found, by_supervisor = entry[4], entry[5]
    if found is None:
        return _moved(state, entry[3])
    difference = state.difference
    if found != state.there and not by_supervisor:
        difference = (state.there, entry)
    elif by_supervisor or not state.seen_empty:
        difference = None
    return _State(found, difference, found == 0 and not by_supervisor)


def _moved(state: _State, change: int) -> _State:
    """A lens cannot come out of an empty pocket: it was out before, and the clocks are not that exact."""
    there, difference, seen_empty = state
    if seen_empty and there + change < 0:
        expected, entry = difference or (0, None)
        still = None if entry is None or expected + change == 0 else (expected + change, entry)
        return _State(there, still, seen_empty)
    return _State(there + change, difference, seen_empty and change <= 0)


@dataclass(slots=True)
class _Pocket:
    """Entries in order of time. States are followed only when asked for, from the first that is not known:
    records are read bench by bench, and almost every entry then comes before others."""

    packed: int
    entries: list[Entry] = field(default_factory=list)
    states: list[_State] = field(default_factory=list)

    def add(self, entry: Entry) -> None:
        at = bisect.bisect_right(self.entries, entry[:3], key=lambda known: known[:3])
        self.entries.insert(at, entry)
        del self.states[at:]

    def forget(self, bench: str) -> bool:
        """Whether any entry went."""
        kept = [entry for entry in self.entries if entry[1] != bench]
        gone = len(kept) < len(self.entries)
        if gone:
            self.entries, self.states = kept, []
        return gone

    def withdraw(self, bench: str) -> None:
        """What a helper of this bench found in it last is as though it were not."""
        found = [one for one in self.entries if one[1] == bench and one[4] is not None and not one[5]]
        last = max(found, key=lambda entry: entry[2], default=None)
        self.entries, self.states = [one for one in self.entries if one is not last], []

    @property
    def state(self) -> _State:
        state = self.states[-1] if self.states else _State(self.packed)
        for entry in self.entries[len(self.states) :]:
            state = _after(state, entry)
            self.states.append(state)
        return state


class Ledger:
    """What is in each pocket of the shared bank, shape (pockets,)."""

    def __init__(self, bank: Bank) -> None:
        self._bank = bank
        self._there = np.array(bank.count, dtype=np.int64)
        self._pockets: dict[int, _Pocket] = {}
        self._stale: set[int] = set()
        """Rows whose entries changed since they were last looked at."""

    def take(self, bench: str, line: int, offset_s: float, told: tuple[Told, ...]) -> None:
        """Enter what one line tells; `offset_s` brings the bench's clock to the board's."""
        for fact in told:
            if isinstance(fact, Withdrawn):
                if fact.row in self._pockets:
                    self._pockets[fact.row].withdraw(bench)
                    self._stale.add(fact.row)
                continue
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
        self._stale.update(row for row, pocket in self._pockets.items() if pocket.forget(bench))

    def _enter(self, row: int, entry: Entry) -> None:
        self._pockets.setdefault(row, _Pocket(int(self._bank.count[row]))).add(entry)
        self._stale.add(row)

    @property
    def there(self) -> Ints:
        """Lenses in each pocket by all the books; below 0 where more were taken than there can have been."""
        for row in self._stale:
            self._there[row] = self._pockets[row].state.there
        self._stale.clear()
        return self._there

    @property
    def differences(self) -> tuple[Difference, ...]:
        """Pockets to count, by number: found empty against the books, or overdrawn."""
        states = ((row, known.state) for row, known in sorted(self._pockets.items()))
        return tuple(
            self._difference(row, state) for row, state in states if state.difference or state.there < 0
        )

    def _difference(self, row: int, state: _State) -> Difference:
        number = int(self._bank.pocket[row])
        if state.difference is None:
            at, bench = self._pockets[row].entries[-1][:2]
            return Difference(number, state.there, 0, bench, at)
        expected, entry = state.difference
        return Difference(number, expected, entry[4] or 0, entry[1], entry[0])

"""What is in the case now: a fold of movements over the bank as it was packed.

A lens is in its pocket, out of it in somebody's hands, set aside as a blank, or gone. A pair that is planned
promises its lenses first, so that nothing is promised twice; `available` is what may still be promised.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from assistant.kit.bank import Bank, Ints

MOST_LENSES = 1_000_000
"""In one movement; no case holds more, and counts stay far inside what an array can hold."""


class StockError(ValueError):
    """A movement that cannot have happened; the message names pocket, what is there and what was wanted."""


class Move(StrEnum):
    RESERVED = "reserved"
    """Promised to a pair, still in its pocket."""
    RELEASED = "released"
    """A promise given up."""
    TAKEN = "taken"
    """Out of its pocket; an open promise on the pocket is kept by it."""
    RETURNED = "returned"
    """Back in its pocket, whole and uncut."""
    BROKEN = "broken"
    SET_ASIDE = "set_aside"
    """Cut wrongly but whole: a blank with slots."""
    HANDED_OVER = "handed_over"
    """Gone with its wearer."""
    COUNTED = "counted"
    """The supervisor counted the pocket: `count` is what is there."""
    RESTOCKED = "restocked"


@dataclass(frozen=True, slots=True)
class Movement:
    kind: Move
    pocket: int
    count: int = 1
    slots_deg: tuple[float, ...] = ()
    """Of a lens set aside: bearings of its slots from its own dotted line (minus axis)."""


@dataclass(frozen=True, slots=True)
class Blank:
    """A lens set aside: its powers (D), the pocket it came from, its slots' bearings from its dotted line."""

    sphere: float
    cylinder: float
    pocket: int
    slots_deg: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Stock:
    """Counts a row of the bank, shape (pockets,), read-only. `applied` gives the stock after a movement."""

    bank: Bank
    there: Ints
    """In the pocket."""
    promised: Ints
    out: Ints
    """Taken from the pocket and not yet accounted for."""
    blanks: tuple[Blank, ...] = ()
    broken: int = 0
    handed_over: int = 0

    @classmethod
    def packed(cls, bank: Bank) -> "Stock":
        """The case as it was packed."""
        none = _frozen(0 * bank.count)
        return cls(bank, _frozen(bank.count), none, none)

    @property
    def available(self) -> Ints:
        """What may still be promised, shape (pockets,), never negative."""
        return np.asarray(np.maximum(self.there - self.promised, 0), np.int64)

    @property
    def short(self) -> Ints:
        """Promises a count has shown to be empty, shape (pockets,)."""
        return np.asarray(np.maximum(self.promised - self.there, 0), np.int64)

    def at(self, pocket: int) -> int:
        """How many lenses are in a pocket. Raises `StockError` for a pocket that the bank has not."""
        return int(self.there[self._row(pocket)])

    def applied(self, movement: Movement) -> "Stock":
        """The stock after `movement`. Raises `StockError` if it would take what is not there."""
        least = 0 if movement.kind is Move.COUNTED else 1
        if not least <= movement.count <= MOST_LENSES:
            allowed = f"{least} or more" if movement.count < least else f"{MOST_LENSES} or less"
            raise StockError(
                f"pocket {movement.pocket}: count {movement.count} {movement.kind.value}; allowed is {allowed}"
            )
        return _APPLY[movement.kind](self, self._row(movement.pocket), movement)

    def after(self, movements: Iterable[Movement]) -> "Stock":
        """The stock after every movement in turn."""
        stock = self
        for movement in movements:
            stock = stock.applied(movement)
        return stock

    def without(self, pockets: Iterable[int]) -> "Stock":
        """The same stock with these pockets promising nothing: for planning round flagged pockets."""
        there = self.there.copy()
        for pocket in pockets:
            there[self._row(pocket)] = 0
        return replace(self, there=_frozen(there))

    def less(self, elsewhere: Mapping[int, int]) -> "Stock":
        """The same stock with lenses that others hold, by pocket, taken off.

        Raises `StockError` for a pocket that the bank has not, or a number below 0.
        """
        there = self.there.copy()
        for pocket, held in elsewhere.items():
            row = self._row(pocket)
            if held < 0:
                raise StockError(f"pocket {pocket}: {held} held elsewhere; allowed is 0 or more")
            there[row] = max(0, int(there[row]) - held)
        return replace(self, there=_frozen(there))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Stock):
            return NotImplemented
        return (
            self.bank is other.bank
            and np.array_equal(self.there, other.there)
            and np.array_equal(self.promised, other.promised)
            and np.array_equal(self.out, other.out)
            and (self.blanks, self.broken, self.handed_over)
            == (other.blanks, other.broken, other.handed_over)
        )

    __hash__ = None  # type: ignore[assignment]

    def _row(self, pocket: int) -> int:
        try:
            return self.bank.row_of(pocket)
        except KeyError as error:
            raise StockError(str(error.args[0])) from error

    def _moved(self, row: int, *, there: int = 0, promised: int = 0, out: int = 0) -> "Stock":
        return replace(
            self,
            there=_plus(self.there, row, there),
            promised=_plus(self.promised, row, promised),
            out=_plus(self.out, row, out),
        )


def _reserved(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.available[row]), "free to promise")
    return stock._moved(row, promised=movement.count)


def _released(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.promised[row]), "promised")
    return stock._moved(row, promised=-movement.count)


def _taken(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.there[row]), "in the pocket")
    kept = min(movement.count, int(stock.promised[row]))
    return stock._moved(row, there=-movement.count, promised=-kept, out=movement.count)


def _returned(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.out[row]), "out of the pocket")
    return stock._moved(row, there=movement.count, out=-movement.count)


def _broken(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.out[row]), "out of the pocket")
    return replace(stock._moved(row, out=-movement.count), broken=stock.broken + movement.count)


def _set_aside(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.out[row]), "out of the pocket")
    sphere, cylinder = float(stock.bank.sphere[row]), float(stock.bank.cylinder[row])
    blank = Blank(sphere, cylinder, movement.pocket, movement.slots_deg)
    aside = stock._moved(row, out=-movement.count)
    return replace(aside, blanks=(*stock.blanks, *(movement.count * (blank,))))


def _handed_over(stock: Stock, row: int, movement: Movement) -> Stock:
    _require(movement, int(stock.out[row]), "out of the pocket")
    return replace(stock._moved(row, out=-movement.count), handed_over=stock.handed_over + movement.count)


def _counted(stock: Stock, row: int, movement: Movement) -> Stock:
    return stock._moved(row, there=movement.count - int(stock.there[row]))


def _restocked(stock: Stock, row: int, movement: Movement) -> Stock:
    return stock._moved(row, there=movement.count)


_APPLY: dict[Move, Callable[[Stock, int, Movement], Stock]] = {
    Move.RESERVED: _reserved,
    Move.RELEASED: _released,
    Move.TAKEN: _taken,
    Move.RETURNED: _returned,
    Move.BROKEN: _broken,
    Move.SET_ASIDE: _set_aside,
    Move.HANDED_OVER: _handed_over,
    Move.COUNTED: _counted,
    Move.RESTOCKED: _restocked,
}


def _require(movement: Movement, have: int, where: str) -> None:
    if movement.count > have:
        raise StockError(
            f"pocket {movement.pocket}: {movement.count} {movement.kind.value},"
            f" but only {have} {where}; allowed is 1 to {have}"
            if have
            else f"pocket {movement.pocket}: {movement.count} {movement.kind.value}, but none {where}"
        )


def _plus(counts: Ints, row: int, change: int) -> Ints:
    if change == 0:
        return counts
    changed = counts.copy()
    changed[row] += change
    return _frozen(changed)


def _frozen(counts: Ints) -> Ints:
    fixed = np.array(counts, dtype=np.int64)
    fixed.flags.writeable = False
    return fixed

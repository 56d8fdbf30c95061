"""A pocket found empty, and what is heard later of who emptied it."""

import pytest

from assistant.hub.ledger import Ledger
from assistant.hub.story import CountedThere, Moved
from assistant.kit.profile import Kit

Told = tuple[str, Moved | CountedThere]


def one_lens_row(kit: Kit) -> int:
    return next(row for row, count in enumerate(kit.bank.count) if count == 1)


def after(kit: Kit, *told: Told) -> tuple[int, int]:
    """Lenses there and differences to count, of a pocket packed with one lens."""
    ledger = Ledger(kit.bank)
    for line, (bench, fact) in enumerate(told, 1):
        ledger.take(bench, line, 0.0, (fact,))
    return int(ledger.there[one_lens_row(kit)]), len(ledger.differences)


@pytest.mark.parametrize("taken_at", [9.0, 10.5])
def test_the_lens_that_was_taken_meanwhile_explains_it_whichever_clock_was_ahead(
    demo: Kit, taken_at: float
) -> None:
    row = one_lens_row(demo)
    empty = ("crab", CountedThere(10.0, row, 0, by_supervisor=False))
    assert after(demo, empty) == (0, 1)
    assert after(demo, empty, ("heron", Moved(taken_at, row, -1))) == (0, 0)


def test_found_empty_twice_it_still_waits_to_be_counted(demo: Kit) -> None:
    row = one_lens_row(demo)
    empty = [
        (name, CountedThere(at, row, 0, by_supervisor=False))
        for name, at in (("crab", 10.0), ("heron", 20.0))
    ]
    assert after(demo, *empty) == (0, 1)


def test_a_lens_put_back_and_taken_again_is_no_riddle(demo: Kit) -> None:
    row = one_lens_row(demo)
    moves = [("heron", Moved(at, row, change)) for at, change in ((8.0, -1), (12.0, 1), (13.0, -1))]
    assert after(demo, *moves, ("crab", CountedThere(10.0, row, 0, by_supervisor=False))) == (0, 0)


def test_a_second_taking_from_a_counted_pocket_is_overdrawn(demo: Kit) -> None:
    row = one_lens_row(demo)
    counted = ("crab", CountedThere(10.0, row, 1, by_supervisor=True))
    took = [("heron", Moved(at, row, -1)) for at in (11.0, 12.0)]
    assert after(demo, counted, *took) == (-1, 1)

"""Stock is a fold: nothing is promised twice, and every lens is somewhere."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.kit.bank import Bank
from assistant.kit.profile import Kit
from assistant.kit.stock import Blank, Move, Movement, Stock, StockError


def small_bank(*counts: int) -> Bank:
    n = len(counts)
    return Bank(
        np.arange(n, dtype=float),
        np.full(n, -1.0),
        np.array(counts, np.int64),
        np.arange(1, n + 1),
        tuple(f"{i:02d}" for i in range(n)),
    )


def test_a_lens_goes_out_and_comes_back() -> None:
    stock = Stock.packed(small_bank(2, 1))
    taken = stock.after([Movement(Move.RESERVED, 1), Movement(Move.TAKEN, 1)])
    assert taken.available.tolist() == [1, 1]
    assert (taken.at(1), taken.promised.tolist(), taken.out.tolist()) == (1, [0, 0], [1, 0])
    assert taken.applied(Movement(Move.RETURNED, 1)) == stock


def test_a_promise_is_not_given_twice() -> None:
    stock = Stock.packed(small_bank(1)).applied(Movement(Move.RESERVED, 1))
    assert stock.available.tolist() == [0]
    with pytest.raises(StockError, match="pocket 1: 1 reserved, but none free to promise"):
        stock.applied(Movement(Move.RESERVED, 1))
    assert stock.applied(Movement(Move.RELEASED, 1)).available.tolist() == [1]


@pytest.mark.parametrize(
    "kind", [Move.RETURNED, Move.BROKEN, Move.SET_ASIDE, Move.HANDED_OVER, Move.RELEASED]
)
def test_what_is_not_out_cannot_come_back(kind: Move) -> None:
    with pytest.raises(StockError, match="pocket 1"):
        Stock.packed(small_bank(3)).applied(Movement(kind, 1))


def test_unknown_pocket_and_silly_counts_are_refused() -> None:
    stock = Stock.packed(small_bank(3))
    with pytest.raises(StockError, match="pocket 9 is not in the bank"):
        stock.applied(Movement(Move.TAKEN, 9))
    with pytest.raises(StockError, match="allowed is 1 or more"):
        stock.applied(Movement(Move.RESTOCKED, 1, 0))
    with pytest.raises(StockError, match="allowed is 0 or more"):
        stock.applied(Movement(Move.COUNTED, 1, -1))
    with pytest.raises(StockError, match="allowed is 1 to 3"):
        stock.applied(Movement(Move.TAKEN, 1, 4))


def test_a_count_is_believed_and_shows_empty_promises() -> None:
    stock = Stock.packed(small_bank(3)).applied(Movement(Move.RESERVED, 1, 2))
    counted = stock.applied(Movement(Move.COUNTED, 1, 1))
    assert counted.available.tolist() == [0]
    assert counted.short.tolist() == [1]
    assert counted.applied(Movement(Move.RESTOCKED, 1, 5)).available.tolist() == [4]


def test_a_lens_set_aside_is_a_blank_with_its_slots() -> None:
    moves = [Movement(Move.TAKEN, 2), Movement(Move.SET_ASIDE, 2, slots_deg=(40.0,))]
    stock = Stock.packed(small_bank(1, 1)).after(moves)
    assert stock.blanks == (Blank(1.0, -1.0, 2, (40.0,)),)
    assert stock.available.tolist() == [1, 0]


def test_flagged_pockets_promise_nothing(kit: Kit) -> None:
    stock = Stock.packed(kit.bank)
    pocket = int(kit.bank.pocket[5])
    assert stock.without([pocket]).available[5] == 0
    assert stock.available[5] > 0


@given(
    counts=st.lists(st.integers(0, 3), min_size=1, max_size=4),
    moves=st.lists(st.tuples(st.sampled_from(list(Move)), st.integers(1, 4), st.integers(0, 3)), max_size=40),
)
def test_no_history_loses_or_doubles_a_lens(counts: list[int], moves: list[tuple[Move, int, int]]) -> None:
    stock = Stock.packed(small_bank(*counts))
    expected = sum(counts)
    for kind, pocket, count in moves:
        before = stock
        try:
            stock = stock.applied(Movement(kind, pocket, count))
        except StockError:
            assert stock is before
            continue
        if kind is Move.RESTOCKED:
            expected += count
        if kind is Move.COUNTED:
            expected += count - before.at(pocket)
        if kind is Move.RESERVED:
            assert stock.promised.sum() <= stock.there.sum() + stock.short.sum()
            assert (stock.promised <= np.maximum(stock.there, before.promised)).all()
        where = stock.there.sum() + stock.out.sum() + len(stock.blanks) + stock.broken + stock.handed_over
        assert where == expected
        assert (stock.there >= 0).all()
        assert (stock.out >= 0).all()
        assert (stock.promised >= 0).all()
        assert (stock.available <= stock.there).all()


def test_counts_cannot_be_changed_behind_the_folds_back(kit: Kit) -> None:
    stock = Stock.packed(kit.bank)
    with pytest.raises(ValueError, match="read-only"):
        stock.there[0] = 9

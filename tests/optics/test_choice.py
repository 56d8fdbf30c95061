"""The choice against brute force: every pair of every bank small enough to try them all."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.kit.profile import Kit
from assistant.kit.stock import Move, Movement, Stock
from assistant.optics.choice import EQUAL_COSTS, Choice, Pick, Shelf, choose
from assistant.optics.eye import Eye
from assistant.optics.power import OpticsError, Power, blur
from assistant.optics.tolerance import STANDARDS, Standard

ANSI = STANDARDS["ansi_z80_1_2015"]
ISO = STANDARDS["iso_21987_2017"]


def shelf_of(*lenses: tuple[float, float, int]) -> Shelf:
    sphere, cylinder, count = zip(*lenses, strict=True)
    return Shelf(np.array(sphere, float), np.array(cylinder, float), np.array(count, np.int64))


def pick_of(shelf: Shelf, row: int, needed: Power, standard: Standard) -> Pick:
    """The same figures by way of whole power vectors and the standard's own judge."""
    form = needed.minus_form
    worn = Power(float(shelf.sphere[row]), float(shelf.cylinder[row]), form.axis or 180.0)
    exact = bool(standard.power_within(needed, shelf.sphere[[row]], shelf.cylinder[[row]])[0])
    return Pick(row, form.mean - worn.mean, blur(form, worn), exact)


def cost(right: Pick, left: Pick) -> float:
    return right.blur_d**2 + left.blur_d**2 + (right.mean_error_d - left.mean_error_d) ** 2


def minus_added(*picks: Pick) -> float:
    return round(sum(max(p.mean_error_d, 0.0) for p in picks), 8)


def brute_force(
    right: Power, left: Power, shelf: Shelf, standard: Standard, most_blur_d: float
) -> tuple[int, int] | None:
    """Every pair, ranked by the rules as written in the module's docstring."""
    rows = [row for row in range(shelf.sphere.size) if shelf.available[row] > 0]
    sides = [[pick_of(shelf, row, needed, standard) for row in rows] for needed in (right, left)]
    usable = [[p for p in side if p.exact or p.blur_d <= most_blur_d + EQUAL_COSTS] for side in sides]
    pairs = [(r, q) for r, q in itertools.product(*usable) if r.row != q.row or shelf.available[r.row] >= 2]
    pairs = [pair for pair in pairs if pair[0].exact and pair[1].exact] or pairs
    if not pairs:
        return None
    least = min(cost(*pair) for pair in pairs)
    ties = [pair for pair in pairs if cost(*pair) <= least + EQUAL_COSTS]

    def rank(pair: tuple[Pick, Pick]) -> tuple[float, ...]:
        counts = [int(shelf.available[p.row]) for p in pair]
        return minus_added(*pair), -min(counts), -sum(counts), pair[0].row, pair[1].row

    best = min(ties, key=rank)
    return best[0].row, best[1].row


def rows_of(choice: Choice) -> tuple[int, int] | None:
    return None if choice.right is None or choice.left is None else (choice.right.row, choice.left.row)


quarters = st.integers(-12, 12).map(lambda n: n / 4)
lens = st.tuples(
    st.integers(-8, 8).map(lambda n: n / 4), st.integers(-4, 0).map(lambda n: n / 4), st.integers(0, 3)
)
any_power = st.one_of(
    st.builds(Power, quarters),
    st.builds(Power, quarters, st.integers(-6, 6).map(lambda n: n / 4), st.integers(1, 180).map(float)),
    st.builds(Power, st.floats(-3, 3), st.floats(-1.5, 1.5), st.floats(1, 180, exclude_min=True)),
)


@settings(max_examples=400, deadline=None)
@given(
    right=any_power,
    left=any_power,
    lenses=st.lists(lens, min_size=1, max_size=14),
    standard=st.sampled_from([ANSI, ISO]),
    most_blur_d=st.sampled_from([0.25, 0.5, 1.5]),
)
def test_choice_equals_brute_force(
    right: Power, left: Power, lenses: list[tuple[float, float, int]], standard: Standard, most_blur_d: float
) -> None:
    shelf = shelf_of(*lenses)
    found = choose(right, left, shelf, standard=standard, most_blur_d=most_blur_d)
    expected = brute_force(right, left, shelf, standard, most_blur_d)
    if expected is not None:
        assert rows_of(found) == expected
    else:
        assert rows_of(found) is None


@settings(max_examples=40, deadline=None)
@given(
    right=any_power, left=any_power, taken=st.sets(st.integers(0, 590), max_size=60), at=st.integers(0, 500)
)
def test_choice_costs_no_more_than_any_pair_of_a_whole_bank(
    demo: Kit, right: Power, left: Power, taken: set[int], at: int
) -> None:
    """Unpruned: the cost of all pairs of the demonstration bank at once, some pockets empty."""
    bank = demo.bank
    available = bank.count.copy()
    available[list(taken)] = 0
    near = np.abs(bank.sphere + bank.cylinder / 2 - right.mean) < 0.3
    available[near] -= (available[near] > 0) * (at % 3)
    available = np.maximum(available, 0)
    shelf = Shelf(bank.sphere, bank.cylinder, available)
    found = choose(right, left, shelf, standard=ANSI, most_blur_d=0.5)
    assert rows_of(found) == vectorised_brute_force(right, left, shelf)


def vectorised_brute_force(right: Power, left: Power, shelf: Shelf) -> tuple[int, int] | None:
    errors, squares, exacts, usable = [], [], [], []
    for needed in (right.minus_form, left.minus_form):
        error = needed.mean - shelf.sphere - shelf.cylinder / 2
        square = error**2 + ((needed.cylinder - shelf.cylinder) / 2) ** 2
        exact = ANSI.power_within(needed, shelf.sphere, shelf.cylinder)
        errors.append(error)
        squares.append(square)
        exacts.append(exact)
        usable.append((shelf.available > 0) & (exact | (np.sqrt(square) <= 0.5 + EQUAL_COSTS)))
    costs = squares[0][:, None] + squares[1] + (errors[0][:, None] - errors[1]) ** 2
    costs[~(usable[0][:, None] & usable[1])] = np.inf
    lone = np.flatnonzero(shelf.available < 2)
    costs[lone, lone] = np.inf
    both = np.where(exacts[0][:, None] & exacts[1], costs, np.inf)
    costs = both if np.isfinite(both).any() else costs
    if not np.isfinite(costs).any():
        return None
    r, q = np.nonzero(costs <= costs.min() + EQUAL_COSTS)
    minus = np.round(np.maximum(errors[0][r], 0) + np.maximum(errors[1][q], 0), 8)
    counts = np.stack([shelf.available[r], shelf.available[q]])
    first = np.lexsort((q, r, -counts.sum(0), -counts.min(0), minus))[0]
    return int(r[first]), int(q[first])


def test_a_missing_cylinder_is_replaced_at_equal_mean_power() -> None:
    # check-values 11: -2.25/-1.25x90 with cylinders to -0.75 becomes -2.50/-0.75x90, blur 0.250, computed
    shelf = shelf_of((-2.25, -0.75, 5), (-2.50, -0.75, 5), (-2.75, -0.75, 5), (-3.0, 0.0, 5))
    found = choose(Power(-2.25, -1.25, 90), None, shelf, standard=ANSI, most_blur_d=0.5)
    assert found.right is not None
    assert found.right.row == 1
    assert found.right.mean_error_d == pytest.approx(0.0)
    assert found.right.blur_d == pytest.approx(0.250)
    untouched = choose(
        Power(-2.25, -1.25, 90), None, shelf_of((-2.25, -0.75, 1)), standard=ANSI, most_blur_d=0.5
    )
    assert untouched.right is not None
    assert untouched.right.blur_d == pytest.approx(0.354, abs=5e-4)


def test_plus_is_added_before_minus() -> None:
    shelf = shelf_of((-2.25, 0.0, 9), (-2.00, 0.0, 1))
    found = choose(Power(-2.125), None, shelf, standard=ANSI, most_blur_d=0.5)
    assert found.right is not None
    assert shelf.sphere[found.right.row] == -2.00


def test_the_plentiful_pocket_goes_first() -> None:
    shelf = shelf_of((-2.0, 0.0, 1), (-2.0, 0.0, 4), (-2.0, 0.0, 4))
    found = choose(Power(-2.0), Power(-2.0), shelf, standard=ANSI, most_blur_d=0.5)
    assert rows_of(found) == (1, 1)


def test_an_imbalance_is_worse_than_the_same_error_in_both() -> None:
    # -2.00 gives the right eye no error; only with -2.25 are both eyes wrong by the same
    shelf = shelf_of((-2.0, 0.0, 1), (-2.25, 0.0, 3))
    found = choose(Power(-2.0), Power(-2.0), shelf, standard=ANSI, most_blur_d=0.5)
    same, unequal = 2 * 0.25**2, 0.25**2 + 0.25**2
    assert same == unequal  # a tie by cost: less minus added decides
    assert sorted(rows_of(found) or ()) == [0, 1]
    three = shelf_of((-2.0, 0.0, 1), (-2.5, 0.0, 1), (-2.25, 0.0, 3))
    found = choose(Power(-2.375), Power(-2.375), three, standard=ANSI, most_blur_d=0.5)
    assert rows_of(found) == (2, 2)


def test_within_the_standard_goes_before_a_better_balance() -> None:
    # errors +0.12 and -0.10 are both within 0.13; +0.12 and +0.15 would be better balanced, but not within
    shelf = shelf_of((-2.0, 0.0, 5), (-3.0, 0.0, 5), (-3.25, 0.0, 5))
    found = choose(Power(-1.88), Power(-3.10), shelf, standard=ANSI, most_blur_d=0.5)
    assert rows_of(found) == (0, 1)
    assert found.left is not None
    assert found.left.exact


def test_one_last_lens_is_not_given_to_both() -> None:
    shelf = shelf_of((-2.0, 0.0, 1))
    found = choose(Power(-2.0), Power(-2.0), shelf, standard=ANSI, most_blur_d=0.5)
    assert found.right is not None
    assert found.left is None


def test_one_eye_is_still_chosen_where_the_other_has_no_lens() -> None:
    shelf = shelf_of((-2.0, 0.0, 1))
    found = choose(Power(-8.0), Power(-2.0), shelf, standard=ANSI, most_blur_d=0.5)
    assert found.right is None
    assert found.left is not None
    assert choose(None, None, shelf, standard=ANSI, most_blur_d=0.5) == Choice(None, None)


def test_a_lens_in_hand_stays_and_the_other_eye_is_chosen_to_it() -> None:
    shelf = shelf_of((-2.0, 0.0, 1), (-2.25, 0.0, 0), (-2.25, 0.0, 1))
    found = choose(Power(-2.0), Power(-2.0), shelf, standard=ANSI, most_blur_d=0.5, held={Eye.RIGHT: 1})
    assert found.right is not None
    assert (found.right.row, found.right.exact) == (1, False)
    assert found.left is not None
    assert found.left.row != 1  # that pocket is empty


@given(needed=any_power, other=any_power)
@settings(max_examples=150, deadline=None)
def test_stock_is_never_promised_twice(other_kit: Kit, needed: Power, other: Power) -> None:
    """Orders until the bank has nothing near: every promise is one that the stock can keep."""
    stock, bank = Stock.packed(other_kit.bank), other_kit.bank
    for _ in range(6):
        shelf = Shelf(bank.sphere, bank.cylinder, stock.available)
        found = choose(needed, other, shelf, standard=ISO, most_blur_d=0.3)
        for pick in (found.right, found.left):
            if pick is not None:
                stock = stock.applied(Movement(Move.RESERVED, int(bank.pocket[pick.row])))
    assert (stock.promised <= bank.count).all()


def test_arrays_of_different_shapes_are_refused() -> None:
    with pytest.raises(OpticsError, match="one shape"):
        Shelf(np.zeros(3), np.zeros(2), np.zeros(3, np.int64))


def test_blur_is_the_power_vector_distance() -> None:
    needed = Power(-1.0, -2.0, 37.0)
    found = choose(needed, None, shelf_of((-1.25, -1.5, 1)), standard=ANSI, most_blur_d=1.0)
    assert found.right is not None
    assert math.isclose(found.right.blur_d, blur(needed, Power(-1.25, -1.5, 37.0)))


@pytest.mark.parametrize("eye", list(Eye))
def test_a_held_lens_is_not_taken_for_the_other_eye(eye: Eye) -> None:
    """Found by the virtual bench: the right eye, planned again, was promised the left eye's only lens."""
    shelf = shelf_of((-2.0, 0.0, 0), (-6.0, 0.0, 3))
    found = choose(Power(-2.0), Power(-2.0), shelf, standard=ANSI, most_blur_d=0.5, held={eye: 0})
    kept, other = (found.right, found.left) if eye is Eye.RIGHT else (found.left, found.right)
    assert kept is not None
    assert kept.row == 0
    assert other is None

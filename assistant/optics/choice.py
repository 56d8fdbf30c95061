"""Which lenses for a pair, both eyes together, from what is in stock now.

Each lens is turned so that its axis is the needed one, so what is left over has two figures only: the mean
power error e = M needed - M lens and half the cylinder error h = (C needed - C lens) / 2. The blur is their
length b = sqrt(e^2 + h^2), the power-vector distance (Thibos et al. 1997). A missing cylinder is thereby
replaced at equal mean power: e = 0 is nearest.

Cost of a pair: b_right^2 + b_left^2 + (e_right - e_left)^2. Squares, because lost acuity grows with the
square of the blur (MAR as 1 + b^2: Blendowske 2015). The last term makes an imbalance between the eyes
worse than the same error in both; its weight of one is common practice, no source.

A pair of lenses both within the standard's power tolerance goes before any that is not: no supervisor is
asked for what the standard allows. Costs that are equal are decided by, in turn: less minus added that was
not asked for, the fuller of the two emptier pockets, the fuller pockets together, the lower rows.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
import numpy.typing as npt

from assistant.optics.eye import Eye
from assistant.optics.power import Floats, OpticsError, Power
from assistant.optics.tolerance import Standard

EQUAL_COSTS: Final = 1e-9
"""Squared dioptres; costs nearer than this differ by binary rounding only."""
_BLOCK: Final = 500_000
"""Pairs costed at once: 4 MB."""
_FINITE: Final = float(np.finfo(float).max)
_NONE_HELD: Final[Mapping[Eye, int]] = MappingProxyType({})

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Pick:
    """One eye's lens: its row in the bank, and what it leaves over in dioptres."""

    row: int
    mean_error_d: float
    """Needed minus lens."""
    blur_d: float
    exact: bool
    """Within the power tolerance of the standard."""


@dataclass(frozen=True, slots=True)
class Choice:
    """None for an eye that needs no lens or for which there is none near enough."""

    right: Pick | None
    left: Pick | None


@dataclass(frozen=True, slots=True, eq=False)
class Shelf:
    """What may be chosen from: sphere and minus cylinder (D) and free lenses, arrays (rows,)."""

    sphere: Floats
    cylinder: Floats
    available: Ints

    def __post_init__(self) -> None:
        shapes = {self.sphere.shape, self.cylinder.shape, self.available.shape}
        if len(shapes) != 1 or self.sphere.ndim != 1:
            raise OpticsError(f"shelf arrays have shapes {sorted(shapes)}; allowed is one shape (rows,)")


@dataclass(frozen=True, slots=True, eq=False)
class _Candidates:
    rows: Ints
    error: Floats
    square: Floats
    """Squared blur."""
    exact: Bools
    count: Ints

    def kept(self, mask: Bools | Ints | slice) -> "_Candidates":
        return _Candidates(
            self.rows[mask], self.error[mask], self.square[mask], self.exact[mask], self.count[mask]
        )

    def pick(self, index: int) -> Pick:
        return Pick(
            int(self.rows[index]),
            float(self.error[index]),
            float(np.sqrt(self.square[index])),
            bool(self.exact[index]),
        )

    def __len__(self) -> int:
        return int(self.rows.size)


def choose(
    needed_right: Power | None,
    needed_left: Power | None,
    shelf: Shelf,
    *,
    standard: Standard,
    most_blur_d: float,
    held: Mapping[Eye, int] = _NONE_HELD,
) -> Choice:
    """The cheapest pair of lenses (see the module), one lens never given to both eyes.

    Needed powers at the fitted vertex distance, None for an eye without a lens. A lens outside the
    standard's power tolerance is offered up to a blur of `most_blur_d`. `held` names, by eye, the row of a
    lens that has already left its pocket: it stays, and the other eye is chosen to it. If an eye has no
    lens near enough, the other is still chosen, alone; of two eyes after one last lens the right has it,
    unless it is held for the left.
    """
    shelf = _with_held_back(shelf, held)
    right = _candidates(needed_right, shelf, standard, most_blur_d, held.get(Eye.RIGHT))
    left = _candidates(needed_left, shelf, standard, most_blur_d, held.get(Eye.LEFT))
    if len(right) and len(left):
        together = _first_pair(right, left, held)
        if together is not None:
            return Choice(right.pick(together[0]), left.pick(together[1]))
        if Eye.LEFT in held:
            right = right.kept(right.rows != held[Eye.LEFT])
        else:
            left = left.kept(left.rows != _alone(right).row)
    return Choice(
        _alone(right) if len(right) else None,
        _alone(left) if len(left) else None,
    )


def leftover(needed: Power, sphere: npt.ArrayLike, cylinder: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Mean power error (needed minus lens) and blur of lenses at the needed axis, dioptres, arrays (...)."""
    form = needed.minus_form
    s, c = np.asarray(sphere, float), np.asarray(cylinder, float)
    error = form.mean - (s + c / 2.0)
    return np.asarray(error), np.asarray(np.hypot(error, (form.cylinder - c) / 2.0))


def _with_held_back(shelf: Shelf, held: Mapping[Eye, int]) -> Shelf:
    """A held lens counted as one of its pocket's, so that one rule keeps lenses from being given twice."""
    if not held:
        return shelf
    available = shelf.available.copy()
    for row in held.values():
        available[row] += 1
    return Shelf(shelf.sphere, shelf.cylinder, available)


def _candidates(
    needed: Power | None, shelf: Shelf, standard: Standard, most_blur_d: float, held: int | None
) -> _Candidates:
    if needed is None:
        none = np.zeros(0)
        return _Candidates(none.astype(int), none, none, none.astype(bool), none.astype(int))
    error, blur = leftover(needed, shelf.sphere, shelf.cylinder)
    exact = standard.power_within(needed, shelf.sphere, shelf.cylinder)
    usable = (shelf.available > 0) & (exact | (blur <= most_blur_d + EQUAL_COSTS))
    rows = np.flatnonzero(usable) if held is None else np.array([held])
    square = blur[rows] ** 2
    return _Candidates(rows, error[rows], square, exact[rows], shelf.available[rows])


def _first_pair(right: _Candidates, left: _Candidates, held: Mapping[Eye, int]) -> tuple[int, int] | None:
    """Indices of the best pair within tolerance, else of the best pair at all, None if there is no pair."""
    within = (right.exact | (Eye.RIGHT in held), left.exact | (Eye.LEFT in held))
    whole = (np.ones(len(right), bool), np.ones(len(left), bool))
    for keep_right, keep_left in (within, whole):
        found = _best_pair(right.kept(keep_right), left.kept(keep_left))
        if found is not None:
            return int(np.flatnonzero(keep_right)[found[0]]), int(np.flatnonzero(keep_left)[found[1]])
    return None


def _best_pair(right: _Candidates, left: _Candidates) -> tuple[int, int] | None:
    """Indices of the cheapest pair; None if both eyes have only the same last lens."""
    if not (len(right) and len(left)):
        return None
    ceiling = _known_cost(right, left)
    near_right = _pruned(right, ceiling - float(left.square.min()))
    near_left = _pruned(left, ceiling - float(right.square.min()))
    found = _cheapest(right.kept(near_right), left.kept(near_left))
    return None if found is None else (int(near_right[found[0]]), int(near_left[found[1]]))


def _known_cost(right: _Candidates, left: _Candidates) -> float:
    """The cost of a pair that can be had: each eye's least blurred lens with the best partner it finds."""
    to_right = _costs(right.kept(_one(right)), left).min()
    to_left = _costs(right, left.kept(_one(left))).min()
    return float(min(to_right, to_left))


def _one(side: _Candidates) -> slice:
    least = int(np.argmin(side.square))
    return slice(least, least + 1)


def _pruned(side: _Candidates, most_square: float) -> Ints:
    """Indices that can be part of a cheapest pair.

    Exact: a pair costs at least this eye's square plus the least square of the other, so a candidate over
    `most_square` costs more than a pair already known. Of rows that leave over the same, only the two
    fullest (then lowest) can matter: in a pair, any other is replaced by one of the two at the same cost
    and no worse a tie, and two are enough because the other eye takes at most one.
    """
    near = np.flatnonzero(side.square <= most_square + 2 * EQUAL_COSTS)
    near = near[np.lexsort((side.rows[near], -side.count[near], side.square[near], side.error[near]))]
    error, square = side.error[near], side.square[near]
    third = (error[2:] == error[:-2]) & (square[2:] == square[:-2])
    return np.asarray(near[np.concatenate([np.ones(min(2, near.size), bool), ~third])])


def _costs(right: _Candidates, left: _Candidates) -> Floats:
    """Cost of every pair, shape (right, left); infinite where both would take a pocket's only lens."""
    unequal = right.error[:, None] - left.error[None, :]
    costs = right.square[:, None] + left.square[None, :] + unequal * unequal
    costs[(right.rows[:, None] == left.rows[None, :]) & (right.count[:, None] < 2)] = np.inf
    return np.asarray(costs)


def _cheapest(right: _Candidates, left: _Candidates) -> tuple[int, int] | None:
    """Indices of the cheapest pair of all, ties decided; worked through in blocks of bounded size."""
    step = max(1, _BLOCK // len(left))
    least, ties = np.inf, [(np.zeros(0), np.zeros(0, np.int64), np.zeros(0, np.int64))]
    for start in range(0, len(right), step):
        costs = _costs(right.kept(slice(start, start + step)), left)
        least = min(least, float(costs.min()))
        r, q = np.nonzero(costs <= min(least + EQUAL_COSTS, _FINITE))
        ties.append((costs[r, q], r + start, q))
    cost, r, q = (np.concatenate(part) for part in zip(*ties, strict=True))
    equal = cost <= least + EQUAL_COSTS
    r, q = r[equal], q[equal]
    if not r.size:
        return None
    counts = np.stack([right.count[r], left.count[q]])
    minus = _minus_added(right.error[r]) + _minus_added(left.error[q])
    keys = (left.rows[q], right.rows[r], -counts.sum(axis=0), -counts.min(axis=0), minus)
    first = np.lexsort(keys)[0]
    return int(r[first]), int(q[first])


def _alone(side: _Candidates) -> Pick:
    """The best lens of one eye by itself: within tolerance first, then the least blur, ties as for pairs."""
    side = side.kept(side.exact) if side.exact.any() else side
    side = side.kept(side.square <= side.square.min() + EQUAL_COSTS)
    return side.pick(int(np.lexsort((side.rows, -side.count, _minus_added(side.error)))[0]))


def _minus_added(error: Floats) -> Floats:
    """How much more minus (less plus) than needed, dioptres, to nine places."""
    return np.asarray(np.round(np.maximum(error, 0.0), 9))

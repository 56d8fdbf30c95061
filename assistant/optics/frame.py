"""Which frame size: the one whose fixed optical centres ask least of the two eyes together.

The optical centres lie at the frame's centre distance, the pupils at their own; both at the same height.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.optics.order import Order, Purpose
from assistant.optics.power import OpticsError, Power, require_range
from assistant.optics.prism import Imbalance, imbalance
from assistant.optics.tolerance import Standard

EYE_ROTATION_CENTRE_MM: Final = 27.0
"""Lens to the eye's centre of rotation. Near centration PD w / (w + 27), from memory; Kumasi students' near
distances (61.60 for 65.53 mm far) agree to 0.2 mm."""
LEAST_PD_MM: Final = 30.0
MOST_PD_MM: Final = 90.0
_TIE: Final = 1e-9
_NO_LENS: Final = Power(0.0)


@dataclass(frozen=True, slots=True)
class Pupils:
    """Each pupil's distance from the middle of the nose, millimetres, for the distance looked at."""

    right_mm: float
    left_mm: float

    @property
    def distance_mm(self) -> float:
        return self.right_mm + self.left_mm


@dataclass(frozen=True, slots=True)
class FrameChoice:
    centre_distance_mm: float
    imbalance: Imbalance
    """Of one eye alone: what that eye's lens does, which no standard limits."""
    within: bool
    """Within the standard's limits for the pair."""
    share: float
    """Part of the limit used, the worse of horizontal and vertical."""


def near_distance_mm(far_mm: float, working_distance_mm: float) -> float:
    """Centre distance for near work, mm: far w / (w + 27), w from the lens plane.

    Raises `OpticsError` for a working distance outside 100 to 2000 mm.
    """
    w = require_range("near working distance", working_distance_mm, 100.0, 2000.0, " mm")
    return far_mm * w / (w + EYE_ROTATION_CENTRE_MM)


def pupils(order: Order, working_distance_mm: float) -> Pupils:
    """Where the pupils are when the wearer looks at what the pair is for, mm.

    Halves are as given, else equal. For near both move in alike: to the near distance measured, else to
    the one computed. Raises `OpticsError` for a distance outside 30 to 90 mm, a half given without the
    other, or a half outside 10 to 60 mm.
    """
    far = require_range("pupillary distance", order.pd_mm, LEAST_PD_MM, MOST_PD_MM, " mm")
    right, left = _halves(order, far)
    if order.purpose is Purpose.FAR:
        return Pupils(right, left)
    near = near_distance_mm(far, working_distance_mm)
    if order.near_pd_mm is not None:
        near = require_range("near pupillary distance", order.near_pd_mm, 25.0, MOST_PD_MM, " mm")
    return Pupils(right * near / far, left * near / far)


def frame_choices(
    right: Power | None,
    left: Power | None,
    seen: Pupils,
    sizes_mm: Sequence[float],
    purpose: Purpose,
    standard: Standard,
) -> tuple[FrameChoice, ...]:
    """Every size with what it does to the pair, best first.

    `right` and `left` are the lenses as worn, None for an eye without a lens or one that does not see.
    Sizes within the standard go first, then the least share of its limits used. On a tie base out goes
    before base in for far wear, since eyes converge more easily than they diverge (common practice, no
    source); then the size nearest to the pupils.
    """
    alone = right is None or left is None
    pair = (right or _NO_LENS, left or _NO_LENS)
    choices = [_choice(pair, seen, size, standard, alone) for size in sizes_mm]
    return tuple(sorted(choices, key=lambda choice: _rank(choice, seen, purpose)))


def _halves(order: Order, far_mm: float) -> tuple[float, float]:
    right, left = order.right_pd_mm, order.left_pd_mm
    if right is None and left is None:
        return far_mm / 2.0, far_mm / 2.0
    if right is None or left is None:
        raise OpticsError("one half of the pupillary distance is missing; allowed is both halves or neither")
    return (
        require_range("right half of the pupillary distance", right, 10.0, 60.0, " mm"),
        require_range("left half of the pupillary distance", left, 10.0, 60.0, " mm"),
    )


def _choice(
    pair: tuple[Power, Power], seen: Pupils, size_mm: float, standard: Standard, alone: bool
) -> FrameChoice:
    # right optical centre at -size/2, its pupil at -right; left ones at +size/2 and +left
    right_offset, left_offset = (size_mm / 2.0 - seen.right_mm, 0.0), (seen.left_mm - size_mm / 2.0, 0.0)
    found = imbalance(*pair, right_offset, left_offset)
    verdicts = standard.judge_imbalance(*pair, found)
    share = max((verdict.used for verdict in verdicts), default=0.0)
    return FrameChoice(size_mm, found, alone or all(v.passed for v in verdicts), share)


def _rank(choice: FrameChoice, seen: Pupils, purpose: Purpose) -> tuple[bool, int, bool, float, float]:
    against = purpose is Purpose.FAR and choice.imbalance.base == "in"
    away = abs(choice.centre_distance_mm - seen.distance_mm)
    return not choice.within, round(choice.share / _TIE), against, round(away, 9), choice.centre_distance_mm

"""The finished pair: each lens, the lengths of the frame, and the prism that both make together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from assistant.kit.beside import neighbours_of
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.faults import NOTHING_OFF, CauseCode, Off
from assistant.optics.frame import pupils
from assistant.optics.order import Order
from assistant.optics.power import OpticsError, Power, require_range
from assistant.optics.prism import Imbalance, imbalance
from assistant.optics.tolerance import STANDARDS, RowVerdict
from assistant.workflow.lens_check import EyeCheck, check_eye
from assistant.workflow.pictures import EyeResult
from assistant.workflow.plan import EyePlan, Grade, Plan

MOST_CENTRES_MM: Final = 100.0
MOST_HEIGHT_MM: Final = 20.0
_ON_LIMIT: Final = 1e-9

WRONG_FRAME: Final = "wrong_frame"
DISTANCE_WRONG: Final = "distance_wrong"
HEIGHT_WRONG: Final = "height_wrong"
PRISM_TOO_LARGE: Final = "prism_too_large"
PAIR_CODES: Final = (WRONG_FRAME, DISTANCE_WRONG, HEIGHT_WRONG, PRISM_TOO_LARGE)
"""What may be wrong with a pair whose lenses are each right."""


@dataclass(frozen=True, slots=True)
class PairCheck:
    """The finished pair judged. An eye is None that has no lens, or one that does not see."""

    right: EyeCheck | None
    left: EyeCheck | None
    centres_error_mm: float
    """Measured distance between centres, less the planned frame's."""
    height_mm: float
    imbalance: Imbalance | None
    """Made by the powers and distances as measured; None for one lens, or where the pupils are not known."""
    rows: tuple[RowVerdict, ...]
    """The standard's imbalance rows, as far as `imbalance` is known."""
    faults: tuple[str, ...]
    """Of the pair, not of a lens: some of `PAIR_CODES`."""

    @property
    def passed(self) -> bool:
        return not self.faults and all(check.passed for check in (self.right, self.left) if check is not None)

    @property
    def centres_passed(self) -> bool:
        too_much = any(not row.passed for row in self.rows if row.kind == "horizontal_imbalance")
        return not too_much and not {WRONG_FRAME, DISTANCE_WRONG} & set(self.faults)

    @property
    def height_passed(self) -> bool:
        too_much = any(not row.passed for row in self.rows if row.kind == "vertical_imbalance")
        return not too_much and HEIGHT_WRONG not in self.faults

    @property
    def row(self) -> str:
        """The imbalance row nearest to its limit, or most beyond it; empty where none was judged."""
        return max(self.rows, key=lambda row: row.used).text if self.rows else ""

    @property
    def codes(self) -> tuple[str, ...]:
        """The likeliest cause of each lens that fails, right first, then what is wrong with the pair."""
        lenses = [check.causes[0].code.value for check in (self.right, self.left) if check and check.causes]
        return (*lenses, *self.faults)

    def eye(self, eye: Eye) -> EyeCheck | None:
        return self.right if eye is Eye.RIGHT else self.left

    def picture(self, eye: Eye) -> EyeResult | None:
        check = self.eye(eye)
        return None if check is None else check.picture


def check_pair(
    plan: Plan,
    readings: Mapping[Eye, Power],
    centres_mm: float,
    height_mm: float,
    kit: Kit,
    slots_deg: Mapping[Eye, tuple[float, ...]] | None = None,
    order: Order | None = None,
    off: Off = NOTHING_OFF,
) -> PairCheck:
    """Judge a finished pair: each lens read in its rim, the distance between centres, the height difference.

    `height_mm` has no sign: the worse way round is taken. Prism is judged where `order` is given, which
    says where the pupils are. Lengths in mm. Raises `OpticsError` for a length no frame has, or a reading of
    an eye that has no lens in the plan.
    """
    require_range("distance between centres", centres_mm, 0.0, MOST_CENTRES_MM, " mm")
    require_range("height difference", height_mm, 0.0, MOST_HEIGHT_MM, " mm")
    checks = _lens_checks(plan, readings, kit, _Made(slots_deg or {}, off))
    planned = plan.frame.centre_distance_mm if plan.frame is not None else centres_mm
    worn = {eye: _taken_for(plan.eye(eye), check) for eye, check in checks.items()}
    found = None if order is None else _worst_imbalance(worn, order, centres_mm, height_mm, kit)
    rows = () if found is None else _imbalance_rows(worn, found, kit)
    faults = (*_length_faults(planned, centres_mm, height_mm, kit), *_prism_fault(rows))
    right, left = (checks.get(eye) for eye in Eye)
    return PairCheck(right, left, centres_mm - planned, height_mm, found, rows, faults)


@dataclass(frozen=True, slots=True)
class _Made:
    """How the lenses of a pair were made: slots so far, instruments as they were."""

    slots_deg: Mapping[Eye, tuple[float, ...]]
    off: Off


def _lens_checks(plan: Plan, readings: Mapping[Eye, Power], kit: Kit, made: _Made) -> dict[Eye, EyeCheck]:
    """Each lens against the order's own need, or against a substitute that was granted.

    Lenses are taken for swapped only where both readings, as far as there are two, agree on it.
    """
    with_swap = {eye: _lens_check(plan, eye, read, kit, made, True) for eye, read in readings.items()}
    swapped = [any(c.code is CauseCode.LENSES_SWAPPED for c in check.causes) for check in with_swap.values()]
    if all(swapped) or not any(swapped):
        return with_swap
    return {eye: _lens_check(plan, eye, read, kit, made, False) for eye, read in readings.items()}


def _lens_check(plan: Plan, eye: Eye, read: Power, kit: Kit, made: _Made, swap: bool) -> EyeCheck:
    planned = plan.eye(eye)
    if planned.target is None or planned.lens is None:
        raise OpticsError(f"{eye.value} eye was read and has no lens; allowed are the eyes of the plan")
    lens = _lying_as_made(planned, planned.target, read)
    ordered = planned.needed if planned.grade is Grade.EXACT else None
    return check_eye(
        ordered or lens,
        read,
        eye,
        kit,
        lens=lens,
        other_eye=plan.eye(eye.other).target if swap else None,
        neighbours=neighbours_of(kit, planned.lens.pocket),
        slots_deg=made.slots_deg.get(eye, ()),
        off=made.off,
    )


def _lying_as_made(planned: EyePlan, target: Power, read: Power) -> Power:
    """The target; along the axis that was read where no axis was ordered, so that none can be wrong."""
    made = read.minus_form.axis
    if planned.scale_setting_deg is not None or target.axis is None or made is None:
        return target
    return Power(target.sphere, target.cylinder, made)


def _length_faults(planned_mm: float, centres_mm: float, height_mm: float, kit: Kit) -> tuple[str, ...]:
    faults = []
    tolerance = kit.limits.centre_distance_tolerance_mm + _ON_LIMIT
    if abs(centres_mm - planned_mm) > tolerance:
        sizes = [f.centre_distance_mm for f in kit.frames if f.centre_distance_mm != planned_mm]
        another = any(abs(centres_mm - size) <= tolerance for size in sizes)
        faults.append(WRONG_FRAME if another else DISTANCE_WRONG)
    if height_mm > kit.limits.height_tolerance_mm + _ON_LIMIT:
        faults.append(HEIGHT_WRONG)
    return tuple(faults)


def _taken_for(planned: EyePlan, check: EyeCheck) -> Power:
    """The power that prism is reckoned with: a lens that passes is what it was planned to be.

    Its reading is off by up to a step of the scale, and refitting could never mend what that seems to add.
    """
    if not check.passed or planned.target is None:
        return check.measured
    return _lying_as_made(planned, planned.target, check.measured)


def _worst_imbalance(
    worn: Mapping[Eye, Power],
    order: Order,
    centres_mm: float,
    height_mm: float,
    kit: Kit,
) -> Imbalance | None:
    """With the right centre the higher one, or the left, whichever makes more vertical prism."""
    if len(worn) < 2:
        return None
    seen = pupils(order, kit.limits.near_working_distance_mm)
    right, left = worn[Eye.RIGHT], worn[Eye.LEFT]
    across = (centres_mm / 2.0 - seen.right_mm, seen.left_mm - centres_mm / 2.0)
    found = [
        imbalance(right, left, (across[0], -up), (across[1], up))
        for up in (height_mm / 2.0, -height_mm / 2.0)
    ]
    return max(found, key=lambda one: max(row.used for row in _imbalance_rows(worn, one, kit)))


def _imbalance_rows(worn: Mapping[Eye, Power], found: Imbalance, kit: Kit) -> tuple[RowVerdict, ...]:
    """Limits go by the same powers as the prism and as the plan: what it allowed must be allowed here."""
    return STANDARDS[kit.standard].judge_imbalance(worn[Eye.RIGHT], worn[Eye.LEFT], found)


def _prism_fault(rows: Sequence[RowVerdict]) -> tuple[str, ...]:
    return (PRISM_TOO_LARGE,) if any(not row.passed for row in rows) else ()

"""One eye of a plan: target, scale setting, axis window and edges of the lens that was chosen.

Where the eye needs no cylinder or the lens has none, the slot may sit anywhere: no scale setting, no axis
window. Where there is no lens at all, setting and window are those that a lens as needed would have. Should
a lens with a cylinder have been chosen for an eye that needs none (stock run low), its target lies along 180
only because a power must have an axis; any direction serves equally.
"""

from dataclasses import dataclass

from assistant.kit.profile import Kit, NasalIndex
from assistant.optics.choice import Pick
from assistant.optics.eye import Eye
from assistant.optics.order import EyeKind, Order
from assistant.optics.power import Power
from assistant.optics.slot import scale_setting_deg
from assistant.optics.thickness import edge_thickness_mm
from assistant.optics.tolerance import STANDARDS
from assistant.workflow.plan import ChosenLens, EyePlan, Grade


@dataclass(frozen=True, slots=True)
class _Scale:
    """Protractor setting and what its rounding costs; None where the slot may sit anywhere."""

    setting_deg: float | None = None
    rounding_deg: float = 0.0
    window_deg: float | None = None


def eye_plan(eye: Eye, order: Order, needed: Power | None, pick: Pick | None, kit: Kit) -> EyePlan:
    """One eye of the plan; `pick` None where there is no lens for it."""
    lens = None if pick is None else _lens(pick.row, kit)
    target = None if lens is None or needed is None else _target(needed, lens)
    scale = _scale(eye, needed, target or needed, kit)
    balance = order.eye(eye).kind is EyeKind.BALANCE
    edge, thickest = (None, 0.0) if target is None else _edges(eye, target, kit)
    return EyePlan(
        eye=eye,
        ordered=order.eye(eye).power,
        needed=needed,
        lens=lens,
        grade=_grade(pick, balance),
        mean_error_d=None if pick is None else pick.mean_error_d,
        blur_d=None if pick is None else pick.blur_d,
        target=target,
        slot_bearing_deg=kit.pin_bearing_deg(eye),
        scale_setting_deg=scale.setting_deg,
        setting_rounding_deg=scale.rounding_deg,
        axis_window_deg=scale.window_deg,
        edge_thickness_mm=edge,
        stands_proud=thickest > kit.lens.rim_depth_mm,
        balance=balance,
    )


def _lens(row: int, kit: Kit) -> ChosenLens:
    bank = kit.bank
    return ChosenLens(
        float(bank.sphere[row]), float(bank.cylinder[row]), int(bank.pocket[row]), bank.check_number[row]
    )


def _target(needed: Power, lens: ChosenLens) -> Power:
    """The lens's own powers at the needed axis."""
    axis = needed.minus_form.axis
    return Power(lens.sphere, lens.cylinder, 180.0 if axis is None else axis)


def _grade(pick: Pick | None, balance: bool) -> Grade:
    if pick is None:
        return Grade.NONE
    return Grade.EXACT if pick.exact or balance else Grade.SUBSTITUTE


def _scale(eye: Eye, needed: Power | None, worn: Power | None, kit: Kit) -> _Scale:
    if needed is None or worn is None or needed.axis is None or worn.axis is None:
        return _Scale()
    on_centre_line = kit.protractor.nasal_index is NasalIndex.ON_CENTRE_LINE
    found = scale_setting_deg(eye, worn.axis, kit.pin_depression_deg, on_centre_line, kit.protractor.step_deg)
    window = STANDARDS[kit.standard].axis_tolerance_deg(needed.cylinder)
    return _Scale(found.setting_deg, found.rounding_deg, window)


def _edges(eye: Eye, target: Power, kit: Kit) -> tuple[float, float]:
    """Edge thickness where the slot goes and where the lens is thickest, mm."""
    blank = kit.lens
    axis = target.axis or 180.0
    at_pin, along, across = (
        edge_thickness_mm(
            target,
            bearing,
            blank.diameter_mm,
            blank.refractive_index,
            blank.front_power_d,
            blank.least_centre_mm,
            blank.least_edge_mm,
        )
        for bearing in (kit.pin_bearing_deg(eye), axis, axis + 90.0)
    )
    return at_pin, max(along, across)

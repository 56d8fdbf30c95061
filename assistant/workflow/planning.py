"""The plan of a pair, before a lens is touched: order, kit and stock in, verdict with every reason out.

Return to the clinician what cannot be made; ask the supervisor about whatever is odd; make the rest. A
balance lens is spherical, of its fellow's mean power as far as stock allows; it is chosen after the seeing
eye, has no part in prism, and is never a reason to ask.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.choice import Choice, Pick, Shelf, choose
from assistant.optics.eye import Eye
from assistant.optics.frame import FrameChoice, frame_choices, pupils
from assistant.optics.order import EyeKind, Order
from assistant.optics.power import OpticsError, Power
from assistant.optics.questions import BankRange, Severity, questions
from assistant.optics.tolerance import STANDARDS, Standard
from assistant.optics.vertex import moved_power
from assistant.workflow.eye_planning import eye_plan
from assistant.workflow.plan import ChosenLens, EyePlan, FramePlan, Grade, Plan, Reason, Verdict
from assistant.workflow.reasons import SEVERITIES, reason

_ANY_BLUR_D: Final = 1000.0
_ROUNDING: Final = 1e-9
_NO_LENS_HELD: Final[Mapping[Eye, ChosenLens]] = MappingProxyType({})

Needs = dict[Eye, Power | None]
Picks = dict[Eye, Pick | None]


def plan_pair(
    order: Order,
    kit: Kit,
    stock: Stock,
    *,
    frames_left: Mapping[float, int] | None = None,
    repeated: bool = False,
    held: Mapping[Eye, ChosenLens] = _NO_LENS_HELD,
) -> Plan:
    """Plan one pair from what may still be promised in `stock`.

    `frames_left` counts frames by centre distance in mm (None: as the kit was packed); `repeated` says the
    same order was made today; `held` are lenses already out of their pockets, which stay. Nothing an order
    can say makes this raise: what cannot be worked out is a reason to return it. Raises `KeyError` for a
    held lens from a pocket that the bank has not.
    """
    try:
        needs = _needs(order, kit)
        seen = pupils(order, kit.limits.near_working_distance_mm)
    except OpticsError as error:
        return _impossible(order, kit, str(error))
    picks = _picks(order, needs, kit, stock, held)
    eyes = {eye: eye_plan(eye, order, needs[eye], picks[eye], kit) for eye in Eye}
    worn = [None if order.eye(eye).kind is not EyeKind.POWER else _worn(eyes[eye]) for eye in Eye]
    sizes = _sizes(kit, frames_left)
    frames = frame_choices(worn[0], worn[1], seen, sizes, order.purpose, STANDARDS[kit.standard])
    frame = frames[0] if frames else None
    asked = questions(order, (needs[Eye.RIGHT], needs[Eye.LEFT]), _range(kit), repeated=repeated)
    reasons = (
        *(Reason(question.code, question.text) for question in asked),
        *_lens_reasons(eyes, kit),
        *_frame_reasons(frame, worn, STANDARDS[kit.standard]),
    )
    return Plan(
        verdict_of(reasons),
        _sorted(reasons),
        _frame_plan(frame),
        eyes[Eye.RIGHT],
        eyes[Eye.LEFT],
        kit.standard,
    )


def replan_eye(
    order: Order, kit: Kit, stock: Stock, plan: Plan, eye: Eye, frames_left: Mapping[float, int] | None = None
) -> Plan:
    """The plan with another lens for `eye`, the other eye's lens kept, from what is in `stock` now.

    The frame stays while it is within the standard with the new lens; else the best of `frames_left` is taken
    (None: of all as packed).
    """
    other = plan.eye(eye.other).lens
    held = {} if other is None else {eye.other: other}
    repeated = any(known.code == "repeated" for known in plan.reasons)
    if plan.frame is not None:
        same = {plan.frame.centre_distance_mm: 1}
        again = plan_pair(order, kit, stock, frames_left=same, repeated=repeated, held=held)
        if again.frame is not None and again.frame.within:
            return again
    return plan_pair(order, kit, stock, frames_left=frames_left, repeated=repeated, held=held)


def verdict_of(reasons: tuple[Reason, ...]) -> Verdict:
    """The gravest reason decides; none at all means make."""
    severities = {SEVERITIES[r.code] for r in reasons}
    if Severity.RETURN in severities:
        return Verdict.RETURN
    return Verdict.ASK if severities else Verdict.MAKE


def _sorted(reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    return tuple(sorted(reasons, key=lambda r: SEVERITIES[r.code] is Severity.ASK))


def _needs(order: Order, kit: Kit) -> Needs:
    """What each eye needs at the fitted distance; a balance eye its fellow's mean power."""
    refracted = kit.fitted_vertex_mm if order.refraction_vertex_mm is None else order.refraction_vertex_mm
    needs: Needs = {}
    for eye in Eye:
        power = order.eye(eye).power
        needs[eye] = None if power is None else moved_power(power, refracted, kit.fitted_vertex_mm)
    for eye in Eye:
        fellow = needs[eye.other]
        if order.eye(eye).kind is EyeKind.BALANCE and fellow is not None:
            needs[eye] = Power(fellow.mean)
    return needs


def _range(kit: Kit) -> BankRange:
    return BankRange(kit.limits.sphere_range_d, kit.limits.strongest_cylinder_d)


def _picks(order: Order, needs: Needs, kit: Kit, stock: Stock, held: Mapping[Eye, ChosenLens]) -> Picks:
    """Seeing eyes together first, then a balance lens from what they leave."""
    standard = STANDARDS[kit.standard]
    rows = {eye: kit.bank.row_of(lens.pocket) for eye, lens in held.items()}
    available = stock.available.copy()

    def chosen(kind: EyeKind, most_blur_d: float) -> Choice:
        wanted = {eye: needs[eye] if order.eye(eye).kind is kind else None for eye in Eye}
        return choose(
            wanted[Eye.RIGHT],
            wanted[Eye.LEFT],
            Shelf(kit.bank.sphere, kit.bank.cylinder, available),
            standard=standard,
            most_blur_d=most_blur_d,
            held={eye: row for eye, row in rows.items() if wanted[eye] is not None},
        )

    seeing = chosen(EyeKind.POWER, kit.limits.substitute_blur_d)
    for eye, pick in ((Eye.RIGHT, seeing.right), (Eye.LEFT, seeing.left)):
        if pick is not None and eye not in rows:
            available[pick.row] -= 1
    balance = chosen(EyeKind.BALANCE, _ANY_BLUR_D)
    return {Eye.RIGHT: seeing.right or balance.right, Eye.LEFT: seeing.left or balance.left}


def _worn(eye: EyePlan) -> Power | None:
    """What the prism is reckoned with: the lens as it will be worn, or what is needed where there is none."""
    return eye.target if eye.target is not None else eye.needed


def _sizes(kit: Kit, frames_left: Mapping[float, int] | None) -> tuple[float, ...]:
    packed = {frame.centre_distance_mm: sum(frame.colours.values()) for frame in kit.frames}
    left = packed if frames_left is None else frames_left
    return tuple(size for size in packed if left.get(size, 0) > 0)


def _frame_plan(frame: FrameChoice | None) -> FramePlan | None:
    if frame is None:
        return None
    found = frame.imbalance
    return FramePlan(frame.centre_distance_mm, found.horizontal, found.base, found.vertical, frame.within)


def _lens_reasons(eyes: Mapping[Eye, EyePlan], kit: Kit) -> list[Reason]:
    reasons, step = [], kit.protractor.step_deg
    for eye, plan in eyes.items():
        if plan.needed is not None and plan.lens is None:
            reasons.append(reason("no_lens", eye=eye.value, needed=plan.needed))
        if plan.grade is Grade.SUBSTITUTE:
            reasons.append(
                reason("substitute", eye=eye.value, needed=plan.needed, lens=plan.target, blur=plan.blur_d)
            )
        window, off = plan.axis_window_deg, abs(plan.setting_rounding_deg)
        if window is not None and off > window + _ROUNDING:
            reasons.append(reason("rounding_too_great", eye=eye.value, off=off, step=step, window=window))
    return reasons


def _frame_reasons(frame: FrameChoice | None, worn: list[Power | None], standard: Standard) -> list[Reason]:
    if frame is None:
        return [reason("no_frame")]
    if frame.within:
        return []
    right, left = worn
    verdicts = standard.judge_imbalance(right or Power(0.0), left or Power(0.0), frame.imbalance)
    return [
        reason(
            "prism_too_great",
            size=frame.centre_distance_mm,
            horizontal=frame.imbalance.horizontal,
            vertical=frame.imbalance.vertical,
            allowed="; ".join(verdict.text for verdict in verdicts if not verdict.passed),
        )
    ]


def _impossible(order: Order, kit: Kit, why: str) -> Plan:
    eyes = [eye_plan(eye, order, None, None, kit) for eye in Eye]
    reasons = (reason("order_impossible", why=why),)
    return Plan(Verdict.RETURN, reasons, None, eyes[0], eyes[1], kit.standard)

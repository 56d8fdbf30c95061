"""One eye, from its pocket to its rim: what each step checks before the next one is shown."""

from dataclasses import replace

from assistant.optics.eye import Eye
from assistant.optics.faults import marked_at_deg
from assistant.optics.pin import PinCannotHold, PinOutcome, SlotOutcome, judge_pin, judge_slot_depth
from assistant.optics.power import Power, axis_difference_deg
from assistant.optics.rescue import farther, wrap_turn_deg
from assistant.optics.slot import slot_from_line_deg
from assistant.optics.tolerance import STANDARDS
from assistant.workflow import lenses
from assistant.workflow.checks_day import corrected, power_entered
from assistant.workflow.entry import NOT_THERE
from assistant.workflow.lens_check import marking_of
from assistant.workflow.plan import ChosenLens, EyePlan
from assistant.workflow.state import Bench, Refused, refused

READINGS_BEFORE_FLAGGING = 2
"""One wrong reading may be a slip; the second says that the pocket holds the wrong lens."""
_ROUNDING = 1e-9


def fetch(bench: Bench) -> Bench | Refused:
    """The check number proves the pocket. A pocket found empty is counted as empty and the eye replanned."""
    pair, eye = bench.the_pair, bench.the_eye
    lens = planned_lens(bench, eye)
    answer = bench.entry("check_number")
    if answer == NOT_THERE:
        return Refused(
            refused(bench, "stock_gone").refusal,
            lenses.replanned(lenses.found_empty(bench, lens), eye),
        )
    if answer != lens.check_number:
        return refused(bench, "check_number_wrong")
    taken = lenses.taken(bench, lens)
    return replace(taken, pair=pair.with_work(eye, fetched=True)).popped()


def read(bench: Bench) -> Bench | Refused:
    """The lens before anything irreversible: it must be the pocket's, by its two powers."""
    pair, eye = bench.the_pair, bench.the_eye
    lens = planned_lens(bench, eye)
    measured = _lying_at_180(bench.number("sphere") - bench.offsets.sphere_d, bench.number("cylinder"))
    if is_the_pocket_s(bench, lens, measured):
        return bench.popped()
    wrong = pair.work(eye).wrong_readings + 1
    if wrong < READINGS_BEFORE_FLAGGING:
        return refused(replace(bench, pair=pair.with_work(eye, wrong_readings=wrong)), "wrong_lens")
    flagged = lenses.wrong_lens_found(bench, eye, lens)
    return Refused(refused(bench, "wrong_lens").refusal, lenses.replanned(flagged, eye))


def is_the_pocket_s(bench: Bench, lens: ChosenLens, measured: Power) -> bool:
    """Whether a reading is within tolerance of the pocket's lens and nearest to it of all pockets."""
    along = measured.minus_form
    label = _lying_at_180(lens.sphere, lens.cylinder)
    if not STANDARDS[bench.kit.standard].judge(label, _lying_at_180(along.sphere, along.cylinder)).passed:
        return False
    bank = bench.kit.bank
    away = (bank.sphere - along.sphere) ** 2 + (bank.cylinder - along.cylinder) ** 2
    own = (lens.sphere - along.sphere) ** 2 + (lens.cylinder - along.cylinder) ** 2
    return own <= float(away.min()) + _ROUNDING


def dot(bench: Bench) -> Bench:
    return bench.popped()


def mark(bench: Bench) -> Bench | Refused:
    """The helper reads back where the dotted line lies; it must be the setting, to half a mark."""
    eye = bench.the_eye
    shown = setting_shown(bench, eye)
    if shown is None:
        return bench.popped()
    off = axis_difference_deg(bench.number("scale"), shown)
    if abs(off) > bench.kit.protractor.step_deg / 2 + _ROUNDING:
        return refused(bench, "scale_wrong")
    return bench.popped()


def setting_shown(bench: Bench, eye: Eye) -> float | None:
    """The scale setting with the instruments' own errors put in; None where the slot may sit anywhere."""
    plan = plan_of(bench, eye)
    if plan.scale_setting_deg is None or plan.target is None or plan.target.axis is None:
        return None
    return marked_at_deg(marking_of(bench.kit, bench.offsets.of_marking), eye, plan.target.axis)


def cut(bench: Bench) -> Bench | Refused:
    """Too shallow: cut again. Too deep: the lens is set aside and the eye replanned."""
    eye = bench.the_eye
    depth = bench.number("depth")
    slot = bench.kit.slot
    outcome = judge_slot_depth(depth, slot.least_depth_mm, slot.most_depth_mm)
    if outcome is SlotOutcome.SHALLOW:
        return refused(bench, "slot_shallow", measured=depth)
    slotted = with_new_slot(bench, eye)
    if outcome is SlotOutcome.DEEP:
        lost = lenses.set_aside(slotted, eye)
        return Refused(refused(bench, "slot_deep").refusal, lenses.replanned(lost, eye))
    done = slotted.the_pair.with_work(eye, depth_mm=depth, pin_mm=None)
    return replace(bench, pair=done).popped()


def with_new_slot(bench: Bench, eye: Eye) -> Bench:
    """One more slot in this eye's lens, where it was meant to lie."""
    slots = (*old_slots(bench, eye), slot_from_line(bench, eye))
    return replace(bench, pair=bench.the_pair.with_work(eye, slots_deg=slots))


def old_slots(bench: Bench, eye: Eye) -> tuple[float, ...]:
    """Slots already cut, from the dotted line as the lens is to lie for a new one.

    A dotted line has two ends and the scale does not tell them apart; the lens lies with its old slots as far
    from the new one as they can be.
    """
    slots = bench.the_pair.work(eye).slots_deg
    new = slot_from_line(bench, eye)
    turned = tuple((slot + 180.0) % 360.0 for slot in slots)
    near, far = (
        min((abs(wrap_turn_deg(slot - new)) for slot in those), default=0.0) for those in (slots, turned)
    )
    return turned if farther(far, near) else slots


def slot_from_line(bench: Bench, eye: Eye) -> float:
    """Where the slot was meant to lie, from the lens's own dotted line; 0 for a lens without cylinder."""
    target = plan_of(bench, eye).target
    axis = target.axis if target is not None and target.axis is not None else 0.0
    return slot_from_line_deg(eye, axis, bench.kit.pin_depression_deg)


def trim(bench: Bench) -> Bench | Refused:
    """The pin against the slot that was measured. Too short to hold: a new pin is trimmed in its place."""
    pair, eye, pin = bench.the_pair, bench.the_eye, bench.kit.pin
    length, depth = bench.number("pin"), pair.work(eye).depth_mm or 0.0
    try:
        outcome = judge_pin(length, depth, pin.clearance_mm, pin.least_engagement_mm)
    except PinCannotHold:
        outcome = PinOutcome.SHORT
    if outcome is PinOutcome.LONG:
        return refused(bench, "pin_long", measured=length)
    if outcome is PinOutcome.SHORT:
        return refused(bench, "pin_short", measured=length)
    return replace(bench, pair=pair.with_work(eye, pin_mm=length)).popped()


def fit(bench: Bench) -> Bench | Refused:
    """A chipped or cracked lens is broken stock, and the eye is replanned."""
    if bench.entry("whole"):
        return bench.popped()
    eye = bench.the_eye
    return Refused(refused(bench, "chipped").refusal, lenses.replanned(lenses.broken(bench, eye), eye))


def check(bench: Bench) -> Bench:
    """The finished lens in its rim, read blind. The verdict waits until the whole pair has been read."""
    pair, eye = bench.the_pair, bench.the_eye
    reading = corrected(power_entered(bench), bench.offsets)
    return replace(bench, pair=pair.with_work(eye, reading=reading)).popped()


def plan_of(bench: Bench, eye: Eye) -> EyePlan:
    return bench.the_pair.plan.eye(eye)


def planned_lens(bench: Bench, eye: Eye) -> ChosenLens:
    lens = plan_of(bench, eye).lens
    if lens is None:
        raise ValueError(f"no lens is planned for the {eye.value} eye")
    return lens


def _lying_at_180(sphere: float, cylinder: float) -> Power:
    return Power(sphere, cylinder, 180.0 if cylinder else None)

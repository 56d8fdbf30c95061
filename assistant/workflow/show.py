"""Which picture belongs to the bench as it stands, filled with its real numbers."""

from collections.abc import Callable, Mapping

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.workflow import pictures as p
from assistant.workflow.fields import ORDERS_OFFERED, next_field
from assistant.workflow.making import old_slots, setting_shown
from assistant.workflow.plan import Verdict
from assistant.workflow.state import Bench
from assistant.workflow.steps import SAID_FIELDS

HELPERS = 9
"""One sign for each digit key."""


def picture(bench: Bench) -> p.Picture:
    """The picture of the current step."""
    return _PICTURES[bench.current.step](bench)


def _field(bench: Bench) -> str:
    field = next_field(bench)
    return field.name if field is not None else ""


def _entered(bench: Bench) -> p.Entered:
    return tuple((name, value) for name, value in bench.entries if isinstance(value, float))


def number_to_say(bench: Bench) -> str | None:
    """At the start of the day, where the helper is asked to say numbers: the one wanted now."""
    field = _field(bench)
    return bench.the_day.numbers[SAID_FIELDS.index(field)] if field in SAID_FIELDS else None


def _voice(bench: Bench) -> p.Picture:
    day = bench.the_day
    return p.VoicePicture(number_to_say(bench), day.room, len(bench.entries), len(day.numbers))


def _index(bench: Bench) -> p.Picture:
    return p.IndexPicture(bench.kit.protractor.nasal_index, bench.kit.pin_depression_deg)


def _order(bench: Bench) -> p.Picture:
    waiting = enumerate(bench.queue[: ORDERS_OFFERED + 1], start=1)  # one more shows that there are more
    return p.OrderPicture(
        tuple(p.WaitingOrder(n, order.case, order.purpose == "near") for n, order in waiting)
    )


def _key_order(bench: Bench) -> p.Picture:
    field = _field(bench)
    eye = next((eye for eye in Eye if field.startswith(eye.value)), None)
    return p.KeyOrderPicture(field.removeprefix(f"{eye.value}_") if eye else field, eye)


def _plan(bench: Bench) -> p.Picture:
    plan = bench.the_pair.plan
    if plan.verdict is Verdict.RETURN:
        return p.PlanPicture(plan.verdict, None, None, None)  # nothing that somebody might fetch
    pockets = {eye: lens.pocket if (lens := plan.eye(eye).lens) is not None else None for eye in Eye}
    size = plan.frame.centre_distance_mm if plan.frame is not None else None
    return p.PlanPicture(plan.verdict, size, pockets[Eye.RIGHT], pockets[Eye.LEFT])


def _fetch(bench: Bench) -> p.Picture:
    lens = bench.the_pair.plan.eye(bench.the_eye).lens
    tray = bench.kit.tray
    return p.TrayPicture(bench.the_eye, lens.pocket if lens else 0, tray.columns, tray.rows)


def _read(bench: Bench) -> p.Picture:
    return p.FocimeterPicture(bench.the_eye, _field(bench), _entered(bench))


def _check(bench: Bench) -> p.Picture:
    return p.FocimeterPicture(bench.the_eye, _field(bench), _entered(bench), in_rim=True)


def _mark(bench: Bench) -> p.Picture:
    """A second slot is marked with the first one in the picture, so that nobody cuts the old one again."""
    eye = bench.the_eye
    slots = old_slots(bench, eye)
    setting = setting_shown(bench, eye)
    on_line = bench.kit.protractor.nasal_index is NasalIndex.ON_CENTRE_LINE
    if not slots or setting is None:
        return p.ProtractorPicture(eye, setting, on_line, bench.kit.pin_depression_deg)
    at_index = eye.nasal_bearing_deg if on_line else bench.kit.pin_bearing_deg(eye)
    return p.RescuePicture(eye, (setting + slots[-1]) % 360.0, at_index, setting)


def _refused_measure(bench: Bench) -> float | None:
    """What was measured and refused just now, so that the picture shows it against what is wanted."""
    measured = bench.refusal.args.get("measured") if bench.refusal is not None else None
    return measured if isinstance(measured, float) else None


def _cut(bench: Bench) -> p.Picture:
    slot = bench.kit.slot
    return p.SlotPicture(
        bench.the_eye,
        _refused_measure(bench),
        slot.least_depth_mm,
        slot.aimed_depth_mm,
        slot.most_depth_mm,
        slot.width_mm,
        bench.kit.pin.diameter_mm,
    )


def _trim(bench: Bench) -> p.Picture:
    pin, work = bench.kit.pin, bench.the_pair.work(bench.the_eye)
    depth = work.depth_mm or 0.0
    wanted, measured = depth - pin.clearance_mm, _refused_measure(bench)
    return p.PinPicture(bench.the_eye, depth, wanted, measured, pin.least_engagement_mm, pin.clearance_mm)


def _verdict(bench: Bench) -> p.Picture:
    check = bench.the_pair.check
    if check is None:
        return p.OutcomePicture(p.Outcome.WAIT)
    results = {eye: check.picture(eye) for eye in Eye}
    return p.VerdictPicture(
        check.passed,
        results[Eye.RIGHT],
        results[Eye.LEFT],
        check.centres_passed,
        check.height_passed,
        check.faults,
    )


def _account(bench: Bench) -> p.Picture:
    lens = bench.the_pair.plan.eye(bench.the_eye).lens
    return p.AccountPicture(bench.the_eye, lens.pocket if lens else None)


_PICTURES: Mapping[str, Callable[[Bench], p.Picture]] = {
    "closed": lambda _: p.ClosedPicture(),
    "helper": lambda _: p.HelperPicture(HELPERS),
    "language": lambda bench: p.LanguagePicture(bench.the_day.languages),
    "sound": lambda _: p.SoundPicture(),
    "voice": _voice,
    "zero": lambda bench: p.ZeroPicture(_entered(bench)),
    "reference": lambda bench: p.ReferencePicture(_field(bench), _entered(bench)),
    "index": _index,
    "cutter": lambda _: p.CutterPicture(),
    "order": _order,
    "key_order": _key_order,
    "plan": _plan,
    "fetch": _fetch,
    "read": _read,
    "dot": lambda bench: p.DotPicture(bench.the_eye),
    "mark": _mark,
    "cut": _cut,
    "trim": _trim,
    "fit": lambda bench: p.FitPicture(bench.the_eye, bench.kit.pin_bearing_deg(bench.the_eye)),
    "side": lambda bench: p.SidePicture(bench.the_eye),
    "check": _check,
    "distance": lambda bench: p.DistancePicture(_field(bench), _entered(bench)),
    "verdict": _verdict,
    "wearer": lambda bench: p.WearerPicture(_field(bench)),
    "hand_over": lambda bench: p.HandOverPicture(bench.the_pair.order.case),
    "account": _account,
    "supervisor": lambda bench: p.SupervisorPicture(bench.question.code if bench.question else "help"),
}

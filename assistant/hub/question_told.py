"""A question that waits, with the plan and the readings a supervisor needs to answer it. Pure."""

from dataclasses import replace

from assistant.hub import views as v
from assistant.hub.story import Story
from assistant.hub.tell import Seen
from assistant.hub.verdict_told import verdict_rows
from assistant.hub.words import ASKING, CAUSES, DOING
from assistant.language.prompts import say
from assistant.optics.eye import Eye
from assistant.optics.power import Power
from assistant.workflow.plan import EyePlan, Plan
from assistant.workflow.present import spoken_args
from assistant.workflow.state import Bench, Pair


def question_view(seen: Seen) -> v.QuestionView | None:
    """The question this bench waits with; None if it waits with none."""
    story, question = seen.story, seen.story.bench.question
    if question is None:
        return None
    pair, asking = story.bench.pair, ASKING[question.code]
    item = replace(story.bench, question=None).current
    return v.QuestionView(
        bench=story.name,
        line=story.question_line,
        code=question.code,
        title=asking.title,
        yes_does=asking.yes,
        no_does=asking.no if pair is not None else asking.yes,
        asked_at=story.question_at + seen.offset_s,
        helper=story.bench.day.helper if story.bench.day is not None else None,
        case=pair.order.case if pair is not None else None,
        eye=item.eye.value if item.eye is not None else None,
        step=item.step,
        doing=DOING[item.step],
        reasons=_reasons(question.reasons, pair),
        plan=[] if pair is None else plan_rows(pair.plan),
        readings=_readings(story),
        answered=seen.answered == story.question_line,
    )


def _reasons(codes: tuple[str, ...], pair: Pair | None) -> list[str]:
    """A plan's reasons carry their own sentence with its figures; the other codes have their words."""
    planned = () if pair is None else pair.plan.reasons
    return [
        *(reason.text for reason in planned if reason.code in codes),
        *(CAUSES[code] for code in codes if code in CAUSES),
    ]


def plan_rows(plan: Plan) -> list[str]:
    """Both eyes and the frame, a line each."""
    frame = plan.frame
    if frame is None:
        return [*(_eye_row(plan.eye(eye)) for eye in Eye), "frame: none"]
    base = f" base {frame.base}" if frame.base else ""
    return [
        *(_eye_row(plan.eye(eye)) for eye in Eye),
        f"frame {frame.centre_distance_mm:g} mm: prism {frame.horizontal_imbalance:.2f} Δ across{base},"
        f" {frame.vertical_imbalance:.2f} Δ up and down",
    ]


def _eye_row(plan: EyePlan) -> str:
    if plan.ordered is None:
        return (
            f"{plan.eye.value}: no lens ordered" if plan.lens is None else f"{plan.eye.value}: balance lens"
        )
    needs = "" if plan.needed == plan.ordered else f", at this frame {_power(plan.needed)}"
    lens = "no lens" if plan.lens is None else f"lens {_power(plan.target)} from pocket {plan.lens.pocket}"
    blur = "" if not plan.blur_d else f", leaves {plan.blur_d:.2f} D of blur"
    return f"{plan.eye.value}: ordered {_power(plan.ordered)}{needs}; {lens}{blur}"


def _power(power: Power | None) -> str:
    return "none" if power is None else str(power)


def _readings(story: Story) -> list[str]:
    bench = story.bench
    pair = bench.pair
    rows = _refused(bench)
    if pair is None:
        return rows
    question = bench.question
    if question is not None and "acuity_low" in question.reasons:
        limit = bench.kit.limits.acuity_question
        rows.append(f"the wearer reads 6/{story.question_entry}; worse than 6/{limit} is asked about")
    for eye in pair.eyes:
        work = pair.work(eye)
        if work.reading is not None:
            rows.append(f"{eye.value} reads {_power(work.reading)}")
        if work.depth_mm is not None:
            pin = "" if work.pin_mm is None else f", pin {work.pin_mm:g} mm"
            rows.append(f"{eye.value} slot {work.depth_mm:g} mm deep{pin}")
    return [*rows, *(verdict_rows(pair.check) if pair.check is not None else ())]


def _refused(bench: Bench) -> list[str]:
    """What was refused before the helper called, as the helper heard it."""
    before = bench.before
    if before is None or before.refusal is None or before.refusals == 0:
        return []
    heard = say(f"refused-{before.refusal.code}", "en", **spoken_args(before.refusal.args))
    times = "once" if before.refusals == 1 else f"{before.refusals} times in a row"
    return [f"refused {times} at this step: {heard}"]

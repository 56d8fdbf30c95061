"""What the helper is asked for now, as effects: the picture, the sentence, the entry to wait for.

`present` is a function of the bench alone, so that a bench that comes back after a power cut shows what it
showed. No figure of an expected reading is in it before the reading is in.
"""

from collections.abc import Iterable, Mapping

from assistant.language.prompts import Spoken
from assistant.workflow.effects import Effect, Listen, Say, Show
from assistant.workflow.fields import fields, listen_for
from assistant.workflow.making import setting_shown
from assistant.workflow.plan import Verdict
from assistant.workflow.show import number_to_say, picture
from assistant.workflow.state import Bench
from assistant.workflow.steps import VOICE

_KIND_OF_ARG: Mapping[str, str] = {
    "frame": "length",
    "pocket": "digits",
    "setting": "axis",
    "depth": "length",
    "length": "length",
    "low": "length",
    "high": "length",
    "count": "count",
    "measured": "length",
}
"""How a figure of a sentence is spelt."""


def spoken_args(args: Mapping[str, float | str]) -> dict[str, Spoken | str]:
    """Figures as typed values, names as they are."""
    return {
        name: value if isinstance(value, str) else Spoken(_KIND_OF_ARG[name], value)
        for name, value in args.items()
    }


def present(bench: Bench) -> tuple[Effect, ...]:
    """Show, Say and Listen for the bench as it stands."""
    listen = listen_for(bench)
    heard: tuple[Effect, ...] = () if listen is None else (listen,)
    return (Show(picture(bench)), *_said(bench, listen), *heard)


def _said(bench: Bench, listen: Listen | None) -> tuple[Effect, ...]:
    """The step's sentence when it begins; then a word for each entry where it wants several."""
    step = bench.current.step
    several = len(fields(bench)) > 1
    opening = (
        () if bench.entries else (*_question(bench), Say(f"step-{step}", spoken_args(_step_args(bench))))
    )
    naming = (Say(f"field-{listen.field}", _to_be_said(bench)),) if listen is not None and several else ()
    return (*opening, *naming)


def _question(bench: Bench) -> tuple[Effect, ...]:
    """What the supervisor is asked, and why, in words; of a call for help the helper tells."""
    question, pair = bench.question, bench.pair
    if bench.current.step == "plan" and pair is not None and pair.plan.verdict is Verdict.RETURN:
        return _whys("reason", (reason.code for reason in pair.plan.reasons))
    if question is None or question.code == "help" or bench.refusal is not None:
        return ()
    why = "cause" if question.code == "stuck" else "reason"
    return (Say(f"question-{question.code}"), *_whys(why, question.reasons))


def _whys(kind: str, codes: Iterable[str]) -> tuple[Effect, ...]:
    """Each once: both eyes may have the same."""
    return tuple(Say(f"{kind}-{code}") for code in dict.fromkeys(codes))


def _to_be_said(bench: Bench) -> dict[str, Spoken | str]:
    """The number that the helper is to say now, where one is."""
    number = number_to_say(bench)
    return {} if number is None else {"number": Spoken("digits", number)}


def _step_args(bench: Bench) -> Mapping[str, float | str]:
    """The figures and names a step's sentence may use."""
    args: dict[str, float | str] = {}
    item, pair = bench.current, bench.pair
    if item.eye is not None:
        args["eye"] = item.eye.value
    if item.step == VOICE and bench.day is not None and bench.day.room is not None:
        args["room"] = bench.day.room.value
    if pair is None:
        return args
    to_make = pair.plan.verdict is not Verdict.RETURN
    if item.step == "plan" and pair.plan.frame is not None and to_make:
        args["frame"] = pair.plan.frame.centre_distance_mm
    if item.step == "fetch" and item.eye is not None and (lens := pair.plan.eye(item.eye).lens) is not None:
        args["pocket"] = lens.pocket
    if (
        item.step == "mark"
        and item.eye is not None
        and (setting := setting_shown(bench, item.eye)) is not None
    ):
        args["setting"] = setting
    if item.step == "cut":
        args["depth"] = bench.kit.slot.aimed_depth_mm
    if item.step == "trim" and item.eye is not None:
        args["length"] = (pair.work(item.eye).depth_mm or 0.0) - bench.kit.pin.clearance_mm
    return args

"""A session decided again under another kit or another tolerance standard, step by step. Pure.

Each decision is made anew by the very same fold, on what was entered and with all before it as it was: the same
lenses from the same pockets, by the other kit's figures. Only where a pair is planned does the other kit choose
from its own bank as packed. So one difference does not hide the next.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from assistant.hub.words import ASKING, CAUSES
from assistant.kit.bank import Bank
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.eye import Eye
from assistant.optics.tolerance import FOR_MOUNTED_LENSES, STANDARDS
from assistant.replay.mistakes import MistakeKind, mistakes
from assistant.replay.moments import Moment
from assistant.replay.wording import mistake_words
from assistant.workflow import lenses
from assistant.workflow.advance import advance
from assistant.workflow.happened import judged
from assistant.workflow.plan import EyePlan, Plan
from assistant.workflow.planning import plan_pair
from assistant.workflow.state import Bench

_PLANS: Final = ("order", "key_order")
_TOLD_BEFORE: Final = "verdict"
"""The step that only looks at what the last reading decided."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One decision that would have been another."""

    line: int
    what: str
    was: str
    would: str

    @property
    def words(self) -> str:
        return f"{self.what}: was {self.was}; would be {self.would}"


def require_standard(standard: str) -> None:
    """Raises `ValueError` for a standard that does not judge finished pairs, naming those that do."""
    if standard not in FOR_MOUNTED_LENSES:
        allowed = ", ".join(FOR_MOUNTED_LENSES)
        raise ValueError(f"standard {standard!r} is not known for mounted lenses; allowed is {allowed}")


def with_standard(kit: Kit, standard: str) -> Kit:
    """The same kit under another tolerance standard. Raises as `require_standard` does."""
    require_standard(standard)
    return replace(kit, standard=standard)


def standard_words(standard: str) -> str:
    """A standard's title; that its values are from memory where some of them are."""
    known = STANDARDS[standard]
    return f"{known.title} (some values from memory)" if known.unverified else known.title


def differences(moments: Iterator[Moment] | tuple[Moment, ...], other: Kit) -> Iterator[Difference]:
    """Every decision of the session that would have been another with `other`."""
    for moment in moments:
        yield from _differences(moment, other)


def _differences(moment: Moment, other: Kit) -> Iterator[Difference]:
    if moment.entry is None or moment.item.step == _TOLD_BEFORE:
        return
    before = _under(moment.before, other, planning=moment.item.step in _PLANS)
    after, _ = advance(before, moment.event)
    was = _decided(moment.before, moment, moment.after)
    would = _decided(before, moment, after)
    for what in {**was, **would}:
        if was.get(what, "") != would.get(what, ""):
            yield Difference(moment.line, what, was.get(what) or "nothing", would.get(what) or "nothing")


def _under(before: Bench, other: Kit, planning: bool) -> Bench:
    """The bench as it stood, under the other kit."""
    own = before.kit
    if planning and not _same(own.bank, other.bank):
        fresh = replace(other, supervisor_codes=own.supervisor_codes)
        return replace(before, kit=fresh, stock=Stock.packed(other.bank), flagged=frozenset(), elsewhere={})
    kit = replace(other, bank=own.bank, supervisor_codes=own.supervisor_codes)
    return _replanned(replace(before, kit=kit))


def _same(one: Bank, other: Bank) -> bool:
    return one is other or (
        np.array_equal(one.pocket, other.pocket)
        and np.array_equal(one.sphere, other.sphere)
        and np.array_equal(one.cylinder, other.cylinder)
        and np.array_equal(one.count, other.count)
    )


def _replanned(bench: Bench) -> Bench:
    """The pair's plan with its own lenses and frame, its settings and windows worked out for the kit."""
    pair = bench.pair
    if pair is None or pair.plan.frame is None:
        return bench
    held = {eye: lens for eye in Eye if (lens := pair.plan.eye(eye).lens) is not None}
    size = pair.plan.frame.centre_distance_mm
    frames = {size: 1} if any(size == frame.centre_distance_mm for frame in bench.kit.frames) else None
    plan = plan_pair(pair.order, bench.kit, lenses.plannable(bench), frames_left=frames, held=held)
    if any((plan.eye(eye).lens is None) != (eye not in held) for eye in Eye):
        return bench  # the order itself cannot be planned with this kit; the lenses stay as they were meant
    return replace(bench, pair=replace(pair, plan=replace(plan, verdict=pair.plan.verdict)))


def _decided(before: Bench, moment: Moment, after: Bench) -> Mapping[str, str]:
    """What an entry led to, by what was decided."""
    found = mistakes(before, moment.event, after)
    refused = [mistake_words(one, after) for one in found if one.kind is not MistakeKind.FAILED]
    decided = {"entry": "; ".join(refused) or "accepted"}
    if after.question is not None and before.question is None:
        asked = ASKING[after.question.code].title if after.question.code in ASKING else after.question.code
        decided["question"] = asked
    decided |= _verdict(before, moment, after)
    if after.pair is not None and (before.pair is None or after.pair.plan is not before.pair.plan):
        decided |= _plan(after.pair.plan)
    return decided


def _verdict(before: Bench, moment: Moment, after: Bench) -> Mapping[str, str]:
    pair = judged(before, moment.event, after)
    if pair is None or pair.check is None:
        return {}
    told: dict[str, str] = {"verdict": "passes" if pair.check.passed else "does not pass"}
    for check in (pair.check.right, pair.check.left):
        if check is not None:
            cause = f"does not pass, {CAUSES[check.causes[0].code.value]}" if check.causes else "passes"
            told[f"{check.eye.value} lens"] = cause
            told[f"{check.eye.value} way back"] = check.rescue.kind.value.replace("_", " ")
    told["the pair"] = "; ".join(CAUSES[code] for code in pair.check.faults) or "is right"
    return told


def _plan(plan: Plan) -> Mapping[str, str]:
    """What a plan decided; a lens by its powers, since pockets are numbered by each bank for itself."""
    told = {
        "plan": plan.verdict.value,
        "reasons": "; ".join(reason.text for reason in plan.reasons),
        "frame": "none" if plan.frame is None else f"{plan.frame.centre_distance_mm:g} mm",
    }
    for eye in Eye:
        told[f"{eye.value} lens planned"] = _lens(plan.eye(eye))
        setting = plan.eye(eye).scale_setting_deg
        told[f"{eye.value} scale setting"] = "anywhere" if setting is None else f"{setting:g}°"
    return told


def _lens(plan: EyePlan) -> str:
    return "none" if plan.lens is None else f"{plan.lens.sphere:+.2f}/{plan.lens.cylinder:+.2f}"

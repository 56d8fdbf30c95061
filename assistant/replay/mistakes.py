"""What went wrong at one event, with its code. Pure.

A refused entry is counted whoever made it and whyever: an empty pocket is found by an entry that is refused.
"""

from dataclasses import dataclass
from enum import StrEnum

from assistant.optics.eye import Eye
from assistant.workflow.events import Answered, Event, SupervisorAnswered, TakenBack
from assistant.workflow.happened import judged
from assistant.workflow.state import Bench


class MistakeKind(StrEnum):
    REFUSED = "refused"
    """An entry was not accepted; the code is that of the prompt `refused-<code>`."""
    FAILED = "failed"
    """The finished pair did not pass; the code is that of the prompt `cause-<code>`."""
    TAKEN_BACK = "taken_back"
    BROKEN = "broken"
    SET_ASIDE = "set_aside"


@dataclass(frozen=True, slots=True)
class Mistake:
    kind: MistakeKind
    code: str
    eye: Eye | None = None
    """None for what concerns the pair, or no eye."""


def mistakes(before: Bench, event: Event, after: Bench) -> tuple[Mistake, ...]:
    """What this event shows to have gone wrong, in the order in which it is told; empty when all is well."""
    eye = before.current.eye
    if isinstance(event, TakenBack):
        kind = MistakeKind.TAKEN_BACK
        return () if after is before else (Mistake(kind, kind, after.current.eye),)
    if not isinstance(event, Answered | SupervisorAnswered):
        return ()
    found = []
    if after.refusal is not None:
        found.append(Mistake(MistakeKind.REFUSED, after.refusal.code, eye))
    if after.stock.broken > before.stock.broken:
        found.append(Mistake(MistakeKind.BROKEN, MistakeKind.BROKEN, eye))
    if len(after.stock.blanks) > len(before.stock.blanks):
        found.append(Mistake(MistakeKind.SET_ASIDE, MistakeKind.SET_ASIDE, eye))
    return (*found, *_failures(before, event, after))


def _failures(before: Bench, event: Event, after: Bench) -> tuple[Mistake, ...]:
    pair = judged(before, event, after)
    if pair is None or pair.check is None:
        return ()
    lenses = [check for check in (pair.check.right, pair.check.left) if check is not None and check.causes]
    return (
        *(Mistake(MistakeKind.FAILED, check.causes[0].code.value, check.eye) for check in lenses),
        *(Mistake(MistakeKind.FAILED, code) for code in pair.check.faults),
    )

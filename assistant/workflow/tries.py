"""When a step is finished, and whether that was at the first try, read off the bench before and after an event. Pure.

A step is under a question while the supervisor is waited for: it is neither left nor begun again by that.
"""

from dataclasses import replace

from assistant.workflow.events import Answered, Event, SupervisorAnswered, TakenBack
from assistant.workflow.state import Bench, Item

HANDED_OVER = "handed_over"


def item_under(bench: Bench) -> Item:
    """What is being done, also while a question about it waits."""
    return bench.current if bench.question is None else replace(bench, question=None).current


def same_item(before: Bench, after: Bench) -> bool:
    """Whether the same thing is being done, for the same eye of the same pair."""
    same = item_under(before) == item_under(after)
    return same and (before.pair is None) == (after.pair is None)


def spoilt(already: bool, before: Bench, event: Event, after: Bench) -> bool:
    """Whether the step at hand after `event` has had an entry refused or taken back; `already`: before it."""
    if isinstance(event, TakenBack):
        return already or after is not before
    return same_item(before, after) and (already or after.refusal is not None)


def finished(before: Bench, event: Event, after: Bench) -> Item | None:
    """The step that an entry, or the supervisor's decision, led on from; None if the pair was given up by it."""
    if not isinstance(event, Answered | SupervisorAnswered) or same_item(before, after):
        return None
    return None if _given_up(before, after) else item_under(before)


def at_first_try(already_spoilt: bool, before: Bench, after: Bench) -> bool:
    """Of a step just finished: nothing was refused or taken back at it, nor found wrong by it."""
    return not already_spoilt and after.refusal is None and _passes(before)


def _given_up(before: Bench, after: Bench) -> bool:
    if before.pair is None or before.pair.outcome != HANDED_OVER:
        return False
    outcome = after.pair.outcome if after.pair is not None else after.closed[-1].outcome
    return outcome != HANDED_OVER


def _passes(before: Bench) -> bool:
    """False where the step that ends is the look at a pair that failed."""
    pair = before.pair
    if item_under(before).step != "verdict" or pair is None or pair.check is None:
        return True
    return pair.check.passed

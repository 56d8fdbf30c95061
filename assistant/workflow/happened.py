"""What one event did, read off the bench before and after it. Pure.

The board, replay and the summary of many sessions tell these facts; nothing here is added to what `advance` does.
"""

from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.workflow.events import Event, TakenBack
from assistant.workflow.state import Bench, Pair
from assistant.workflow.tries import finished


def same_step(before: Bench, after: Bench) -> bool:
    """Whether the bench still asks for the same thing, for the same eye."""
    return after.current == before.current and (after.pair is None) == (before.pair is None)


def judged(before: Bench, event: Event, after: Bench) -> Pair | None:
    """The pair, if this event was the last reading before its verdict.

    Taking back the look at a verdict brings its check back, and judges nothing.
    """
    pair = after.pair
    if pair is None or pair.check is None or isinstance(event, TakenBack):
        return None
    return None if before.pair is not None and before.pair.check is pair.check else pair


def newly_cut(already: frozenset[Eye], before: Bench, event: Event, after: Bench) -> frozenset[Eye]:
    """Eyes whose lens has a slot that no check has read yet, after `event`; `already`: before it.

    Who reads a check empties it: a lens read again with the same slot is no further evidence of a pattern.
    """
    item = finished(before, event, after)
    return already if item is None or item.eye is None or item.step != "cut" else already | {item.eye}


def axis_errors(name: str, bench: Bench, pair: Pair, at: float, cut: frozenset[Eye]) -> tuple[AxisError, ...]:
    """Of a pair just judged at the bench called `name`: the axis errors in degrees of the eyes newly `cut`."""
    helper = bench.day.helper if bench.day is not None else None
    found = [(eye, pair.check.eye(eye)) for eye in Eye if eye in cut] if pair.check is not None else []
    return tuple(
        AxisError(eye, check.judgement.axis_error_deg, name, helper or 0, at)
        for eye, check in found
        if check is not None and check.judgement.axis_error_deg is not None
    )

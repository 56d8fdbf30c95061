"""Time on the steps: of one session, and how it stands among the others of a folder. Pure; seconds."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import quantiles
from typing import Final

from assistant.replay.moments import Moment

LEAST_VISITS: Final = 3
"""Fewer visits have no spread worth showing."""
StepTimes = Mapping[str, tuple[float, ...]]
"""Step id to the seconds of each visit to it that came to an end."""


def step_times(moments: Iterable[Moment]) -> StepTimes:
    """Each visit's seconds by step. A visit cut by the supervisor's question counts as two."""
    times: defaultdict[str, list[float]] = defaultdict(list)
    for moment in moments:
        if moment.leaves and (spent := moment.step_s) is not None:
            times[moment.item.step].append(spent)
    return {step: tuple(spent) for step, spent in times.items()}


@dataclass(frozen=True, slots=True)
class Spread:
    """Of a step in other sessions: a quarter of the visits were shorter than `low_s`, a quarter longer than
    `high_s`."""

    visits: int
    low_s: float
    median_s: float
    high_s: float


def spread(step: str, sessions: Iterable[StepTimes]) -> Spread | None:
    """How long the step took in these sessions; None where too few of them came to it."""
    found = sorted(spent for times in sessions for spent in times.get(step, ()))
    if len(found) < LEAST_VISITS:
        return None
    return Spread(len(found), *quantiles(found, n=4, method="inclusive"))

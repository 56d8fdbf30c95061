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


def beyond(seconds: float, budget_s: float) -> str:
    """Seconds that are over a budget, in as few places as show it: 70 and 40.3 of 40, never 40 of 40."""
    shown = (f"{seconds:.{places}f}" for places in range(7))
    return next((text for text in shown if float(text) > budget_s), repr(seconds))


def against(seconds: float, budget_s: float | None) -> str:
    """For a plot: 24 s; 70 s > budget."""
    if budget_s is None or seconds <= budget_s:
        return f"{seconds:.0f} s"
    return f"{beyond(seconds, budget_s)} s > budget"


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

"""Many sessions together: what each told, added up, and read off as rows. Pure.

A helper is known by bench and picture: nothing in a record says that picture 2 at two benches is one person.
"""

from array import array
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from assistant.optics.patterns import AxisError, Pattern, patterns
from assistant.optics.power import Floats
from assistant.optics.rescue import RescueKind
from assistant.replay.pace import Spread
from assistant.replay.summary_facts import WAITING, Facts, Lost, WentWrong
from assistant.workflow.steps import STEPS
from assistant.workflow.tries import HANDED_OVER

ORDER: Mapping[str, int] = {step.id: place for place, step in enumerate(STEPS)}
"""Step id to its place in the work."""


class Share(NamedTuple):
    done: int
    first_try: int

    @property
    def part(self) -> float:
        """0 to 1; 1 where nothing was done."""
        return self.first_try / self.done if self.done else 1.0


class Who(NamedTuple):
    bench: str
    helper: int
    """Number of the helper's picture; 0 where none was chosen."""


@dataclass(slots=True)
class Summary:
    """Filled session by session with `add`; everything else only reads."""

    sessions: int = 0
    benches: set[str] = field(default_factory=set)
    outcomes: Counter[str] = field(default_factory=Counter)
    judged: int = 0
    passed: int = 0
    wrong: Counter[WentWrong] = field(default_factory=Counter)
    lost: Counter[Lost] = field(default_factory=Counter)
    rescues_tried: Counter[RescueKind] = field(default_factory=Counter)
    rescues_held: Counter[RescueKind] = field(default_factory=Counter)
    axis_errors: list[AxisError] = field(default_factory=list)
    _step_s: dict[str, "array[float]"] = field(default_factory=lambda: defaultdict(lambda: array("d")))
    _pair_s: dict[Who, "array[float]"] = field(default_factory=lambda: defaultdict(lambda: array("d")))
    _done: Counter[tuple[str, Who]] = field(default_factory=Counter)
    _first: Counter[tuple[str, Who]] = field(default_factory=Counter)

    def add(self, facts: Facts) -> None:
        """Take in one session."""
        self.sessions += 1
        self.benches.add(facts.bench)
        self.judged += facts.judged
        self.passed += facts.passed
        self.wrong.update(facts.wrong)
        self.lost.update(facts.lost)
        self.rescues_tried.update(facts.rescues_tried)
        self.rescues_held.update(facts.rescues_held)
        self.axis_errors += facts.axis_errors
        for step, helper, seconds, first in facts.finished:
            key = (step, Who(facts.bench, helper))
            self._step_s[step].append(seconds)
            self._done[key] += 1
            self._first[key] += first
        for helper, outcome, seconds in facts.ended:
            self.outcomes[outcome] += 1
            if outcome == HANDED_OVER:
                self._pair_s[Who(facts.bench, helper)].append(seconds)

    @property
    def steps(self) -> tuple[str, ...]:
        """Steps that were finished anywhere, in the order of the work."""
        return tuple(sorted(self._step_s, key=ORDER.__getitem__))

    @property
    def helpers(self) -> tuple[Who, ...]:
        return tuple(sorted({who for _, who in self._done}))

    def step_time(self, step: str) -> Spread:
        return spread(self._step_s[step])

    def pair_time(self, who: Who | None = None) -> Spread | None:
        """Of pairs handed over, from taking up the order; None where there are none."""
        wanted = [seconds for one, seconds in self._pair_s.items() if who in (None, one)]
        return spread(np.concatenate(wanted)) if wanted else None

    @property
    def shares(self) -> dict[tuple[str, Who], Share]:
        """How often right at the first try, by step and helper; waiting for the supervisor is no step."""
        return {key: Share(done, self._first[key]) for key, done in self._done.items() if key[0] != WAITING}

    def share(self, step: str | None = None, who: Who | None = None) -> Share:
        """The same added up: of one step or all, by one helper or all."""
        own = [share for (of, by), share in self.shares.items() if step in (None, of) and who in (None, by)]
        return Share(sum(share.done for share in own), sum(share.first_try for share in own))

    def patterns(self, confidence: float = 0.99) -> tuple[Pattern, ...]:
        return patterns(self.axis_errors, confidence)


def spread(seconds: Sequence[float] | Floats) -> Spread:
    """Quartiles, interpolated between neighbours. Raises `IndexError` for none."""
    low, median, high = np.quantile(np.asarray(seconds, float), (0.25, 0.5, 0.75)).tolist()
    return Spread(len(seconds), low, median, high)


def summed(facts: Iterable[Facts]) -> Summary:
    summary = Summary()
    for one in facts:
        summary.add(one)
    return summary

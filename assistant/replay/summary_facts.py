"""What one session tells towards a summary of many: plain figures, small enough to send between processes. Pure.

Times are gaps between one event and the next, given to the step that was being done: the night before a new
day, and gaps over which the bench's clock was set back, are left out; waiting for the supervisor stands apart.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from assistant.kit.profile import Kit
from assistant.kit.stock import Blank
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.optics.rescue import RescueKind
from assistant.replay.mistakes import MistakeKind
from assistant.replay.moments import Moment, moments
from assistant.replay.timeline import NOT_ASKED
from assistant.workflow.events import DayOpened, Event, TakenBack
from assistant.workflow.happened import axis_errors, newly_cut
from assistant.workflow.state import Bench
from assistant.workflow.tries import HANDED_OVER, at_first_try, finished, item_under, spoilt

WAITING: Final = "supervisor"
"""The step under which waiting for a decision is counted."""
GIVEN_UP: Final = "given_up"
"""Why a lens is lost that was cut for a pair nobody finished."""


class Finished(NamedTuple):
    """One step done, for one eye where it is done for one."""

    step: str
    helper: int
    """Number of the helper's picture; 0 where none was chosen."""
    seconds: float
    first_try: bool


class Lost(NamedTuple):
    """A lens that no wearer got."""

    how: MistakeKind
    """Broken, or set aside."""
    why: str
    """Code of the refusal or cause that it was lost by."""


class Ended(NamedTuple):
    """A pair closed, and how."""

    helper: int
    outcome: str
    seconds: float


class WentWrong(NamedTuple):
    kind: MistakeKind
    step: str
    code: str


@dataclass(slots=True)
class Facts:
    """One session. Lenses lost and rescued are those that stand in the end; mistakes are all that were made."""

    bench: str
    finished: list[Finished] = field(default_factory=list)
    ended: list[Ended] = field(default_factory=list)
    wrong: Counter[WentWrong] = field(default_factory=Counter)
    lost: list[Lost] = field(default_factory=list)
    rescues_tried: Counter[RescueKind] = field(default_factory=Counter)
    """By kind, a lens each time."""
    rescues_held: Counter[RescueKind] = field(default_factory=Counter)
    """The last rescue of each lens that went to its wearer after all."""
    judged: int = 0
    passed: int = 0
    axis_errors: list[AxisError] = field(default_factory=list)
    """Each lens once for every slot cut in it: read again with the same slot, it is no further evidence."""
    clock_set_back: int = 0
    misfits: int = 0
    """Entries that answer what was not asked: the session was made with another kit."""


def facts_of(kit: Kit, bench: str, events: Iterable[Event]) -> Facts:
    """Fold a record's events from its first one, and keep what a summary wants of it."""
    teller = _Teller(Facts(bench))
    for moment in moments(kit, events):
        teller.hear(moment)
    return teller.facts


@dataclass(slots=True)
class _Teller:
    facts: Facts
    last_at: float | None = None
    on_step_s: float = 0.0
    waiting_s: float = 0.0
    spoilt: bool = False
    newly_cut: frozenset[Eye] = frozenset()
    """Eyes whose lens has a slot that no check has read yet."""

    def hear(self, moment: Moment) -> None:
        self._time(moment)
        self._step(moment)
        for mistake in moment.mistakes:
            step = item_under(moment.before).step
            self.facts.wrong[WentWrong(mistake.kind, step, mistake.code)] += 1
            self.facts.misfits += mistake.code == NOT_ASKED
        self._lenses(moment)
        self._pair(moment)

    def _time(self, moment: Moment) -> None:
        gap = 0.0 if self.last_at is None else moment.at - self.last_at
        self.last_at = moment.at
        if gap < 0.0:
            self.facts.clock_set_back += 1
        elif isinstance(moment.event, DayOpened):
            return
        elif moment.before.question is None:
            self.on_step_s += gap
        else:
            self.waiting_s += gap

    def _step(self, moment: Moment) -> None:
        before, after = moment.before, moment.after
        helper = moment.helper or 0
        if before.question is not None and after.question is None:
            self.facts.finished.append(Finished(WAITING, helper, self.waiting_s, True))
            self.waiting_s = 0.0
        item = finished(before, moment.event, after)
        if item is not None:
            first = at_first_try(self.spoilt, before, after)
            self.facts.finished.append(Finished(item.step, helper, self.on_step_s, first))
        self.spoilt = spoilt(self.spoilt, before, moment.event, after)
        if item_under(before) != item_under(after):
            self.on_step_s = 0.0

    def _lenses(self, moment: Moment) -> None:
        before, after = moment.before, moment.after
        if after.stock is before.stock:
            return
        put_back = _gone(before) - _gone(after)
        if put_back > 0:
            del self.facts.lost[-put_back:]
        why = after.refusal.code if after.refusal is not None else GIVEN_UP
        broken = max(0, after.stock.broken - before.stock.broken)
        aside = after.stock.blanks[len(before.stock.blanks) :]
        self.facts.lost += [Lost(MistakeKind.BROKEN, why)] * broken
        self.facts.lost += [Lost(MistakeKind.SET_ASIDE, _cause(before, blank) or why) for blank in aside]

    def _pair(self, moment: Moment) -> None:
        before, after, facts = moment.before, moment.after, self.facts
        self.newly_cut = newly_cut(self.newly_cut, before, moment.event, after)
        check = moment.verdict
        if check is not None and after.pair is not None:
            facts.judged += 1
            facts.passed += check.passed
            facts.axis_errors += axis_errors(facts.bench, after, after.pair, moment.at, self.newly_cut)
            self.newly_cut = frozenset()
        for eye in Eye:
            facts.rescues_tried.update(_tried(after, eye)[len(_tried(before, eye)) :])
            if isinstance(moment.event, TakenBack):
                facts.rescues_tried.subtract(_tried(before, eye)[len(_tried(after, eye)) :])
        for closed in after.closed[len(before.closed) :]:
            seconds = closed.ended_at - closed.started_at
            facts.ended.append(Ended(moment.helper or 0, closed.outcome, seconds))
            if closed.outcome == HANDED_OVER:
                facts.rescues_held.update(tried[-1] for eye in Eye if (tried := _tried(before, eye)))


def _gone(bench: Bench) -> int:
    return bench.stock.broken + len(bench.stock.blanks)


def _cause(bench: Bench, blank: Blank) -> str | None:
    """Why a lens was set aside at the look at a pair that failed: the likeliest cause for its eye."""
    pair = bench.pair
    if pair is None or pair.check is None:
        return None
    for eye in pair.eyes:
        lens, check = pair.plan.eye(eye).lens, pair.check.eye(eye)
        if lens is not None and check is not None and lens.pocket == blank.pocket and check.causes:
            return check.causes[0].code.value
    return None


def _tried(bench: Bench, eye: Eye) -> tuple[RescueKind, ...]:
    """Rescues so far on the lens now in this eye's rim."""
    return () if bench.pair is None else bench.pair.work(eye).tried

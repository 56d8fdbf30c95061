"""One event of a session with the bench before and after it, and what a trainer asks about it. Pure."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.replay.mistakes import Mistake, mistakes
from assistant.workflow.advance import advance
from assistant.workflow.checking import PairCheck
from assistant.workflow.effects import Effect
from assistant.workflow.events import Answered, Event
from assistant.workflow.happened import judged, same_step
from assistant.workflow.pictures import Picture
from assistant.workflow.show import picture
from assistant.workflow.state import Bench, Item


@dataclass(frozen=True, slots=True)
class Moment:
    """An event, and the fold round it. Times are seconds since 1970-01-01 UTC by the bench's clock."""

    line: int
    """Of the record, from 1."""
    event: Event
    before: Bench
    after: Bench
    effects: tuple[Effect, ...]
    """What the bench said, showed and listened for because of the event."""
    step_began_at: float
    """When the step that the event met had become the current one."""

    @property
    def at(self) -> float:
        return self.event.at

    @property
    def item(self) -> Item:
        """The step and eye that the event met."""
        return self.before.current

    @property
    def case(self) -> str | None:
        """Of the pair that the event met, or began."""
        pair = self.before.pair or self.after.pair
        return None if pair is None else pair.order.case

    @property
    def helper(self) -> int | None:
        """Number of the helper's picture; None until one is chosen."""
        return None if self.after.day is None else self.after.day.helper

    @property
    def language(self) -> str:
        """What was spoken to the helper."""
        return "en" if self.after.day is None else self.after.day.language

    @property
    def own_language(self) -> str:
        """What the helper spoke, where it was another; else empty."""
        return "" if self.after.day is None else self.after.day.own

    @property
    def step_s(self) -> float | None:
        """Seconds on the step up to the event; None where the bench's clock was set back meanwhile."""
        spent = self.at - self.step_began_at
        return spent if spent >= 0.0 else None

    @property
    def leaves(self) -> bool:
        """The bench went on to another step or eye."""
        return not same_step(self.before, self.after)

    @property
    def finishes(self) -> bool:
        """An entry was accepted and was the step's last."""
        return self.leaves and self.entry is not None and self.after.refusal is None

    @property
    def entry(self) -> Answered | None:
        """The entry, with its source, the words heard and the name of its clip."""
        return self.event if isinstance(self.event, Answered) else None

    @property
    def mistakes(self) -> tuple[Mistake, ...]:
        return mistakes(self.before, self.event, self.after)

    @property
    def verdict(self) -> PairCheck | None:
        """The check of the finished pair, if this event was its last reading."""
        pair = judged(self.before, self.event, self.after)
        return None if pair is None else pair.check

    @property
    def picture(self) -> Picture:
        """What the helper saw after the event."""
        return picture(self.after)


def moments(kit: Kit, events: Iterable[Event]) -> Iterator[Moment]:
    """Fold a record's events, from its first one, as the bench did. Never raises for any event."""
    bench = Bench(kit, Stock.packed(kit.bank))
    began: float | None = None
    for line, event in enumerate(events, 1):
        before = bench
        bench, effects = advance(before, event)
        yield Moment(line, event, before, bench, effects, event.at if began is None else began)
        if began is None or not same_step(before, bench):
            began = event.at

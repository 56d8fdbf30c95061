"""A virtual helper and the fold, turn by turn: one event at a time, with times from a seeded clock."""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.order import Order
from assistant.practice.helper import VirtualHelper
from assistant.practice.speaking import KEYED_ONLY, words_for
from assistant.workflow.advance import advance
from assistant.workflow.effects import Effect, Listen
from assistant.workflow.events import Answered, DayOpened, Event, OrderHandedOver, Source
from assistant.workflow.state import Bench

MOST_TURNS = 2000
"""A pair takes about forty turns; this many mean that it does not end."""
USUAL_STEP_S = 25.0


class NeverEnds(RuntimeError):  # noqa: N818 - says what happened
    """The pair went round and round; the message says where."""


@dataclass
class Turns:
    """Feeds a bench; keeps what happened. Times grow by the kit's budget of the step, more or less."""

    bench: Bench
    helper: VirtualHelper
    clock: Random
    at: float
    events: list[Event] = field(default_factory=list)
    effects: tuple[Effect, ...] = ()
    watch: Callable[["Turns"], None] | None = None
    """Called after every event."""
    talks: str = ""
    """Entries are said from now on, in this language; their clips are named by `clips_from`."""
    clips_from: int = 0
    said: dict[str, str] = field(default_factory=dict)
    """Clip to the words that were truly said in it."""

    def send(self, event: Event) -> None:
        self.events.append(event)
        self.bench, self.effects = advance(self.bench, event)
        if self.watch is not None:
            self.watch(self)

    def tick(self) -> float:
        """Now, after the time that the current step takes this helper."""
        budget = self.bench.kit.time_budget_s.get(self.bench.current.step, USUAL_STEP_S)
        self.at = round(self.at + budget * self.clock.uniform(0.25, 0.75), 1)
        return self.at

    def listening(self) -> Listen:
        return next(effect for effect in self.effects if isinstance(effect, Listen))

    def key(self, text: str) -> None:
        """One entry for whatever is listened for."""
        wanted = self.listening()
        self.send(Answered(at=self.tick(), step=wanted.step, field=wanted.field, text=text))

    def say(self, text: str) -> None:
        """The same, said aloud and understood; keyed where it cannot be said."""
        wanted = self.listening()
        words = None if wanted.step in KEYED_ONLY else words_for(text, wanted, self.talks)
        if words is None:
            self.key(text)
        else:
            self.misheard(words, text, words)

    def misheard(self, words: str, text: str, heard: str) -> None:
        """Said as `words`, taken for `text` by a recogniser that gave `heard`."""
        wanted = self.listening()
        clip = f"{self.clips_from + len(self.said) + 1:06d}.flac"
        self.said[clip] = words
        self.send(
            Answered(
                at=self.tick(),
                step=wanted.step,
                field=wanted.field,
                text=text,
                source=Source.VOICE,
                heard=heard,
                clip=clip,
            )
        )

    def turn(self) -> None:
        """The helper's next entry."""
        answer = self.helper.answer(self.effects)
        if self.talks:
            self.say(answer)
        else:
            self.key(answer)

    def until(self, reached: Callable[[Bench], bool]) -> None:
        """Turn after turn. Raises `NeverEnds`."""
        for _ in range(MOST_TURNS):
            if reached(self.bench):
                return
            self.turn()
        raise NeverEnds(f"after {MOST_TURNS} entries the bench stands at {self.bench.current}")

    def until_step(self, *steps: str) -> None:
        self.until(lambda bench: bench.current.step in steps)

    def make(self, order: Order) -> None:
        """Hand over an order and work until its pair is closed."""
        closed = len(self.bench.closed)
        self.send(OrderHandedOver(at=self.at, order=order))
        self.until(lambda bench: len(bench.closed) > closed)


def opened(kit: Kit, helper: VirtualHelper, seed: int, at: float, date: str) -> Turns:
    """A bench packed and opened for the day, its start-of-day checks done."""
    turns = Turns(Bench(kit, Stock.packed(kit.bank)), helper, Random(seed), at)
    turns.send(DayOpened(at=at, date=date))
    turns.until(lambda bench: not bench.the_day.agenda)
    return turns

"""Records as benches write them, made by a careful helper, for tests of whatever reads them."""

from collections.abc import Iterable, Sequence

from hands import Hands, order_of

from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.events import EVENTS
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.eye import Eye
from assistant.workflow.events import DayOpened, Event, OrderHandedOver
from assistant.workflow.state import Bench

RIGHT, LEFT = "-2.00/-1.00x30", "-1.50/-0.50x165"


def lines_of(bench: str, events: Iterable[Event]) -> list[str]:
    """The lines of these events, without newlines."""
    lines, previous = [], FIRST_PREVIOUS
    for seq, event in enumerate(events, 1):
        data = EVENTS.encode(event, seq=seq, bench=bench, previous=previous)
        lines.append(data.decode().rstrip("\n"))
        previous = hash_of(data)
    return lines


class Recorded:
    """A bench whose helper works by hand calls, and its record."""

    def __init__(self, name: str, kit: Kit, at: float = 1_793_600_000.0) -> None:
        self.name = name
        self.hands = Hands(Bench(kit, Stock.packed(kit.bank)), at)
        self.hands.send(DayOpened(at=self.hands.tick(), date="2026-11-02"))

    @property
    def bench(self) -> Bench:
        return self.hands.bench

    @property
    def lines(self) -> list[str]:
        return lines_of(self.name, self.hands.events)

    def order(self, case: str = "101", right: str | None = RIGHT, left: str | None = LEFT) -> None:
        order = order_of(right, left, case=case)
        self.hands.send(OrderHandedOver(at=self.hands.tick(), order=order))

    def until(self, *steps: str) -> None:
        self.hands.until(*steps)

    def planned(self, eye: Eye = Eye.RIGHT) -> int:
        """The pocket that the pair in the making has for this eye."""
        lens = self.bench.the_pair.plan.eye(eye).lens
        assert lens is not None
        return lens.pocket


def folded(kit: Kit, events: Sequence[Event]) -> Bench:
    """What the bench itself makes of these events."""
    hands = Hands(Bench(kit, Stock.packed(kit.bank)))
    for event in events:
        hands.send(event)
    return hands.bench

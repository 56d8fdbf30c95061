"""A hub in this process, and benches whose records go to it when a test says so."""

from pathlib import Path

from records import Recorded

from assistant.hub.hub import Hub
from assistant.hub.protocol import MOST_LINES, Answer, Mail, Reserve, Reserved, Taken, Upload
from assistant.hub.store import Store
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.workflow.events import BankShared, StockCounted, SupervisorAnswered

START = 1_793_600_000.0


class Clock:
    """The board's clock, moved by the test."""

    def __init__(self, now: float = START) -> None:
        self.now = now

    def __call__(self) -> float:
        return self.now


class Clinic:
    def __init__(self, database: Path | str, kit: Kit) -> None:
        self.kit, self.database, self.clock = kit, database, Clock()
        self.store = Store(database)
        self.hub = Hub(kit, self.store, self.clock)
        self.benches: dict[str, Recorded] = {}

    def restart(self) -> None:
        """The board's program ends and begins again."""
        self.store.close()
        self.store = Store(self.database)
        self.hub = Hub(self.kit, self.store, self.clock)

    def bench(self, name: str) -> Recorded:
        if name not in self.benches:
            self.benches[name] = Recorded(name, self.kit, self.clock.now)
        return self.benches[name]

    def send(self, name: str) -> Taken:
        """Everything the board has not, and the clocks together."""
        one = self.benches[name]
        self.clock.now = max(self.clock.now, one.hands.at)
        one.hands.at = self.clock.now
        lines, first = one.lines, self.hub.known(name).story.seq + 1
        knows = ""
        while True:
            part = lines[first - 1 : first - 1 + MOST_LINES]
            taken = self.hub.upload(
                name,
                Upload(
                    first=first,
                    lines=part,
                    have=len(lines),
                    now=one.hands.at,
                    kit=self.hub.mark,
                    knows=knows,
                ),
            )
            if taken.next > len(lines):
                return taken
            first = taken.next

    def learn(self, name: str) -> None:
        """The bench hears what the others hold and writes it down."""
        taken = self.send(name)
        if taken.elsewhere is not None:
            hands = self.benches[name].hands
            hands.send(BankShared(at=hands.tick(), elsewhere=taken.elsewhere))
            self.send(name)

    def take_mail(self, name: str, mail: Mail) -> None:
        """What a bench does with mail, less its own check that it comes once."""
        hands = self.benches[name].hands
        at = hands.tick()
        if isinstance(mail, Answer):
            hands.send(SupervisorAnswered(at=at, yes=mail.yes, code=mail.code, reason=mail.reason))
        else:
            hands.send(StockCounted(at=at, pocket=mail.pocket, count=mail.count, counted_at=mail.counted_at))

    def reserve(self, name: str, pocket: int, lenses: int = 1) -> Reserved:
        """Ask for lenses with the bench's next line."""
        one = self.benches[name]
        free = int(one.bench.stock.available[self.kit.bank.row_of(pocket)])
        line = len(one.hands.events) + 1
        return self.hub.reserve(name, Reserve(line=line, wanted={pocket: lenses}, free={pocket: free}))

    def planned(self, name: str, case: str = "101") -> int:
        """Bring a bench to a plan, and send it; the right eye's pocket."""
        one = self.bench(name)
        one.until("order")
        one.order(case)
        one.until("fetch")
        self.send(name)
        return one.planned(Eye.RIGHT)

    def there(self, pocket: int) -> int:
        return int(self.hub.bank.ledger.there[self.kit.bank.row_of(pocket)])

    def held(self, name: str, pocket: int) -> int:
        """What the others hold of a pocket, as this bench is told."""
        return self.hub.bank.elsewhere(name).get(pocket, 0)

"""A hub in the test's own process, filled with sessions of the invented clinic, and the board's desk over it."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from assistant.board.desk import Desk
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.protocol import Answer, Mail, Upload
from assistant.hub.store import Store
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit, NasalIndex
from assistant.kit.stock import Stock
from assistant.practice.helper import VirtualHelper
from assistant.practice.run import opened
from assistant.practice.scenes import DATE, MORNING, order_of
from assistant.practice.sessions import as_record
from assistant.practice.slips import CAREFUL
from assistant.workflow.advance import advance
from assistant.workflow.events import Event, HelpAsked, SupervisorAnswered
from assistant.workflow.state import Bench

NOW: Final = 1_793_700_000.0
"""2026-11-03, ten in the morning UTC."""
CODE: Final = "4071"
DEMO_SESSIONS: Final = Path(__file__).parent.parent / "demo_sessions"

Until = Callable[[Bench], bool]


class Boat:
    """A board with a clock that stands until it is moved, and benches whose records come straight in."""

    def __init__(self, folder: Path, kit: Kit | None = None) -> None:
        self.kit = kit or demo_kit()
        self.now = NOW
        store = Store(folder / "board.sqlite")
        self.hub = Hub(self.kit, store, lambda: self.now)
        door = Door(self.kit, self.hub.mark, store, lambda: self.now)
        self.desk = Desk(self.hub, door, ["192.168.8.2:8750"])
        self.mail: dict[str, list[Mail | None]] = {}
        self._events: dict[str, list[Event]] = {}

    def send(self, bench: str, events: Sequence[Event], ago_s: float = 0.0) -> None:
        """The record so far, its last line `ago_s` before now."""
        self._events[bench] = list(events)
        lines = as_record(events, bench).decode().splitlines()
        now = events[-1].at + ago_s
        for first in range(1, len(lines) + 1, 200):
            part = lines[first - 1 : first + 199]
            self.hub.upload(
                bench, Upload(first=first, lines=part, have=len(lines), now=now, kit=self.hub.mark)
            )
        if bench not in self.mail:
            self.mail[bench] = []
            self.hub.listen(bench, self.mail[bench].append)

    def take_up(self, bench: str) -> None:
        """The bench writes the answer that came into its record, and sends it."""
        answer = self.mail[bench].pop(0)
        assert isinstance(answer, Answer)
        events = self._events[bench]
        heard = SupervisorAnswered(
            at=events[-1].at + 1.0, yes=answer.yes, code=answer.code, reason=answer.reason
        )
        self.send(bench, [*events, heard])


def session(name: str, kit: Kit, until: Until | None = None) -> list[Event]:
    """A demonstration session, cut off once `until` holds. Raises `AssertionError` if it never does."""
    events = [line.event for line in read(DEMO_SESSIONS / f"{name}.jsonl", EVENTS).lines]
    bench = Bench(kit, Stock.packed(kit.bank))
    for number, event in enumerate(events, 1):
        bench, _ = advance(bench, event)
        if until is not None and until(bench):
            return events[:number]
    assert until is None, f"session {name} never comes so far"
    return events


def called(events: Sequence[Event]) -> list[Event]:
    """The same, and then the helper calls."""
    return [*events, HelpAsked(at=events[-1].at + 5.0)]


def at(step: str, eye: str | None = None) -> Until:
    def there(bench: Bench) -> bool:
        item = bench.current
        return item.step == step and (eye is None or (item.eye is not None and item.eye.value == eye))

    return there


def asks(bench: Bench) -> bool:
    return bench.question is not None


def failed(bench: Bench) -> bool:
    pair = bench.pair
    return pair is not None and pair.check is not None and not pair.check.passed


def index_elsewhere(kit: Kit, pairs: int = 10) -> list[Event]:
    """Pairs of a careful helper whose protractor is marked otherwise than `kit` says."""
    drawn = kit.protractor.nasal_index
    other = NasalIndex.AT_PIN if drawn is NasalIndex.ON_CENTRE_LINE else NasalIndex.ON_CENTRE_LINE
    real = replace(kit, protractor=replace(kit.protractor, nasal_index=other))
    turns = opened(kit, VirtualHelper(real, 4, CAREFUL), 4, MORNING, DATE)
    for number in range(pairs):
        turns.make(order_of("-2.25/-0.50x30", "-1.75/-0.50x155", f"{300 + number}"))
    return turns.events


def morning(folder: Path, benches: int = 4) -> Boat:
    """A clinic at work: a substitute asked for, a pair that failed, a learner's morning, a bench gone silent."""
    boat = Boat(folder)
    kit = boat.kit
    boat.send("otter", session("01-smooth-pair", kit, at("cut", "left")), 20.0)
    boat.now += 400.0
    boat.send("heron", session("07-substitute-granted", kit, asks), 95.0)
    boat.send("crab", session("13-learner-s-morning", kit), 12.0)
    boat.send("turtle", session("06-lenses-swapped", kit, failed), 31.0)
    others = (
        ("egret", called(session("05-pin-too-short", kit, at("trim", "right"))), 190.0),
        ("gecko", session("12-taken-back", kit, at("mark", "right")), 300.0),
        ("ray", session("03-slot-on-centre-line", kit, at("wearer")), 8.0),
        ("tern", session("11-lens-in-the-wrong-pocket", kit, at("reference")), 4.0),
        ("plover", index_elsewhere(kit) if benches > 8 else [], 2.0),
    )
    for name, events, ago_s in others[: max(0, benches - 4)]:
        boat.send(name, events, ago_s)
    return boat

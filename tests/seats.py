"""Benches in one process that sit down at a board through a network that can be cut."""

import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import numpy as np
from hands import Hands, order_of
from lan import Lan, Lane
from served import Served

from assistant.bench.board_link import board_of, linked
from assistant.bench.linked import Arrivals, LinkedSession
from assistant.bench.session import RECORD
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.profile import Kit
from assistant.workflow.events import Answered, Event

PATIENCE_S = 20.0


def until(true: Callable[[], bool]) -> None:
    """Wait for what other threads do. Raises `AssertionError` when it does not come."""
    end = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.01)


class Seat:
    """One bench at its place: a session with its uplink, and the hands that work it."""

    def __init__(self, session: LinkedSession, arrivals: Arrivals, lane: Lane, folder: Path) -> None:
        self.session, self.arrivals, self.lane, self.folder = session, arrivals, lane, folder

    @property
    def promised(self) -> set[int]:
        """Pockets that lenses are promised from."""
        rows = np.flatnonzero(self.session.bench.stock.promised)
        return {int(self.session.bench.kit.bank.pocket[row]) for row in rows}

    def key(self, text: str) -> None:
        hands = Hands(self.session.bench)
        step, name = self.session.bench.current.step, hands.listening().field
        self.session.submit(Answered(at=self.session.now(), step=step, field=name, text=text))

    def work(self, until_step: str) -> None:
        """The right answers, up to a step."""
        for _ in range(200):
            step = self.session.bench.current.step
            if step == until_step:
                return
            hands = Hands(self.session.bench)
            self.key(hands.right_answer(step, hands.listening().field))
        raise AssertionError(f"never reached {until_step}")

    def take_mail(self) -> int:
        """Take up what came; how many pieces meant something."""
        return sum(bool(self.session.received(mail)) for mail in self.arrivals.now())

    def reached(self) -> bool:
        return not self.session.alone

    def recorded(self, kind: type[Event]) -> int:
        """How many events of this kind the record on disk holds."""
        lines = read(self.folder / RECORD, EVENTS).lines
        return sum(isinstance(line.event, kind) for line in lines)


class Room:
    """A board and a network in which benches sit down."""

    def __init__(self, hub: Served, network: Lan, home: Path, closing: ExitStack, kit: Kit) -> None:
        self.hub, self._network, self._home, self._closing, self.kit = hub, network, home, closing, kit
        self.port = int(hub.address.rpartition(":")[2])

    def seat(self, name: str, pair: bool = True) -> Seat:
        """A paired bench; `pair=False` for one that was paired before and starts anew."""
        folder = self._home / name
        folder.mkdir(exist_ok=True)
        lane = self._network.lane(self.port)
        codes = (self.hub.door.code,) if pair else None
        board = board_of(folder, name, self.kit, lane.address, codes)
        assert board.trouble == ""
        session, _ = LinkedSession.open(folder, name, self.kit, time.time)
        self._closing.enter_context(session)
        arrivals = Arrivals()
        self._closing.enter_context(linked(session, board, arrivals))
        session.begin_day("2026-11-02", [order_of("-2.00/-1.00x30", "-1.50/-0.50x165", case="101")])
        seat = Seat(session, arrivals, lane, folder)
        until(seat.reached)
        return seat

    def lines(self, name: str) -> int:
        return self.hub.call(lambda: self.hub.hub.stories[name].seq)

    def caught_up(self, seat: Seat) -> bool:
        return self.lines(seat.folder.name) == seat.session.lines

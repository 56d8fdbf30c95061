"""A day at the clinic with real programs: benches worked by virtual helpers, one board, one bank of lenses.

The bank here is the true one: pockets with lenses in them, whatever the programs believe.
"""

import threading
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Final

import httpx
import msgspec
import numpy as np
from boards import Supervisor
from lan import Lane
from piped_bench import PipedBench

from assistant.hub.client import HubClient, load_pairing
from assistant.hub.protocol import Taken, Upload, kit_mark
from assistant.kit.bank import Bank
from assistant.optics.eye import Eye
from assistant.practice.helper import VirtualHelper
from assistant.practice.slips import Rates, Slip
from assistant.workflow import pictures as p
from assistant.workflow.effects import Effect, Listen, Show
from assistant.workflow.entry import NOT_THERE
from assistant.workflow.events import Answered
from assistant.workflow.present import present
from assistant.workflow.state import Bench

CLUMSY: Final = Rates(
    {
        Slip.CHIPPED: 0.1,
        Slip.SLOT_DEEP: 0.05,
        Slip.SLOT_SHALLOW: 0.1,
        Slip.PIN_LONG: 0.1,
        Slip.FRAME_BENT: 0.1,
    }
)
"""Lenses break and are replaced, entries are refused; nothing is put into a wrong pocket."""
BOARD_ANSWERS_S: Final = 5.0
"""How long a helper waits for the supervisor's answer from the board before fetching him."""
ENTRY_S: Final = 0.1
"""Between two entries. A real helper takes ten seconds; here benches, board and helpers share one computer."""


class Shelf:
    """What is in the pockets. Several benches reach into it."""

    def __init__(self, bank: Bank) -> None:
        self._bank, self._hands = bank, threading.Lock()
        self.there = np.array(bank.count, dtype=np.int64)
        self.found_empty: list[tuple[str, int]] = []
        """Bench and pocket, each time a helper was sent to a pocket with nothing in it."""

    def take(self, bench: str, pocket: int) -> bool:
        with self._hands:
            row = self._bank.row_of(pocket)
            if self.there[row] == 0:
                self.found_empty.append((bench, pocket))
                return False
            self.there[row] -= 1
            return True

    def count(self, pocket: int) -> int:
        return int(self.there[self._bank.row_of(pocket)])

    def put_back(self, pocket: int) -> None:
        with self._hands:
            self.there[self._bank.row_of(pocket)] += 1


Place = tuple[int, str]
"""The how-manieth pair, from 1 on, and the step."""
Incident = Callable[["Worker"], None]


@dataclass
class Worker:
    """One helper at one bench, until `pairs` are closed. An incident happens as its place is reached."""

    bench: PipedBench
    lane: Lane
    helper: VirtualHelper
    shelf: Shelf
    pairs: int
    incidents: Mapping[Place, Incident] = field(default_factory=dict)
    pause_s: float = ENTRY_S
    happened: list[Place] = field(default_factory=list)
    promised_alone: set[int] = field(default_factory=set)
    """Pockets that this bench promised itself while it showed the sign of a board that is away."""
    planned: int = 0
    planned_alone: int = 0
    keyed: int = 0
    answered_from_board: int = 0
    entry_s: list[float] = field(default_factory=list)
    """From an entry's newline to its prompt."""
    kill_at_next_key: bool = False
    _unsure: str | None = None

    @property
    def state(self) -> Bench:
        return self.bench.mirror.bench

    def lines(self) -> int:
        """Of the record on disk."""
        self.bench.mirror.follow()
        return len(self.bench.mirror.events)

    def work(self) -> None:
        assert self.bench.prompt() is not None, f"bench {self.bench.name} never asked for anything"
        while len(self.state.closed) < self.pairs:
            self._incident()
            text = self._unsure if self._unsure is not None else self._decided()
            if text is not None:
                self._key(text)

    def _incident(self) -> None:
        place = (len(self.state.closed) + 1, self.state.current.step)
        if place in self.incidents and place not in self.happened:
            self.happened.append(place)
            self.incidents[place](self)

    def restart(self) -> None:
        """kill -9, and begin again."""
        self.bench.kill()
        self.bench.start()
        assert self.bench.prompt() is not None

    # the helper

    def _decided(self) -> str | None:
        """What to key; None where something else moved the bench on."""
        effects = present(self.state)
        listen = next(effect for effect in effects if isinstance(effect, Listen))
        picture = next(effect.picture for effect in effects if isinstance(effect, Show))
        if listen.step == "supervisor" and listen.field == "code" and self._board_answers():
            return None
        if isinstance(picture, p.TrayPicture) and not self.shelf.take(self.bench.name, picture.pocket):
            return NOT_THERE
        text = self.helper.answer(effects)
        if isinstance(picture, p.AccountPicture):
            self._put_back(picture.eye, text, effects)
        return text

    def _board_answers(self) -> bool:
        """Whether the supervisor's answer came, from the board."""
        before = self.state.question
        if self.bench.alone or self.bench.prompt(BOARD_ANSWERS_S) is None or self.state.question is before:
            return False
        self.answered_from_board += 1
        return True

    def _put_back(self, eye: Eye, text: str, _: tuple[Effect, ...]) -> None:
        lens = self.helper.things.in_hand[eye]
        if text == "+" and not lens.slots:
            self.shelf.put_back(lens.pocket)

    def _key(self, text: str) -> None:
        """Key it once, whatever happens to the program meanwhile."""
        time.sleep(self.pause_s)
        self._unsure = text
        promised, entries = self.state.stock.promised, self._entries()
        began = time.monotonic()
        self.bench.key(text)
        killed, self.kill_at_next_key = self.kill_at_next_key, False
        if killed:
            self.restart()
        while self._entries() == entries:
            if self.bench.prompt(2.0) is None:
                return  # lost with the program: it is keyed again
        self._unsure = None
        self.keyed += 1
        if not killed:
            self.entry_s.append(time.monotonic() - began)
        more = np.flatnonzero(self.state.stock.promised > promised)
        self.planned += bool(more.size)
        if self.bench.alone and more.size:
            self.planned_alone += 1
            self.promised_alone |= {int(self.state.kit.bank.pocket[row]) for row in more}

    def _entries(self) -> int:
        return sum(isinstance(event, Answered) for event in self.bench.mirror.events)


def send_twice_and_out_of_order(worker: Worker, address: str) -> None:
    """What a bad network may do to uploads, by the bench's own token: later lines first, then all of them twice.

    The bench itself is cut off meanwhile.
    """
    bench = worker.bench
    pairing = load_pairing(bench.folder)
    assert pairing is not None
    record = (bench.folder / "record.jsonl").read_text().splitlines()
    now = time.time() + bench.clock_off_s
    with HubClient(msgspec.structs.replace(pairing, address=address)) as client:

        def sent(first: int, last: int) -> Taken:
            mark = kit_mark(bench.kit)
            lines = record[first - 1 : last]
            return client.upload(Upload(first=first, lines=lines, have=len(record), now=now, kit=mark))

        known = sent(len(record) + 1, 0).next
        assert known < len(record) - 2, "the bench had nothing that the board did not know"
        assert sent(known + 2, len(record)).next == known, "lines that do not follow yet are asked for again"
        assert sent(known, known + 1).next == known + 2
        assert sent(1, known + 1).next == known + 2
        assert sent(known, len(record)).next == len(record) + 1
        assert sent(known, len(record)).next == len(record) + 1


class Answering:
    """The supervisor at the board: says yes, but no to a bench that is stuck with the same pair again."""

    def __init__(self, supervisor: Supervisor) -> None:
        self._supervisor, self._over = supervisor, threading.Event()
        self._stuck: set[tuple[str, str]] = set()
        self.given = 0
        self._thread = threading.Thread(target=self._answer_all, name="supervisor", daemon=True)
        self._thread.start()

    def _answer_all(self) -> None:
        while not self._over.wait(0.1):
            with suppress(httpx.TransportError):  # the board is down; the supervisor waits for it
                for question in self._supervisor.view()["questions"]:  # type: ignore[attr-defined]
                    if not question["answered"]:
                        self._answer(question)

    def _answer(self, question: dict[str, str]) -> None:
        again = (question["bench"], question["case"])
        yes = not (question["code"] == "stuck" and again in self._stuck)
        if question["code"] == "stuck":
            self._stuck.add(again)
        given = self._supervisor.answer(question["bench"], int(question["line"]), yes, "seen on the board")
        self.given += given.status_code == 200

    def close(self) -> None:
        self._over.set()
        self._thread.join(10)

"""What a bench tells the board and hears from it, in threads of its own. The bench never waits for them.

The record on disk is the outbox: the sender reads it from the line the board asks for, so nothing is lost
with the program. The listener hands over what the board sends; the bench's own loop puts it in the record.
"""

import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from assistant.bench.tail import Tail
from assistant.hub.client import HubClient, HubError, Pairing
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import (
    HEARTBEAT_S,
    MOST_LINES,
    Mail,
    Reserve,
    Reserved,
    Upload,
    elsewhere_mark,
)

LOOK_S: Final = 0.03
"""How often the sender looks for new lines."""
AGAIN_S: Final = 0.5
"""How long after a failure it tries again."""
REFUSED_AGAIN_S: Final = 2.0
MOST_BATCH_BYTES: Final = 400_000
PARTING_S: Final = 2.0
"""How long the last lines may take when the program ends, if the board is there."""

Clock = Callable[[], float]
Deliver = Callable[[Mail], None]


class Uplink:
    """Start it once the record is open; `deliver` is called from another thread."""

    def __init__(self, record: Path, pairing: Pairing, kit_mark: str, clock: Clock, deliver: Deliver) -> None:
        self._tail, self._pairing, self._mark, self._clock = Tail(record), pairing, kit_mark, clock
        self._deliver = deliver
        self._stop = threading.Event()
        self._sent = threading.Event()
        self._reserving: HubClient | None = None
        self.connected = False
        """Whether the board answered the last call."""
        self.trouble = ""
        """Why the board does not answer or refuses, in one sentence."""
        self.elsewhere: Mapping[int, int] | None = None
        """What the other benches hold, as last heard; None if nothing was heard yet."""

    def start(self) -> None:
        for work in (self._send, self._listen):
            threading.Thread(target=work, name=work.__name__, daemon=True).start()

    def close(self) -> None:
        """Let the last lines go, if the board is there; the rest stays on disk for the next time."""
        if self.connected:
            self._sent.clear()
            self._sent.wait(PARTING_S)
        self._stop.set()

    # out

    def _send(self) -> None:
        client = HubClient(self._pairing)
        wanted: int | None = None
        while not self._stop.is_set():
            try:
                wanted = self._send_once(client, wanted)
                self._stop.wait(self._until_news(wanted))
            except (HubError, OSError) as error:
                self._lost(str(error))
                self._stop.wait(AGAIN_S)
                wanted = None
            except NotDone as refusal:
                self._lost(refusal.what)
                self._stop.wait(REFUSED_AGAIN_S)
                wanted = None

    def _send_once(self, client: HubClient, wanted: int | None) -> int:
        """Send what the board wants, or ask what it wants; returns the line it wants next."""
        have = self._tail.have()
        first = have + 1 if wanted is None else wanted
        lines = self._tail.lines(first, MOST_LINES, MOST_BATCH_BYTES)
        knows = "" if self.elsewhere is None else elsewhere_mark(self.elsewhere)
        upload = Upload(first=first, lines=lines, have=have, now=self._clock(), kit=self._mark, knows=knows)
        taken = client.upload(upload)
        if taken.elsewhere is not None:
            self.elsewhere = taken.elsewhere
        for mail in taken.mail:
            self._deliver(mail)
        self.connected, self.trouble = True, ""
        if taken.next > have:
            self._sent.set()
        return taken.next

    def _until_news(self, wanted: int) -> float:
        """Wait here for a new line, at most a heartbeat; returns what is still to wait."""
        if self._tail.have() >= wanted:
            return 0.0
        for _ in range(int(HEARTBEAT_S / LOOK_S)):
            if self._stop.wait(LOOK_S) or self._tail.have() >= wanted:
                break
        return 0.0

    def _lost(self, why: str) -> None:
        self.connected, self.trouble = False, why

    # in

    def _listen(self) -> None:
        client = HubClient(self._pairing)
        while not self._stop.is_set():
            try:
                for mail in client.mail():
                    if mail is not None:
                        self._deliver(mail)
                    if self._stop.is_set():
                        break
            except (HubError, NotDone):
                # the sender meets the same and says why; the bench works on meanwhile
                client.close()
            self._stop.wait(AGAIN_S)

    # the shared bank

    def reserve(self, line: int, wanted: Mapping[int, int], free: Mapping[int, int]) -> Reserved | None:
        """Ask to promise these lenses. None if the board is not there: then nothing was waited for, or at
        most once the bound of this call."""
        if not self.connected:
            return None
        if self._reserving is None:
            self._reserving = HubClient(self._pairing)
        try:
            return self._reserving.reserve(Reserve(line=line, wanted=dict(wanted), free=dict(free)))
        except (HubError, NotDone) as error:
            self._lost(str(error))
            return None

"""What a bench tells the board and hears from it, in threads of its own. The bench never waits for them.

The record on disk is the outbox: the sender reads it from the line the board asks for, so nothing is lost
with the program. The listener hands over what the board sends; the bench's own loop puts it in the record.
"""

import threading
import time
from collections.abc import Callable, Collection, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Final

from assistant.bench.tail import Tail
from assistant.hub.client import RESERVE_S, HubClient, HubError, Pairing, moved
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import (
    ASKING_HEARTBEAT_S,
    HEARTBEAT_S,
    Mail,
    Reserve,
    Reserved,
    Taken,
    Upload,
    elsewhere_mark,
)

WITHIN_S: Final = RESERVE_S
"""A board that takes longer to answer counts as away: nobody at a bench waits for it."""
AGAIN_S: Final = 0.5
"""How long after a failure it tries again."""
REFUSED_AGAIN_S: Final = 2.0
NOT_KNOWN: Final = 401
"""How a board refuses a bench that it has not paired."""
MOST_AT_ONCE: Final = 40
"""Lines in one call; the board folds them before it hears anybody else."""
MOST_BATCH_BYTES: Final = 400_000
PARTING_S: Final = 2.0
"""How long the last lines may take when the program ends, if the board is there."""

Clock = Callable[[], float]
Deliver = Callable[[Mail], None]
Look = Callable[[Collection[str]], str | None]
"""Finds a board at another address than these; may take seconds."""


class Uplink:
    """Start it once the record is open; `deliver` is called from another thread."""

    def __init__(
        self,
        record: Path,
        pairing: Pairing,
        kit_mark: str,
        clock: Clock,
        deliver: Deliver,
        look: Look | None = None,
    ) -> None:
        self._tail, self._pairing, self._mark, self._clock = Tail(record), pairing, kit_mark, clock
        self._deliver, self._look = deliver, look
        self._kept, self._strangers = pairing, set[str]()
        """Addresses of boards that are not the one this bench is paired with."""
        self._stop, self._news = threading.Event(), threading.Event()
        self._reserver = ThreadPoolExecutor(1, "reserve")
        self._reserving = HubClient(pairing)
        self._asked: Future[Reserved] | None = None
        self._heartbeat_s = HEARTBEAT_S
        self._taken = 0
        """The last line that the board has."""
        self._there = False
        self._asked_at: float | None = None
        self.trouble = ""
        """Why the board does not answer or refuses, in one sentence."""
        self.elsewhere: Mapping[int, int] | None = None
        """What the other benches hold, as last heard; None if nothing was heard yet."""

    @property
    def connected(self) -> bool:
        """The board answered the last call in good time, and does not owe an answer for longer."""
        asked_at = self._asked_at
        return self._there and (asked_at is None or time.monotonic() - asked_at < WITHIN_S)

    def start(self) -> None:
        for work in (self._send, self._listen):
            threading.Thread(target=work, name=work.__name__, daemon=True).start()

    def wake(self, asking: bool) -> None:
        """There is a new line on disk; `asking`: a question of this bench is open."""
        self._heartbeat_s = ASKING_HEARTBEAT_S if asking else HEARTBEAT_S
        self._news.set()

    def close(self, lines: int) -> None:
        """Let the last of `lines` go, if the board is there; what is left stays on disk for the next time."""
        until = time.monotonic() + PARTING_S
        while self.connected and self._taken < lines and time.monotonic() < until:
            self._news.set()
            time.sleep(0.01)
        self._stop.set()
        self._news.set()
        self._reserver.shutdown(wait=False, cancel_futures=True)

    # out

    def _send(self) -> None:
        try:
            self._send_all()
        finally:
            self._there = False

    def _send_all(self) -> None:
        client = HubClient(self._pairing)
        wanted: int | None = None
        lost = False
        while not self._stop.is_set():
            self._news.clear()
            try:
                if lost:
                    lost = False
                    self._find_anew()
                    client = self._afresh(client)
                wanted = self._send_once(client, wanted)
                if self._tail.have() < wanted:
                    self._news.wait(self._heartbeat_s)
            except (HubError, OSError) as error:
                self._lost(str(error))
                lost, wanted = True, None
                self._stop.wait(AGAIN_S)
            except NotDone as refusal:
                self._lost(refusal.what)
                lost, wanted = self._is_a_stranger(refusal), None
                self._stop.wait(REFUSED_AGAIN_S)
            except Exception as error:  # noqa: BLE001 - else the thread ends, and the bench is alone without a word
                self._lost(_unforeseen("sending to", error))
                client, wanted = self._afresh(client), None
                self._stop.wait(REFUSED_AGAIN_S)

    def _send_once(self, client: HubClient, wanted: int | None) -> int:
        """Send what the board wants, or ask what it wants; returns the line it wants next."""
        have = self._tail.have()
        first = have + 1 if wanted is None else wanted
        lines = self._tail.lines(first, MOST_AT_ONCE, MOST_BATCH_BYTES)
        knows = "" if self.elsewhere is None else elsewhere_mark(self.elsewhere)
        upload = Upload(first=first, lines=lines, have=have, now=self._clock(), kit=self._mark, knows=knows)
        taken = self._called(client, upload)
        if taken.elsewhere is not None:
            self.elsewhere = taken.elsewhere
        for mail in taken.mail:
            self._deliver(mail)
        self._taken = taken.next - 1
        return taken.next

    def _called(self, client: HubClient, upload: Upload) -> Taken:
        began = self._asked_at = time.monotonic()
        in_time = False
        try:
            taken = client.upload(upload)
            took_s = time.monotonic() - began
            in_time = took_s < WITHIN_S
            self.trouble = "" if in_time else f"the board took {took_s:.1f} seconds to answer"
            return taken
        finally:
            self._there, self._asked_at = in_time, None

    def _lost(self, why: str) -> None:
        self._there, self.trouble = False, why

    def _find_anew(self) -> None:
        """A board that was found, not typed in, may have another address now."""
        address = None if self._look is None or self._stop.is_set() else self._look(self._strangers)
        if address is None:
            return
        try:
            self._pairing = moved(self._pairing, address)
        except HubError:
            self._strangers.add(address)  # it would have the token without the encryption it was given under

    def _is_a_stranger(self, refusal: NotDone) -> bool:
        """Whether a board that was found does not know this bench; then the search goes on."""
        if self._look is None or refusal.status != NOT_KNOWN:
            return False
        self._strangers.add(self._pairing.address)
        self._pairing = self._kept
        return True

    def _afresh(self, client: HubClient) -> HubClient:
        client.close()
        return HubClient(self._pairing)

    # in

    def _listen(self) -> None:
        while not self._stop.is_set():
            with HubClient(self._pairing) as client:
                try:
                    for mail in client.mail():
                        if mail is not None:
                            self._deliver(mail)
                        if self._stop.is_set():
                            break
                except (HubError, NotDone, OSError) as error:
                    # the sender meets the same and says it again as long as it lasts
                    self.trouble = str(error)
                except Exception as error:  # noqa: BLE001 - as in sending; answers come with that, too
                    self.trouble = _unforeseen("hearing", error)
            self._stop.wait(AGAIN_S)

    # the shared bank

    def reserve(
        self, line: int, wanted: Mapping[int, int], free: Mapping[int, int], within_s: float
    ) -> Reserved | None:
        """Ask to promise these lenses. None if the board is not there, or does not answer `within_s` seconds.

        A reservation that the board grants too late does no harm: it ends with line `line`.
        """
        busy = self._asked is not None and not self._asked.done()
        if within_s <= 0.0 or busy or not self.connected:
            return None
        if self._reserving.pairing is not self._pairing:
            self._reserving = self._afresh(self._reserving)
        request = Reserve(line=line, wanted=dict(wanted), free=dict(free))
        self._asked = self._reserver.submit(self._reserving.reserve, request)
        try:
            return self._asked.result(within_s)
        except TimeoutError:
            self._lost(f"the board did not answer within {WITHIN_S:g} seconds")
        except (HubError, NotDone) as error:
            self._lost(str(error))
            self._reserving = self._afresh(self._reserving)
        except Exception as error:  # noqa: BLE001 - else the bench ends at an entry because of its board
            self._lost(_unforeseen("asking", error))
            self._reserving = self._afresh(self._reserving)
        self._news.set()  # the sender finds out whether it is still there
        return None


def _unforeseen(what: str, error: Exception) -> str:
    return f"{what} the board failed in a way nobody foresaw ({type(error).__name__}: {error})"

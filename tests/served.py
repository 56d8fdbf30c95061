"""A hub on a real socket for tests, in a thread of its own, and records to send to it."""

import asyncio
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from assistant.hub.certificate import Certificate
from assistant.hub.client import HubClient, Pairing, pair
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.protocol import Pair, Taken, Upload
from assistant.hub.server import Server
from assistant.hub.serving import serving
from assistant.hub.store import Store
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit

T = TypeVar("T")
DEMO_SESSIONS = Path(__file__).parent.parent / "demo_sessions"


@dataclass
class Served:
    hub: Hub
    door: Door
    address: str
    loop: asyncio.AbstractEventLoop

    def call(self, work: Callable[[], T]) -> T:
        """Run `work` in the hub's own thread."""

        async def there() -> T:
            return work()

        return asyncio.run_coroutine_threadsafe(there(), self.loop).result(10)

    def paired(self, bench: str) -> Pairing:
        return pair(self.address, Pair(bench=bench, code=self.door.code, kit=self.hub.mark))


@contextmanager
def served(
    database: Path | str,
    kit: Kit | None = None,
    clock: Callable[[], float] | None = None,
    port: int = 0,
    certificate: Certificate | None = None,
) -> Iterator[Served]:
    """Serve until the block ends. `clock` stands in for the board's own."""
    kit, clock = kit or demo_kit(), clock or time.time
    store = Store(database)
    hub = Hub(kit, store, clock)
    door = Door(kit, hub.mark, store, clock)
    box: list[Served] = []
    up, end = threading.Event(), threading.Event()
    failed: list[BaseException] = []

    async def run() -> None:
        async with serving(Server(hub, door), "127.0.0.1", port, certificate) as at:
            scheme = "http" if certificate is None else "https"
            box.append(Served(hub, door, f"{scheme}://127.0.0.1:{at}", asyncio.get_running_loop()))
            up.set()
            while not end.is_set():
                await asyncio.sleep(0.02)

    def work() -> None:
        try:
            asyncio.run(run())
        except BaseException as error:  # noqa: BLE001 - raised again in the test's thread
            failed.append(error)
        finally:
            up.set()

    thread = threading.Thread(target=work, name="hub")
    thread.start()
    up.wait(10)
    try:
        if failed:
            raise failed[0]
        yield box[0]
    finally:
        end.set()
        thread.join(10)
        store.close()


def record(name: str) -> list[str]:
    """The lines of a demonstration session, without newlines."""
    return (DEMO_SESSIONS / f"{name}.jsonl").read_text().splitlines()


def upload(lines: Sequence[str], mark: str, first: int = 1, now: float = 1_793_700_000.0) -> Upload:
    """`lines` is the whole record; sent are those from `first` on."""
    return Upload(first=first, lines=list(lines[first - 1 :]), have=len(lines), now=now, kit=mark)


def send(client: HubClient, lines: Sequence[str], mark: str, first: int = 1) -> Taken:
    return client.upload(upload(lines, mark, first))

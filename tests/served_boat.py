"""A board that a test has filled, served on a real socket."""

import asyncio
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from full_board import Boat

from assistant.hub.server import Server
from assistant.hub.serving import serving

T = TypeVar("T")


class ServedBoat:
    """The boat's hub belongs to the server's thread as long as it is served."""

    def __init__(self, boat: Boat, port: int = 0) -> None:
        self.boat = boat
        self._port = port
        self.address = ""
        self._loop: asyncio.AbstractEventLoop | None = None
        self._up, self._end = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._run()), name="hub")
        self._thread.start()
        assert self._up.wait(10), "the hub does not come up"

    async def _run(self) -> None:
        self._loop = asyncio.get_running_loop()
        async with serving(Server(self.boat.hub, self.boat.desk.door), "127.0.0.1", self._port) as port:
            self.address = f"http://127.0.0.1:{port}"
            self._up.set()
            while not self._end.is_set():
                await asyncio.sleep(0.02)

    def call(self, work: Callable[[], T]) -> T:
        """Run `work` in the hub's thread."""

        async def there() -> T:
            return work()

        assert self._loop is not None
        return asyncio.run_coroutine_threadsafe(there(), self._loop).result(10)

    def close(self) -> None:
        self._end.set()
        self._thread.join(10)


@contextmanager
def served_boat(boat: Boat, port: int = 0) -> Iterator[ServedBoat]:
    served = ServedBoat(boat, port)
    try:
        yield served
    finally:
        served.close()

"""The hub listening on an address, inside the event loop of whichever program shows the board."""

import asyncio
import socket
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from typing import Final

import uvicorn

from assistant.hub.server import Server

PARTING_S: Final = 1
"""How long open requests may take when the board ends."""
WAITING: Final = 256
"""Connections not yet taken up by the program."""


class ServingError(Exception):
    """The board cannot listen at this address; the sentence says where and why."""


class _Quiet(uvicorn.Server):
    """Ctrl+C belongs to the program around it."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


@asynccontextmanager
async def serving(server: Server, host: str = "0.0.0.0", port: int = 0) -> AsyncIterator[int]:
    """Listen as long as the block runs; gives the port. Raises `ServingError`."""
    listener = _bound(host, port)
    config = uvicorn.Config(
        server.application(),
        log_config=None,
        access_log=False,
        lifespan="off",
        ws="none",
        http="h11",
        proxy_headers=False,
        server_header=False,
        timeout_graceful_shutdown=PARTING_S,
    )
    running = _Quiet(config)
    task = asyncio.create_task(running.serve(sockets=[listener]), name="hub")
    try:
        while not running.started and not task.done():
            await asyncio.sleep(0.01)
        yield int(listener.getsockname()[1])
    finally:
        server.closing.set()
        running.should_exit = True
        await task


def _bound(host: str, port: int) -> socket.socket:
    try:
        return socket.create_server((host, port), backlog=WAITING)
    except (OSError, OverflowError) as error:
        raise ServingError(f"the board cannot listen at {host} port {port}: {error}") from error

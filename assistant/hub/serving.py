"""The hub listening on an address, inside the event loop of whichever program shows the board."""

import asyncio
import errno
import socket
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from typing import Final

import uvicorn

from assistant.hub.certificate import Certificate
from assistant.hub.server import Server

PARTING_S: Final = 1
"""How long open requests may take when the board ends."""
IDLE_S: Final = 60
"""How long a connection is kept for a next request."""
MOST_CONNECTIONS: Final = 2000
"""A bench has three; beyond this the hub answers 503."""
DEAD_S: Final = 20.0
"""A connection whose other end takes nothing in for so long is ended; else the pages of a tablet that walked
out of the radio's reach would stand open for a quarter of an hour and leave no room for others."""
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
async def serving(
    server: Server, host: str = "0.0.0.0", port: int = 0, certificate: Certificate | None = None
) -> AsyncIterator[int]:
    """Listen as long as the block runs, with TLS if there is a certificate; gives the port.

    Raises `ServingError`.
    """
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
        timeout_keep_alive=IDLE_S,
        limit_concurrency=MOST_CONNECTIONS,
        ssl_certfile=None if certificate is None else certificate.certificate,
        ssl_keyfile=None if certificate is None else certificate.key,
    )
    running = _Quiet(config)
    task = asyncio.create_task(running.serve(sockets=[listener]), name="hub")
    try:
        while not running.started:
            if task.done():
                raise ServingError(f"the board cannot serve at {host} port {port}: {task.exception()}")
            await asyncio.sleep(0.01)
        yield int(listener.getsockname()[1])
    finally:
        server.closing.set()
        running.should_exit = True
        await asyncio.wait([task])
        server.hub.keep()


def _bound(host: str, port: int) -> socket.socket:
    try:
        listener = socket.create_server((host, port), backlog=WAITING)
        if hasattr(socket, "TCP_USER_TIMEOUT"):  # what is accepted has it too
            listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, int(1000 * DEAD_S))
        return listener
    except (OSError, OverflowError) as error:
        raise ServingError(f"the board cannot listen at {host} port {port}: {_why(error)}") from error


def _why(error: OSError | OverflowError) -> str:
    """What keeps it from listening, and what to do."""
    match error:
        case OSError(errno=socket.EAI_NONAME | socket.EAI_AGAIN):
            return "no machine has this name; give --address 0.0.0.0:PORT for every address of this machine"
        case OSError(errno=errno.EADDRINUSE):
            return "something listens there already, perhaps another board; end it, or give another --address"
        case OSError(errno=errno.EADDRNOTAVAIL):
            return "this machine has no such address; give --address 0.0.0.0:PORT for every one it has"
        case OSError(errno=errno.EACCES):
            return "it is not allowed here; give a port from 1024 up"
        case OSError():
            return error.strerror or str(error)
        case _:
            return "a port is at most 65535"

"""A network that can be cut: a small proxy for each bench between it and the board, all in one thread."""

import asyncio
import threading
from collections.abc import Coroutine, Iterator
from contextlib import contextmanager
from enum import Enum
from typing import Final, TypeVar

PIECE: Final = 65_536
T = TypeVar("T")


class Air(Enum):
    CLEAR = "clear"
    CUT = "cut"
    """Connections break and none comes up."""
    STALLED = "stalled"
    """Connections stand and nothing comes through: what radio does behind a wall."""


class Lane:
    """One bench's way to the board."""

    def __init__(self, lan: "Lan", board_port: int) -> None:
        self._lan, self._board_port = lan, board_port
        self._air = Air.CLEAR
        self._moving = asyncio.Event()
        self._moving.set()
        self._dead: list[asyncio.Event] = []
        self._open: set[asyncio.StreamWriter] = set()
        self.delay_s = 0.0
        """Before each piece in each direction."""
        self.port = 0

    @property
    def address(self) -> str:
        return f"127.0.0.1:{self.port}"

    def turn(self, air: Air) -> None:
        self._lan.call(self._turn(air))

    def forget(self) -> None:
        """What a router does that begins anew: old connections are dead without a word, new ones come through."""
        self._lan.call(self._forget())

    async def _forget(self) -> None:
        self._moving.clear()
        self._dead.append(self._moving)
        self._moving = asyncio.Event()
        self._moving.set()

    async def _turn(self, air: Air) -> None:
        self._air = air
        if air is Air.STALLED:
            self._moving.clear()
        else:
            self._moving.set()
        if air is Air.CUT:
            await self.cut_off()

    async def cut_off(self) -> None:
        self._air = Air.CUT
        for moving in (self._moving, *self._dead):
            moving.set()
        for writer in list(self._open):
            writer.transport.abort()

    async def start(self) -> asyncio.Server:
        server = await asyncio.start_server(self._take, "127.0.0.1", 0)
        self.port = int(server.sockets[0].getsockname()[1])
        return server

    async def _take(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if self._air is Air.CUT:
            writer.transport.abort()
            return
        try:
            board_reader, board_writer = await asyncio.open_connection("127.0.0.1", self._board_port)
        except OSError:
            writer.transport.abort()
            return
        ends = {writer, board_writer}
        self._open |= ends
        try:
            moving = self._moving
            await asyncio.gather(
                self._pass(reader, board_writer, moving), self._pass(board_reader, writer, moving)
            )
        finally:
            self._open -= ends
            for end in ends:
                end.transport.abort()

    async def _pass(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, moving: asyncio.Event
    ) -> None:
        try:
            while piece := await reader.read(PIECE):
                await moving.wait()
                if self.delay_s:
                    await asyncio.sleep(self.delay_s)
                writer.write(piece)
                await writer.drain()
        except OSError:
            pass  # the other end is told by closing this one
        writer.transport.abort()


class Lan:
    def __init__(self) -> None:
        self._loop = asyncio.new_event_loop()
        self._servers: list[asyncio.Server] = []
        self._lanes: list[Lane] = []
        threading.Thread(target=self._loop.run_forever, name="lan", daemon=True).start()

    def call(self, work: Coroutine[object, object, T]) -> T:
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(10)

    def lane(self, board_port: int) -> Lane:
        async def made() -> Lane:
            lane = Lane(self, board_port)
            self._servers.append(await lane.start())
            self._lanes.append(lane)
            return lane

        return self.call(made())

    def close(self) -> None:
        async def closed() -> None:
            for server in self._servers:
                server.close()
            for lane in self._lanes:
                await lane.cut_off()
            while asyncio.all_tasks() - {asyncio.current_task()}:
                await asyncio.sleep(0.01)  # each ends with its connection

        self.call(closed())
        self._loop.call_soon_threadsafe(self._loop.stop)


@contextmanager
def lan() -> Iterator[Lan]:
    network = Lan()
    try:
        yield network
    finally:
        network.close()

"""Where the board is on the network, told anew when that changes: a router may come up after its board."""

import asyncio
import sys
from collections.abc import Callable
from typing import Final

import zeroconf

from assistant.board.desk import Desk
from assistant.hub.finding import Announcement

AGAIN_S: Final = 10.0

Look = Callable[[], list[str]]
"""The addresses that this machine has now."""


class Whereabouts:
    def __init__(self, desk: Desk, scheme: str, port: int, look: Look, announces: bool) -> None:
        self._desk, self._scheme, self._port, self._look, self._announces = (
            desk,
            scheme,
            port,
            look,
            announces,
        )
        self._addresses: list[str] = []
        self._known: Announcement | None = None

    async def tell(self) -> None:
        """Look once; where there is news, show it and make it known."""
        addresses = await asyncio.to_thread(self._look)
        if addresses == self._addresses:
            return
        self._addresses = addresses
        prefix = "" if self._scheme == "http" else f"{self._scheme}://"
        self._desk.moved([f"{prefix}{address}:{self._port}" for address in addresses])
        if self._announces:
            await self.close()
            await self._announce()

    async def keep_telling(self) -> None:
        while True:
            await asyncio.sleep(AGAIN_S)
            try:
                await self.tell()
            except OSError as error:
                print(f"assistant board: its own addresses cannot be read ({error})", file=sys.stderr)

    async def _announce(self) -> None:
        """A network that does not take it leaves the typed address."""
        clinic = self._desk.hub.view().clinic
        try:
            self._known = await asyncio.to_thread(
                Announcement, clinic, self._port, self._scheme, self._addresses
            )
        except (OSError, ValueError, RuntimeError, zeroconf.Error) as error:
            told = f"assistant board: benches must be given the address; not announced ({error})"
            print(told, file=sys.stderr)

    async def close(self) -> None:
        """Make the board known no more. A network that has gone has forgotten it."""
        known, self._known = self._known, None
        if known is not None:
            try:
                await asyncio.to_thread(known.close)
            except (OSError, RuntimeError, zeroconf.Error) as error:
                print(f"assistant board: not taken off the network ({error})", file=sys.stderr)

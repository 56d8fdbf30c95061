"""What benches ask of the hub."""

import asyncio
from collections.abc import AsyncIterator

from sse_starlette.sse import EventSourceResponse
from starlette.responses import Response

from assistant.hub import protocol as p
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.web import Call, Endpoint, Who, reply

SEND_S = 10.0
"""A bench that takes no mail for so long is hung up on; it comes again."""


class BenchSide:
    def __init__(self, hub: Hub, door: Door, closing: asyncio.Event) -> None:
        self._hub, self._door, self._closing = hub, door, closing

    def endpoints(self) -> tuple[Endpoint, ...]:
        bench = Who.BENCH
        return (
            Endpoint(
                "POST",
                "/api/pair",
                Who.ANYBODY,
                "A bench is let in with the code that the board shows.",
                self.pair,
                p.Pair,
                p.Paired,
            ),
            Endpoint(
                "POST",
                "/api/lines",
                bench,
                "Send lines of the record, or a sign of life.",
                self.lines,
                p.Upload,
                p.Taken,
                p.MOST_BODY_BYTES,
            ),
            Endpoint(
                "POST",
                "/api/reserve",
                bench,
                "Ask for lenses before they are promised.",
                self.reserve,
                p.Reserve,
                p.Reserved,
            ),
            Endpoint(
                "GET",
                "/api/mail",
                bench,
                "Answers and counts, each as it is given.",
                self.mail,
                gives="text/event-stream",
            ),
        )

    async def pair(self, call: Call[p.Pair]) -> Response:
        paired = self._door.pair(call.message)
        self._hub.known(call.message.bench)
        self._hub.version += 1
        return reply(paired)

    async def lines(self, call: Call[p.Upload]) -> Response:
        return reply(self._hub.upload(call.caller, call.message))

    async def reserve(self, call: Call[p.Reserve]) -> Response:
        return reply(self._hub.reserve(call.caller, call.message))

    async def mail(self, call: Call[None]) -> Response:
        return EventSourceResponse(
            self._mail_of(call.caller), ping=p.HEARTBEAT_S, send_timeout=SEND_S, sep="\n"
        )

    async def _mail_of(self, bench: str) -> AsyncIterator[dict[str, str]]:
        if bench not in self._door.paired:
            return  # it was let go since it asked
        waiting: asyncio.Queue[p.Mail | None] = asyncio.Queue()
        post = waiting.put_nowait
        self._hub.listen(bench, post)
        try:
            while (mail := await self._next(waiting)) is not None:
                yield {"data": p.encode(mail).decode()}
        finally:
            self._hub.hang_up(bench, post)

    async def _next(self, waiting: asyncio.Queue[p.Mail | None]) -> p.Mail | None:
        """The next one in the queue; None when the hub closes."""
        getting = asyncio.ensure_future(waiting.get())
        closing = asyncio.ensure_future(self._closing.wait())
        try:
            await asyncio.wait({getting, closing}, return_when=asyncio.FIRST_COMPLETED)
            return getting.result() if getting.done() else None
        finally:
            getting.cancel()
            closing.cancel()

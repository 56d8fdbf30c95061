"""What the board's page asks of the hub. Every answer carries the code that was logged in with."""

import asyncio
from collections.abc import AsyncIterator
from datetime import datetime
from typing import Final

import msgspec
from sse_starlette.sse import EventSourceResponse
from starlette.responses import Response

from assistant.hub import protocol as p
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.notdone import NotDone
from assistant.hub.report import as_csv, as_html
from assistant.hub.views import BoardView
from assistant.hub.web import COOKIE, Call, Endpoint, Handler, Who, reply

REFRESH_S: Final = 0.2
"""The page hears of changes no more often than this."""
MOST_PAGES: Final = 20
SEND_S: Final = 10.0
REPORT_HEADERS: Final = {
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}


class BoardSide:
    def __init__(self, hub: Hub, door: Door, closing: asyncio.Event) -> None:
        self._hub, self._door, self._closing = hub, door, closing
        self._pages = 0
        self._shown: tuple[int, float, str] = (-1, 0.0, "")

    def endpoints(self) -> tuple[Endpoint, ...]:
        login = Endpoint(
            "POST",
            "/api/board/login",
            Who.ANYBODY,
            "Log in with a supervisor's code; gives a cookie.",
            self.login,
            p.Login,
        )
        return (login, *self._looking(), *self._deciding())

    def _looking(self) -> tuple[Endpoint, ...]:
        rows: tuple[tuple[str, str, Handler, type[BoardView] | str], ...] = (
            ("/api/board/view", "The board as it is now.", self.view, BoardView),
            ("/api/board/stream", "The board whenever it changes.", self.stream, "text/event-stream"),
            ("/report.html", "The day to print.", self.report_html, "text/html"),
            ("/report.csv", "The day to reckon with.", self.report_csv, "text/csv"),
        )
        return tuple(
            Endpoint("GET", path, Who.SUPERVISOR, does, handler, gives=gives)
            for path, does, handler, gives in rows
        )

    def _deciding(self) -> tuple[Endpoint, ...]:
        rows: tuple[tuple[str, str, Handler, type[msgspec.Struct]], ...] = (
            ("answer", "Answer a bench's question.", self.answer, p.AnswerGiven),
            ("count", "Say what is in a pocket.", self.count, p.CountGiven),
            ("revoke", "Let a bench go: its token is good no more.", self.revoke, p.BenchNamed),
            ("forget", "Take away a copy; the bench sends its record again.", self.forget, p.BenchNamed),
        )
        return tuple(
            Endpoint("POST", f"/api/board/{name}", Who.SUPERVISOR, does, handler, takes)
            for name, does, handler, takes in rows
        )

    async def login(self, call: Call[p.Login]) -> Response:
        session = self._door.login(call.message)
        response = reply()
        secure = call.request.url.scheme == "https"
        response.set_cookie(COOKIE, session, httponly=True, samesite="strict", secure=secure)
        return response

    async def view(self, call: Call[None]) -> Response:
        return reply(self._hub.view())

    async def stream(self, call: Call[None]) -> Response:
        if self._pages >= MOST_PAGES:
            raise NotDone(503, "pages", f"{MOST_PAGES} pages show the board already; close one")
        return EventSourceResponse(self._views(), ping=p.HEARTBEAT_S, send_timeout=SEND_S)

    async def _views(self) -> AsyncIterator[dict[str, str]]:
        """The board whenever it changed, and every few seconds for what only time changes."""
        self._pages += 1
        try:
            while not self._closing.is_set():
                version = self._hub.version
                yield {"data": self._encoded()}
                for _ in range(int(p.HEARTBEAT_S / REFRESH_S)):
                    await asyncio.sleep(REFRESH_S)
                    if self._hub.version != version or self._closing.is_set():
                        break
        finally:
            self._pages -= 1

    def _encoded(self) -> str:
        """One view for all pages that show it at the same moment."""
        version, at, text = self._shown
        now = self._hub.clock()
        if version != self._hub.version or not 0.0 <= now - at < REFRESH_S:
            text = p.encode(self._hub.view()).decode()
            self._shown = (self._hub.version, now, text)
        return text

    async def answer(self, call: Call[p.AnswerGiven]) -> Response:
        self._hub.answer(call.caller, call.message)
        return reply()

    async def count(self, call: Call[p.CountGiven]) -> Response:
        self._hub.count(call.message)
        return reply()

    async def revoke(self, call: Call[p.BenchNamed]) -> Response:
        self._door.revoke(call.message.bench)
        self._hub.cut_off(call.message.bench)
        self._hub.version += 1
        return reply()

    async def forget(self, call: Call[p.BenchNamed]) -> Response:
        self._hub.forget(call.message.bench)
        return reply()

    async def report_html(self, call: Call[None]) -> Response:
        page = as_html(self._hub.view(), datetime.fromtimestamp(self._hub.clock()))
        return Response(page, media_type="text/html", headers=REPORT_HEADERS)

    async def report_csv(self, call: Call[None]) -> Response:
        headers = {**REPORT_HEADERS, "Content-Disposition": 'attachment; filename="day.csv"'}
        return Response(as_csv(self._hub.view()), media_type="text/csv", headers=headers)

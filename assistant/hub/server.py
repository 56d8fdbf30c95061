"""The hub on the network: one Starlette application. Every request is read with its size bounded first.

Benches carry a token, the page a session cookie that no other site's page can send. A bench's name is never
taken from a request but from its token, so there is no way to name another's.
"""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from datetime import datetime
from importlib.resources import files
from typing import Final, TypeVar

from sse_starlette.sse import EventSourceResponse
from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from assistant.hub import protocol as p
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.notdone import NotDone
from assistant.hub.report import as_csv, as_html

COOKIE: Final = "board"
REFRESH_S: Final = 0.2
"""The page hears of changes no more often than this."""
PAGE_HEADERS: Final = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self';"
    " img-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}
_ASSETS: Final = {"board.js": "text/javascript", "board.css": "text/css"}

T = TypeVar("T")
Handler = Callable[[Request], Awaitable[Response]]


class Server:
    """Routes over one hub and one door."""

    def __init__(self, hub: Hub, door: Door) -> None:
        self.hub, self.door = hub, door
        self.closing = asyncio.Event()

    def application(self) -> Starlette:
        return Starlette(
            routes=[
                Route("/api/pair", _guarded(self.pair), methods=["POST"]),
                Route("/api/lines", _guarded(self.lines), methods=["POST"]),
                Route("/api/reserve", _guarded(self.reserve), methods=["POST"]),
                Route("/api/mail", _guarded(self.mail), methods=["GET"]),
                Route("/api/board/login", _guarded(self.login), methods=["POST"]),
                Route("/api/board/view", _guarded(self.view), methods=["GET"]),
                Route("/api/board/stream", _guarded(self.stream), methods=["GET"]),
                Route("/api/board/answer", _guarded(self.answer), methods=["POST"]),
                Route("/api/board/count", _guarded(self.count), methods=["POST"]),
                Route("/api/board/revoke", _guarded(self.revoke), methods=["POST"]),
                Route("/api/board/forget", _guarded(self.forget), methods=["POST"]),
                Route("/report.html", _guarded(self.report_html), methods=["GET"]),
                Route("/report.csv", _guarded(self.report_csv), methods=["GET"]),
                Route("/", _guarded(self.page), methods=["GET"]),
                Route("/{name}", _guarded(self.asset), methods=["GET"]),
            ]
        )

    # benches

    async def pair(self, request: Request) -> Response:
        wanted = await _body(request, p.Pair, p.MOST_SMALL_BODY_BYTES)
        paired = self.door.pair(wanted)
        self.hub.known(wanted.bench)
        self.hub.version += 1
        return _json(p.encode(paired))

    async def lines(self, request: Request) -> Response:
        bench = self._bench(request)
        upload = await _body(request, p.Upload, p.MOST_BODY_BYTES)
        return _json(p.encode(self.hub.upload(bench, upload)))

    async def reserve(self, request: Request) -> Response:
        bench = self._bench(request)
        wanted = await _body(request, p.Reserve, p.MOST_SMALL_BODY_BYTES)
        return _json(p.encode(self.hub.reserve(bench, wanted)))

    async def mail(self, request: Request) -> Response:
        bench = self._bench(request)
        waiting: asyncio.Queue[p.Mail | None] = asyncio.Queue()

        async def events() -> AsyncIterator[dict[str, str]]:
            self.hub.listen(bench, waiting.put_nowait)
            try:
                while (mail := await self._next(waiting)) is not None:
                    yield {"data": p.encode(mail).decode()}
            finally:
                self.hub.hang_up(bench, waiting.put_nowait)

        return EventSourceResponse(events(), ping=int(p.HEARTBEAT_S))

    async def _next(self, waiting: "asyncio.Queue[T]") -> T | None:
        """The next one in the queue; None when the server closes."""
        getting, closing = asyncio.ensure_future(waiting.get()), asyncio.ensure_future(self.closing.wait())
        done, pending = await asyncio.wait({getting, closing}, return_when=asyncio.FIRST_COMPLETED)
        for task in pending:
            task.cancel()
        return getting.result() if getting in done else None

    def _bench(self, request: Request) -> str:
        kind, _, token = request.headers.get("authorization", "").partition(" ")
        return self.door.bench_of(token if kind.lower() == "bearer" else "")

    # the board's page

    async def login(self, request: Request) -> Response:
        session = self.door.login(await _body(request, p.Login, p.MOST_SMALL_BODY_BYTES))
        response = _json(b"{}")
        secure = request.url.scheme == "https"
        response.set_cookie(COOKIE, session, httponly=True, samesite="strict", secure=secure)
        return response

    async def view(self, request: Request) -> Response:
        self._supervisor(request)
        return _json(p.encode(self.hub.view()))

    async def stream(self, request: Request) -> Response:
        self._supervisor(request)
        return EventSourceResponse(self._views(), ping=int(p.HEARTBEAT_S))

    async def _views(self) -> AsyncIterator[dict[str, str]]:
        """The board whenever it changed, and every few seconds for what only time changes."""
        while not self.closing.is_set():
            yield {"data": p.encode(self.hub.view()).decode()}
            shown = self.hub.version
            for _ in range(int(p.HEARTBEAT_S / REFRESH_S)):
                await asyncio.sleep(REFRESH_S)
                if self.hub.version != shown or self.closing.is_set():
                    break

    async def answer(self, request: Request) -> Response:
        code = self._supervisor(request)
        self.hub.answer(code, await _body(request, p.AnswerGiven, p.MOST_SMALL_BODY_BYTES))
        return _json(b"{}")

    async def count(self, request: Request) -> Response:
        self._supervisor(request)
        self.hub.count(await _body(request, p.CountGiven, p.MOST_SMALL_BODY_BYTES))
        return _json(b"{}")

    async def revoke(self, request: Request) -> Response:
        self._supervisor(request)
        bench = (await _body(request, p.BenchNamed, p.MOST_SMALL_BODY_BYTES)).bench
        self.door.revoke(bench)
        self.hub.cut_off(bench)
        self.hub.version += 1
        return _json(b"{}")

    async def forget(self, request: Request) -> Response:
        self._supervisor(request)
        self.hub.forget((await _body(request, p.BenchNamed, p.MOST_SMALL_BODY_BYTES)).bench)
        return _json(b"{}")

    async def report_html(self, request: Request) -> Response:
        self._supervisor(request)
        page = as_html(self.hub.view(), datetime.fromtimestamp(self.hub.clock()))
        headers = {**PAGE_HEADERS, "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'"}
        return Response(page, media_type="text/html", headers=headers)

    async def report_csv(self, request: Request) -> Response:
        self._supervisor(request)
        headers = {**PAGE_HEADERS, "Content-Disposition": 'attachment; filename="day.csv"'}
        return Response(as_csv(self.hub.view()), media_type="text/csv", headers=headers)

    async def page(self, request: Request) -> Response:
        return Response(_asset("board.html"), media_type="text/html", headers=PAGE_HEADERS)

    async def asset(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name not in _ASSETS:
            raise NotDone(404, "path", "there is no such page")
        return Response(_asset(name), media_type=_ASSETS[name], headers=PAGE_HEADERS)

    def _supervisor(self, request: Request) -> str:
        return self.door.supervisor(request.cookies.get(COOKIE, ""))


def _asset(name: str) -> bytes:
    return files("assistant.hub").joinpath("page", name).read_bytes()


def _json(data: bytes, status: int = 200) -> Response:
    headers = {"X-Content-Type-Options": "nosniff", "Cache-Control": "no-store"}
    return Response(data, status, media_type="application/json", headers=headers)


def _guarded(handler: Handler) -> Handler:
    """A refusal becomes an answer with its reason."""

    async def handle(request: Request) -> Response:
        try:
            return await handler(request)
        except NotDone as refusal:
            return _json(p.encode(p.Refused(code=refusal.code, what=refusal.what)), refusal.status)
        except ClientDisconnect:
            return JSONResponse({}, 400)  # nobody is there to read it

    return handle


async def _body(request: Request, kind: type[T], most_bytes: int) -> T:
    """The request's message, read no further than `most_bytes`. Raises `NotDone`."""
    if request.headers.get("content-type", "").partition(";")[0].strip() != "application/json":
        raise NotDone(415, "type", "a request's body must be application/json")
    data = b""
    async for piece in request.stream():
        data += piece
        if len(data) > most_bytes:
            raise NotDone(413, "size", f"the body is too long; allowed are {most_bytes} bytes")
    try:
        return p.decode(data, kind)
    except p.BadMessage as error:
        raise NotDone(400, "message", f"the body is no {kind.__name__}: {error}") from error

"""The hub on the network: one Starlette application, for benches, for the board's page, and its own description."""

import asyncio
from importlib.resources import files
from typing import Final

import msgspec
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from assistant.hub.bench_side import BenchSide
from assistant.hub.board_side import BoardSide
from assistant.hub.described import description
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.notdone import NotDone
from assistant.hub.web import Call, Endpoint, Who, as_json, refused, route

PAGE_HEADERS: Final = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self';"
    " img-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}
_ASSETS: Final = {
    "/": ("board.html", "text/html"),
    "/board.js": ("board.js", "text/javascript"),
    "/telling.js": ("telling.js", "text/javascript"),
    "/board.css": ("board.css", "text/css"),
    "/icon.svg": ("icon.svg", "image/svg+xml"),
}


class Server:
    """Routes over one hub and one door. Set `closing` to end what never ends by itself."""

    def __init__(self, hub: Hub, door: Door) -> None:
        self.hub, self.door = hub, door
        self.closing = asyncio.Event()
        anybody = Who.ANYBODY
        self.endpoints: tuple[Endpoint, ...] = (
            *BenchSide(hub, door, self.closing).endpoints(),
            *BoardSide(hub, door, self.closing).endpoints(),
            Endpoint("GET", "/api/openapi.json", anybody, "This description.", self._description),
            *(
                Endpoint("GET", path, anybody, "The board's page.", self._asset, gives=media_type)
                for path, (_, media_type) in _ASSETS.items()
            ),
        )

    def application(self) -> Starlette:
        return Starlette(
            routes=[route(endpoint, self.door) for endpoint in self.endpoints],
            exception_handlers={HTTPException: _not_here},
        )

    async def _description(self, call: Call[None]) -> Response:
        return as_json(msgspec.json.encode(description(self.endpoints)))

    async def _asset(self, call: Call[None]) -> Response:
        name, media_type = _ASSETS[call.request.url.path]
        data = files("assistant.hub").joinpath("page", name).read_bytes()
        return Response(data, media_type=media_type, headers=PAGE_HEADERS)


async def _not_here(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    what = f"{request.method} {request.url.path[:80]} is not asked of a board"
    answer = refused(NotDone(status, "path", what))
    if isinstance(error, HTTPException) and error.headers:
        answer.headers.update(error.headers)
    return answer

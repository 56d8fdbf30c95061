"""What every request to the hub goes through before its handler: who asks, how long the body is, what it says.

An `Endpoint` says all of that as data; routes and the description of the hub's API are both made from it.
"""

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final, Generic, TypeVar

import msgspec
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from assistant.hub import protocol as p
from assistant.hub.door import Door
from assistant.hub.notdone import NotDone
from assistant.hub.store import StoreError

COOKIE: Final = "board"
BODY_S: Final = 10.0
"""In this time the whole body of a request must be here."""

M = TypeVar("M")


class Who(StrEnum):
    ANYBODY = "anybody"
    BENCH = "bench"
    SUPERVISOR = "supervisor"


@dataclass(frozen=True, slots=True)
class Call(Generic[M]):
    """A request that may be carried out."""

    caller: str
    """The bench its token is for, or the supervisor's code; empty for anybody."""
    message: M
    request: Request


Handler = Callable[[Call[Any]], Awaitable[Response]]


@dataclass(frozen=True, slots=True)
class Endpoint:
    method: str
    path: str
    who: Who
    does: str
    handler: Handler
    takes: type[msgspec.Struct] | None = None
    gives: type[msgspec.Struct] | str = "application/json"
    """A message, or the media type of what is no message."""
    most_bytes: int = p.MOST_SMALL_BODY_BYTES
    """Of the body."""


def route(endpoint: Endpoint, door: Door) -> Route:
    async def handle(request: Request) -> Response:
        try:
            caller = _caller(endpoint.who, door, request)
            message = None
            if endpoint.takes is not None:
                message = await _body(request, endpoint.takes, endpoint.most_bytes)
            return await endpoint.handler(Call(caller, message, request))
        except NotDone as refusal:
            return refused(refusal)
        except StoreError as trouble:
            return refused(NotDone(503, "disk", str(trouble)))
        except ClientDisconnect:
            return Response(status_code=400)  # nobody is there to read it

    return Route(endpoint.path, handle, methods=[endpoint.method])


def reply(message: msgspec.Struct | None = None) -> Response:
    return as_json(b"{}" if message is None else p.encode(message))


def refused(refusal: NotDone) -> Response:
    return as_json(p.encode(p.Refused(code=refusal.code, what=refusal.what)), refusal.status)


def as_json(data: bytes, status: int = 200) -> Response:
    headers = {"X-Content-Type-Options": "nosniff", "Cache-Control": "no-store"}
    return Response(data, status, media_type="application/json", headers=headers)


def _caller(who: Who, door: Door, request: Request) -> str:
    """A bench's name is never taken from a request but from its token. Raises `NotDone`."""
    if who is Who.BENCH:
        kind, _, token = request.headers.get("authorization", "").partition(" ")
        return door.bench_of(token if kind.lower() == "bearer" else "")
    return door.supervisor(request.cookies.get(COOKIE, "")) if who is Who.SUPERVISOR else ""


async def _body(request: Request, kind: type[M], most_bytes: int) -> M:
    """The request's message, read no further than `most_bytes`. Raises `NotDone`."""
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
        raise NotDone(415, "type", "a request's body must be application/json")
    try:
        async with asyncio.timeout(BODY_S):
            data = await _bounded(request, most_bytes)
    except TimeoutError as error:
        raise NotDone(408, "slow", f"the body did not come within {BODY_S:g} seconds") from error
    try:
        return p.decode(data, kind)
    except p.BadMessage as error:
        raise NotDone(400, "message", f"the body is no {kind.__name__}: {error}") from error


async def _bounded(request: Request, most_bytes: int) -> bytes:
    data = bytearray()
    async for piece in request.stream():
        data += piece
        if len(data) > most_bytes:
            raise NotDone(413, "size", f"the body is too long; allowed are {most_bytes} bytes")
    return bytes(data)

"""One event, one line of JSON, and back. Pure.

    {"schema":1,"seq":7,"at":...,"bench":"heron","previous":"<hash>","event":{...},"check":"<hash>"}

Every byte of a line is fixed by what it holds: `check` covers all bytes before it, and what follows it is
always the same. `previous` is the hash of the whole line before, newline included.

Both are needed. `check` says *which* line changed, and guards the last line, which nothing follows.
`previous` ties each line to all before it, so that a line taken out, put in, swapped, or rewritten with a
check of its own is found too. Both are SHA-256 cut to 128 bits: chance will not meet that, and lines stay
short. This guards against accident and quiet editing, not against someone who rewrites all that follows.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Generic, Protocol, TypeVar

import msgspec

from assistant.journal.errors import Changed, CheckFails, NotWritable, TornTail, UnknownSchema, Unreadable
from assistant.journal.upgrade import SCHEMA, UPGRADES, NoWayUp, Upgrade, upgraded

HASH_DIGITS: Final = 32
FIRST_PREVIOUS: Final = "0" * HASH_DIGITS
"""What stands in the first line for the line before it."""
LINE_OPENS: Final = b'{"schema":'
"""How every line begins. It cannot stand inside a text: the quotes would be escaped."""

_CHECK_OPENS: Final = b',"check":"'
_CHECK_CLOSES: Final = b'"}\n'
_CHECK_LENGTH: Final = len(_CHECK_OPENS) + HASH_DIGITS + len(_CHECK_CLOSES)


class Timed(Protocol):
    """Any event: a msgspec Struct that knows when it happened."""

    @property
    def at(self) -> float: ...


E = TypeVar("E", bound=Timed)


@dataclass(frozen=True, slots=True)
class Line(Generic[E]):
    """One line of the record as read: `seq` counts from 1, `at` is seconds since 1970-01-01 UTC."""

    schema: int
    """The schema it was written in; `event` is up to date."""
    seq: int
    at: float
    bench: str
    event: E
    previous: str
    check: str


class _Frame(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    schema: int
    seq: int
    at: float
    bench: str
    previous: str
    event: msgspec.Raw


def hash_of(data: bytes) -> str:
    """The first 128 bits of SHA-256, as 32 lower-case hex digits."""
    return hashlib.sha256(data).hexdigest()[:HASH_DIGITS]


class Codec(Generic[E]):
    """Writes and reads lines whose events are of one msgspec type (a tagged union, as a rule)."""

    def __init__(
        self, event_type: Any, schema: int = SCHEMA, upgrades: Mapping[int, Upgrade] = UPGRADES
    ) -> None:
        self.schema = schema
        self._event_type = event_type
        self._upgrades = upgrades
        self._frames = msgspec.json.Decoder(_Frame)
        self._events = msgspec.json.Decoder(event_type)

    def encode(self, event: E, *, seq: int, bench: str, previous: str) -> bytes:
        """The line of `event`, newline included.

        Raises `NotWritable` if the event would not read back equal (a NaN, a type that JSON has not).
        """
        try:
            frame = _Frame(
                self.schema, seq, event.at, bench, previous, msgspec.Raw(msgspec.json.encode(event))
            )
            body = msgspec.json.encode(frame)[:-1]
        except (TypeError, ValueError, msgspec.MsgspecError) as error:
            raise NotWritable(f"an event cannot be written: {error}") from error
        data = body + _CHECK_OPENS + hash_of(body).encode() + _CHECK_CLOSES
        self._prove_reads_back(event, data, seq, previous)
        return data

    def decode(self, data: bytes, expected_seq: int, previous: str) -> Line[E]:
        """The line that `data` holds, newline included.

        Raises `TornTail` without a final newline, `Changed` if any byte is not as written or the line
        does not follow the one whose hash is `previous`, `UnknownSchema`, `Unreadable`.
        """
        if not data.endswith(b"\n"):
            raise TornTail(expected_seq)
        body, check = _split(data, expected_seq)
        try:
            frame = self._frames.decode(body + b"}")
        except msgspec.MsgspecError as error:
            raise Unreadable(expected_seq, f"is whole but has another frame: {error}") from error
        _require_follows(frame, expected_seq, previous)
        event = self._event(frame, expected_seq)
        return Line(frame.schema, frame.seq, frame.at, frame.bench, event, frame.previous, check)

    def _event(self, frame: _Frame, line_number: int) -> E:
        try:
            if frame.schema == self.schema:
                event: E = self._events.decode(frame.event)
                return event
            plain = msgspec.json.decode(frame.event, type=dict[str, Any])
            plain = upgraded(plain, frame.schema, self.schema, self._upgrades)
            converted: E = msgspec.convert(plain, self._event_type)
            return converted
        except NoWayUp as error:
            raise UnknownSchema(line_number, frame.schema, self.schema) from error
        except msgspec.MsgspecError as error:
            raise Unreadable(line_number, f"is whole but holds no known event: {error}") from error

    def _prove_reads_back(self, event: E, data: bytes, seq: int, previous: str) -> None:
        """What is acknowledged must be readable later; found now, it can still be said."""
        try:
            same = self.decode(data, seq, previous).event == event
        except Unreadable as error:
            raise NotWritable(f"an event would not read back: {error.what}") from error
        if not same:
            raise NotWritable(f"an event would read back as another: {event!r}")


def _split(data: bytes, line_number: int) -> tuple[bytes, str]:
    """The bytes that the check covers, and the check. Raises `CheckFails`."""
    body, tail = data[:-_CHECK_LENGTH], data[-_CHECK_LENGTH:]
    check = hash_of(body)
    if tail != _CHECK_OPENS + check.encode() + _CHECK_CLOSES:
        raise CheckFails(line_number, "is not as it was written; its check does not hold")
    return body, check


def _require_follows(frame: _Frame, expected_seq: int, previous: str) -> None:
    if frame.seq != expected_seq:
        raise Changed(
            expected_seq, f"is numbered {frame.seq}; lines were taken out, put in or moved before it"
        )
    if frame.previous != previous:
        # The link names the line before it; with no line before, only this one can be wrong.
        raise Changed(max(1, expected_seq - 1), f"is not the one that line {expected_seq} was written after")

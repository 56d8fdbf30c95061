"""From the bytes of a record and of its head to the lines that can be trusted, and what is wrong. Pure."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Generic

from assistant.journal.codec import FIRST_PREVIOUS, LINE_OPENS, Codec, E, Line, hash_of
from assistant.journal.errors import Changed, CheckFails, LineError, TornTail
from assistant.journal.head import Head, decode_head


class HeadState(StrEnum):
    WHOLE = "whole"
    ABSENT = "absent"
    """Lines lost at the very end could not be noticed."""
    CHANGED = "changed"
    """A byte of it is not as written. The record stands on its own."""


@dataclass(frozen=True, slots=True)
class Reading(Generic[E]):
    """`lines` can be trusted. Everything else is what is wrong; nothing is when all else is empty."""

    lines: tuple[Line[E], ...]
    head: Head
    """Where `lines` end."""
    torn: bytes
    """A last line that was never finished, without a newline."""
    newline_missing: bool
    """The last line is whole but for its newline; it is among `lines`."""
    missing_lines: int
    """How many lines were once on disk after `lines` and are gone."""
    head_state: HeadState
    problem: LineError | None
    """The first line that cannot be used. Nothing after it is read."""


class _Reader(Generic[E]):
    def __init__(self, data: bytes, codec: Codec[E], known: Head | None) -> None:
        self.data, self.codec, self.known = data, codec, known
        self.lines: list[Line[E]] = []
        self.heads = [Head(0, 0, FIRST_PREVIOUS)]
        self.torn = b""
        self.newline_missing = False
        self.problem: LineError | None = None

    def run(self) -> None:
        position = 0
        while position < len(self.data) and not self.torn:
            newline = self.data.find(b"\n", position)
            end = len(self.data) if newline < 0 else newline + 1
            try:
                self.take(self.data[position:end], end)
            except LineError as error:
                if not (isinstance(error, CheckFails) and self.never_finished(position, end)):
                    self.stop(error)
                    return
                self.torn = self.data[position:end]
            position = end

    def take(self, piece: bytes, end: int) -> None:
        last = self.heads[-1]
        try:
            line = self.codec.decode(piece, last.seq + 1, last.hash)
        except TornTail:
            piece += b"\n"
            end += 1
            line = self.codec.decode(piece, last.seq + 1, last.hash)
            self.newline_missing = True
        head = Head(line.seq, end, hash_of(piece))
        if self.known is not None and self.known.seq == head.seq and self.known != head:
            raise Changed(head.seq, "is not the one that was written; the record was exchanged for another")
        self.lines.append(line)
        self.heads.append(head)

    def never_finished(self, start: int, end: int) -> bool:
        """Whether the piece from `start` to `end` is what a power cut leaves of a line being written.

        That is a last piece without a newline, or with bytes that never reached the disk (zeros, which no
        line contains). If the head says that the piece was on disk whole, it was changed since.
        """
        piece = self.data[start:end]
        unfinished = b"\0" in piece or not piece.endswith(b"\n")
        # Two beginnings are two lines run together: the newline between them was there and was changed.
        if end < len(self.data) or not unfinished or piece.count(LINE_OPENS) > 1:
            return False
        return self.known is None or start >= self.known.size or len(self.data) < self.known.size

    def stop(self, error: LineError) -> None:
        # A broken link names the line before the one at hand, which had been taken.
        self.problem = error
        del self.lines[error.line_number - 1 :]
        del self.heads[error.line_number :]


def read_bytes(data: bytes, head_data: bytes | None, codec: Codec[E]) -> Reading[E]:
    """Read a record from its bytes and those of its head (None or empty: there is none). Raises nothing."""
    known = decode_head(head_data) if head_data else None
    reader = _Reader(data, codec, known)
    reader.run()
    missing = 0
    if known is not None and reader.problem is None:
        missing = max(0, known.seq - len(reader.lines))
    state = HeadState.WHOLE
    if known is None:
        state = HeadState.CHANGED if head_data else HeadState.ABSENT
    return Reading(
        tuple(reader.lines),
        reader.heads[-1],
        reader.torn,
        reader.newline_missing and reader.problem is None,
        missing,
        state,
        reader.problem,
    )

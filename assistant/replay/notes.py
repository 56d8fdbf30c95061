"""A trainer's notes on the moments of a session, kept in a file beside it and never in it.

One line of JSON a note, only ever added to. A note names its line and that line's check, so that it is not shown
at another moment should the session have been exchanged. An empty text takes the note away.
"""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import msgspec

from assistant.journal.disk import refusals
from assistant.journal.events import EventLine

SUFFIX: Final = ".notes"
MOST_CHARACTERS: Final = 2000


class Note(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """`written_at`: seconds since 1970-01-01 UTC; `check`: of the record's line."""

    line: int
    check: str
    text: str
    written_at: float


@dataclass(frozen=True, slots=True)
class NotesFound:
    """What a file of notes holds: line number to text, and a sentence for each thing that is wrong with it."""

    by_line: dict[int, str]
    troubles: tuple[str, ...] = ()


def notes_path(session: Path) -> Path:
    """Where the notes of a session lie."""
    return session.with_name(session.name + SUFFIX)


def read_notes(session: Path, lines: Sequence[EventLine]) -> NotesFound:
    """The notes on these lines of the session. Raises `RecordFailed` if the file is there and unreadable."""
    path = notes_path(session)
    with refusals(path, "reading the notes"):
        data = path.read_bytes() if path.exists() else b""
    by_line: dict[int, str] = {}
    troubles: list[str] = []
    for number, piece in enumerate(data.splitlines(), 1):
        try:
            note = msgspec.json.decode(piece, type=Note)
        except msgspec.MsgspecError as error:
            troubles.append(f"{path.name}, line {number} is no note and is left out: {error}")
            continue
        if not 1 <= note.line <= len(lines) or lines[note.line - 1].check != note.check:
            troubles.append(f"{path.name}, line {number} is on a line {note.line} that this session has not")
        elif note.text:
            by_line[note.line] = note.text
        else:
            by_line.pop(note.line, None)
    return NotesFound(by_line, tuple(troubles))


def write_note(session: Path, line: EventLine, text: str, at: float) -> None:
    """Add a note on a line to the file beside the session, on disk when this returns; "" takes one away.

    Raises `ValueError` for a text that is too long, `RecordFull`, `RecordFailed`.
    """
    text = text.strip()
    if len(text) > MOST_CHARACTERS:
        raise ValueError(f"a note of {len(text)} characters; allowed are {MOST_CHARACTERS}")
    path = notes_path(session)
    data = msgspec.json.encode(Note(line.seq, line.check, text, at)) + b"\n"
    with refusals(path, "writing the note"), path.open("ab") as file:
        whole = file.tell()
        if whole and not _ends_a_line(path):
            data = b"\n" + data  # what a power cut tore stays a line of its own
        try:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        except OSError:
            os.truncate(path, whole)
            raise


def _ends_a_line(path: Path) -> bool:
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"

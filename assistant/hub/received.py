"""Lines as a bench sends them, held against what the hub has: those that follow, each checked. Changes nothing."""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.hub.known import Known
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Upload
from assistant.hub.store import Store
from assistant.hub.story import Story, continued
from assistant.journal.codec import hash_of
from assistant.journal.errors import LineError
from assistant.journal.events import EVENTS, EventLine

MOST_SECONDS = 1e12
"""No clock shows more; beyond it figures of time would overflow."""


@dataclass(frozen=True, slots=True)
class Received:
    line: EventLine
    data: bytes
    after: Story
    """The bench's story with this line."""


def following(known: Known, upload: Upload, mark: str, store: Store) -> list[Received]:
    """The lines that the hub has not, whose first follows what it has; none where there is a gap.

    Raises `NotDone` for another kit, another record than the one known, and a line that is not whole or
    that no bench can have written.
    """
    name, have = known.story.name, known.story.seq
    if upload.kit != mark:
        raise NotDone(409, "kit", f"bench {name} works with another kit; allowed is the board's kit")
    last = upload.first + len(upload.lines) - 1
    if last > upload.have and upload.lines:
        raise NotDone(400, "have", f"bench {name} sends line {last} and says that it has {upload.have}")
    data = [text.encode() + b"\n" for text in upload.lines]
    _require_same_record(known, upload, data, store)
    if upload.first > have + 1:
        return []
    lines = _decoded(name, data[have + 1 - upload.first :], have, known.hash)
    return list(_folded(known.story, lines))


def _folded(story: Story, lines: list[tuple[EventLine, bytes]]) -> Iterator[Received]:
    for line, raw in lines:
        try:
            story = continued(story, line.seq, line.event)
        except (ValueError, ArithmeticError, LookupError) as error:
            what = f"line {line.seq} of bench {story.name} holds what no bench can work with: {error}"
            raise NotDone(400, "line", what) from error
        yield Received(line, raw, story)


def _require_same_record(known: Known, upload: Upload, data: list[bytes], store: Store) -> None:
    name, have = known.story.name, known.story.seq
    trouble = ""
    if upload.have < have:
        trouble = f"bench {name} has {upload.have} lines and the board {have}: its record lost lines"
    elif upload.first <= have and data:
        ours = store.between(name, upload.first, min(have, upload.first + len(data) - 1))
        for number, (theirs, known_line) in enumerate(zip(data, ours, strict=False), upload.first):
            if theirs != known_line:
                trouble = f"line {number} of bench {name} is not the one the board has"
                break
    if trouble:
        raise NotDone(409, "record", f"{trouble}; the supervisor may let the board forget this bench")


def _decoded(bench: str, data: list[bytes], seq: int, previous: str) -> list[tuple[EventLine, bytes]]:
    """Each checked and following the one before. Raises `NotDone`."""
    lines = []
    for number, raw in enumerate(data, seq + 1):
        try:
            line = EVENTS.decode(raw, number, previous)
        except LineError as error:
            raise NotDone(400, "line", f"record of bench {bench}: {error}") from error
        if line.bench != bench:
            raise NotDone(403, "bench", f"line {number} was written at another bench than {bench}")
        if raw.count(b"\n") != 1 or not 0.0 <= line.event.at <= MOST_SECONDS:
            raise NotDone(400, "line", f"line {number} of bench {bench} is not as a bench writes it")
        lines.append((line, raw))
        previous = hash_of(raw)
    return lines

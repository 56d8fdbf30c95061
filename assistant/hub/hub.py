"""The hub's state: a fold of the benches' own lines, and who may promise which lens. One thread only.

A request either is carried out whole or raises `NotDone` and has changed nothing. Lines are on disk before
they are folded. What is not in a bench's lines (answers on their way, reservations) is kept beside them.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from assistant.hub.ledger import Ledger
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import (
    SILENT_S,
    Answer,
    AnswerGiven,
    Counted,
    CountGiven,
    Mail,
    Reserve,
    Reserved,
    Taken,
    Upload,
    kit_mark,
)
from assistant.hub.question_told import question_view
from assistant.hub.store import Reservation, Store, StoredLine
from assistant.hub.story import Story, begun, continued
from assistant.hub.tell import Seen, bench_view, today_view
from assistant.hub.views import BoardView
from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.errors import LineError
from assistant.journal.events import EVENTS, EventLine
from assistant.kit.bank import Ints
from assistant.kit.profile import Kit
from assistant.optics.patterns import AxisError, Pattern, patterns

Clock = Callable[[], float]
Post = Callable[[Mail | None], None]
"""Takes mail for a bench; None ends it."""
PROMISES_LAST_S: Final = 1800.0
"""Promises and reservations of a bench not heard of for so long no longer keep a lens from the others."""
MOST_ERRORS: Final = 4000
"""Finished lenses that patterns are looked for in, newest last."""


@dataclass(slots=True)
class Known:
    """One bench: its story, and what only the connection tells."""

    story: Story
    hash: str = FIRST_PREVIOUS
    offset_s: float = 0.0
    heard_at: float | None = None
    trouble: str = ""
    listeners: list[Post] = field(default_factory=list)
    told_at_version: int = -1
    told: dict[int, int] = field(default_factory=dict)
    """What it was last told that the others hold."""


class Hub:
    def __init__(self, kit: Kit, store: Store, clock: Clock) -> None:
        """Fold every line the store has. Raises `LineError` if one is not as it came."""
        self.kit, self.clock = kit, clock
        self.mark = kit_mark(kit)
        self.version = 0
        """Goes up with everything the board shows."""
        self._store = store
        self._benches: dict[str, Known] = {}
        self._ledger = Ledger(kit.bank)
        self._bank_version = 0
        self._errors: deque[AxisError] = deque(maxlen=MOST_ERRORS)
        self._patterns: tuple[int, tuple[Pattern, ...]] = (0, ())
        self._judged = 0
        self._answers = {(bench, answer.question): answer for bench, answer in store.answers()}
        self._reservations = store.reservations()
        self._read_back()

    def _read_back(self) -> None:
        for stored in self._store.lines():
            known = self.known(stored.bench)
            known.offset_s = stored.offset_s
            line = EVENTS.decode(stored.data, known.story.seq + 1, known.hash)
            self._fold(known, stored, continued(known.story, line.seq, line.event))

    def known(self, bench: str) -> Known:
        """The bench, begun if it was not known."""
        return self._benches.setdefault(bench, Known(begun(bench, self.kit)))

    @property
    def stories(self) -> dict[str, Story]:
        return {name: known.story for name, known in self._benches.items()}

    # lines in

    def upload(self, bench: str, upload: Upload) -> Taken:
        """Take up the lines that follow. Raises `NotDone`."""
        if upload.kit != self.mark:
            raise NotDone(409, "kit", f"bench {bench} works with another kit; allowed is the board's kit")
        known = self.known(bench)
        now = self.clock()
        self._greet(known, now, now - upload.now)
        story = known.story
        self._require_same_record(known, upload)
        if upload.first > story.seq + 1:
            return Taken(next=story.seq + 1)
        new = [text.encode() + b"\n" for text in upload.lines[story.seq + 1 - upload.first :]]
        lines = _decoded(bench, new, story.seq, known.hash)
        if lines:
            self._take(known, lines, new, now - upload.now)
        return Taken(next=known.story.seq + 1, elsewhere=self._news(bench, known))

    def _greet(self, known: Known, now: float, offset_s: float) -> None:
        if not self._connected(known, now):
            self.version += 1
        known.heard_at, known.offset_s = now, offset_s

    def _require_same_record(self, known: Known, upload: Upload) -> None:
        name, have = known.story.name, known.story.seq
        trouble = ""
        if upload.have < have:
            trouble = f"bench {name} has {upload.have} lines and the board {have}: its record lost lines"
        for number, text in enumerate(upload.lines[: max(0, have + 1 - upload.first)], upload.first):
            if self._store.line(name, number) != text.encode() + b"\n":
                trouble = f"line {number} of bench {name} is not the one the board has"
                break
        if trouble != known.trouble:
            known.trouble = trouble
            self.version += 1
        if trouble:
            raise NotDone(409, "record", f"{trouble}; the supervisor may let the board forget this bench")

    def _take(self, known: Known, lines: list[EventLine], data: list[bytes], offset_s: float) -> None:
        name = known.story.name
        stored = [StoredLine(name, line.seq, offset_s, raw) for line, raw in zip(lines, data, strict=True)]
        stories, story = [], known.story
        for line in lines:
            story = continued(story, line.seq, line.event)
            stories.append(story)
        self._store.add_lines(stored)
        for one, after in zip(stored, stories, strict=True):
            self._fold(known, one, after)
        self._settle(known)
        self.version += 1

    def _fold(self, known: Known, stored: StoredLine, after: Story) -> None:
        if after.bench.stock is not known.story.bench.stock or after.told:
            self._bank_version += 1
        known.story, known.hash = after, hash_of(stored.data)
        self._ledger.take(stored.bench, stored.seq, stored.offset_s, after.told)
        self._errors.extend(after.errors)
        self._judged += len(after.errors)

    def _settle(self, known: Known) -> None:
        """What the record says now need not be kept beside it."""
        name, seq = known.story.name, known.story.seq
        for bench, question in [key for key in self._answers if key[0] == name]:
            if question <= seq and question != known.story.question_line:
                del self._answers[bench, question]
                self._store.drop_answer(bench, question)
        if any(r.bench == name and r.line <= seq for r in self._reservations):
            self._reservations = [r for r in self._reservations if r.bench != name or r.line > seq]
            self._store.release(name, seq)
            self._bank_version += 1

    # the shared bank

    def reserve(self, bench: str, request: Reserve) -> Reserved:
        """Keep these lenses for this bench, if they are there for it. Raises `NotDone`."""
        known = self.known(bench)
        pockets = {int(pocket) for pocket in self.kit.bank.pocket}
        if request.line <= known.story.seq:
            raise NotDone(409, "line", f"line {request.line} of bench {bench} is written already")
        if not set(request.wanted) <= pockets:
            raise NotDone(400, "pocket", "a pocket is wanted that the bank has not")
        elsewhere = self.elsewhere(bench)
        granted = all(
            request.free.get(pocket, 0) - elsewhere.get(pocket, 0) >= lenses
            for pocket, lenses in request.wanted.items()
        )
        kept = dict(request.wanted) if granted else {}
        now = self.clock()
        self._store.reserve(bench, request.line, kept, now)
        self._reservations = [r for r in self._reservations if (r.bench, r.line) != (bench, request.line)]
        self._reservations += [Reservation(bench, request.line, pocket, n, now) for pocket, n in kept.items()]
        self._bank_version += 1
        return Reserved(granted=granted, elsewhere=elsewhere)

    def elsewhere(self, bench: str) -> dict[int, int]:
        """Pocket to lenses that this bench's own book counts and others took, promised or reserved."""
        own = self.known(bench).story.bench.stock.there
        held = own - self._ledger.there + self._promised(besides=bench)
        return {int(self.kit.bank.pocket[row]): int(held[row]) for row in np.flatnonzero(held > 0)}

    def _promised(self, besides: str | None = None) -> Ints:
        """Promised or reserved by every bench heard of lately, `besides` one; shape (pockets,)."""
        now = self.clock()
        total = np.zeros(len(self.kit.bank), dtype=np.int64)
        for name, known in self._benches.items():
            if name != besides and now - self._last_word(known) <= PROMISES_LAST_S:
                total += known.story.bench.stock.promised
        for kept in self._reservations:
            if kept.bench != besides and now - kept.at <= PROMISES_LAST_S:
                total[self.kit.bank.row_of(kept.pocket)] += kept.lenses
        return total

    def _last_word(self, known: Known) -> float:
        return max(known.heard_at or 0.0, known.story.at + known.offset_s)

    def _news(self, bench: str, known: Known) -> dict[int, int] | None:
        """What others hold, if it is not what this bench was last told."""
        if known.told_at_version == self._bank_version:
            return None
        known.told_at_version = self._bank_version
        held = self.elsewhere(bench)
        if held == known.told:
            return None
        known.told = held
        return held

    def tell_all_again(self, bench: str) -> None:
        """The bench starts anew and knows nothing of the others."""
        known = self.known(bench)
        known.told_at_version, known.told = -1, {-1: 0}

    # from the supervisor

    def answer(self, code: str, given: AnswerGiven) -> None:
        """Send an answer to the bench; kept until its record has it. Raises `NotDone`."""
        known = self._benches.get(given.bench)
        if known is None or known.story.question_line != given.question:
            raise NotDone(409, "question", f"bench {given.bench} does not ask at line {given.question}")
        if (given.bench, given.question) in self._answers:
            raise NotDone(409, "answered", "this question has its answer, which is on its way")
        answer = Answer(question=given.question, yes=given.yes, code=code, reason=given.reason)
        self._store.add_answer(given.bench, answer)
        self._answers[given.bench, given.question] = answer
        self.version += 1
        _post(known, answer)

    def count(self, given: CountGiven) -> str:
        """Have a connected bench write down what the supervisor counted; its name. Raises `NotDone`."""
        if given.pocket not in self.kit.bank.pocket:
            raise NotDone(400, "pocket", f"pocket {given.pocket} is not in the bank")
        now = self.clock()
        able = [known for known in self._benches.values() if known.listeners and self._connected(known, now)]
        flagged = [known for known in able if given.pocket in known.story.bench.flagged]
        if not able:
            raise NotDone(
                409, "no-bench", "no bench is connected to write the count down; try again when one is"
            )
        for known in flagged or able[:1]:
            _post(known, Counted(pocket=given.pocket, count=given.count))
        return (flagged or able)[0].story.name

    def forget(self, bench: str) -> None:
        """Take away the board's copy of a bench's record; the bench sends it again. Raises `NotDone`."""
        if bench not in self._benches:
            raise NotDone(404, "bench", f"no bench {bench} is known")
        self._store.forget(bench)
        before, self._benches = self._benches, {}
        self._errors = deque(maxlen=MOST_ERRORS)
        self._ledger, self._reservations = Ledger(self.kit.bank), self._store.reservations()
        self._bank_version += 1
        self._read_back()
        for name, known in before.items():
            again = self.known(name)
            again.listeners, again.heard_at, again.offset_s = known.listeners, known.heard_at, known.offset_s
        self.version += 1

    def listen(self, bench: str, post: Post) -> None:
        """Send this bench's mail to `post`, beginning with answers it has not taken up."""
        known = self.known(bench)
        known.listeners.append(post)
        for (name, _), answer in list(self._answers.items()):
            if name == bench:
                post(answer)

    def cut_off(self, bench: str) -> None:
        """End this bench's mail; it was let go."""
        for post in list(self.known(bench).listeners):
            post(None)

    def hang_up(self, bench: str, post: Post) -> None:
        listeners = self.known(bench).listeners
        if post in listeners:
            listeners.remove(post)

    # out to the board

    def _connected(self, known: Known, now: float) -> bool:
        return known.heard_at is not None and now - known.heard_at <= SILENT_S

    def seen(self) -> list[Seen]:
        """Every bench as known now, by name."""
        now = self.clock()
        answered = dict(self._answers.keys())
        return [
            Seen(
                known.story,
                known.offset_s,
                self._connected(known, now),
                known.heard_at,
                answered.get(name, 0),
                known.trouble,
            )
            for name, known in sorted(self._benches.items())
        ]

    def view(self) -> BoardView:
        seen = self.seen()
        asked = [question for one in seen if (question := question_view(one)) is not None]
        return BoardView(
            version=self.version,
            now=self.clock(),
            clinic=self._store.clinic,
            kit=self.kit.name,
            benches=[bench_view(one) for one in seen],
            questions=sorted(asked, key=lambda question: (question.asked_at, question.bench)),
            today=today_view(seen, self._ledger, self._promised(), self.kit, self._found_patterns()),
        )

    def _found_patterns(self) -> tuple[Pattern, ...]:
        if self._patterns[0] != self._judged:
            found = patterns(error for error in self._errors if abs(error.error_deg) <= 90.0)
            self._patterns = (self._judged, found)
        return self._patterns[1]

    @property
    def ledger(self) -> Ledger:
        return self._ledger


def _decoded(bench: str, data: list[bytes], seq: int, previous: str) -> list[EventLine]:
    """New lines, each checked and following the one before. Raises `NotDone`."""
    lines = []
    for number, raw in enumerate(data, seq + 1):
        try:
            line = EVENTS.decode(raw, number, previous)
        except LineError as error:
            raise NotDone(400, "line", f"record of bench {bench}: {error}") from error
        if line.bench != bench:
            raise NotDone(403, "bench", f"line {number} was written at another bench than {bench}")
        lines.append(line)
        previous = hash_of(raw)
    return lines


def _post(known: Known, mail: Mail) -> None:
    for post in list(known.listeners):
        post(mail)

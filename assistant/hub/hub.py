"""The hub's state: a fold of the benches' own lines, and what is kept beside them. One thread only.

A request is carried out whole, or raises `NotDone` and has changed nothing but `Known.trouble`, which tells
the supervisor. Lines are on disk before they are folded.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from assistant.hub.kept_fold import KeptBench, KeptFold, keep, kept
from assistant.hub.known import Known, Post
from assistant.hub.notdone import NotDone
from assistant.hub.outbox import Outbox
from assistant.hub.pattern_watch import PatternWatch
from assistant.hub.protocol import (
    Answer,
    AnswerGiven,
    CountGiven,
    Reserve,
    Reserved,
    Taken,
    Upload,
    elsewhere_mark,
    kit_mark,
)
from assistant.hub.question_told import question_view
from assistant.hub.received import Received, following
from assistant.hub.shared_bank import SharedBank
from assistant.hub.store import Store, StoredLine, StoreError
from assistant.hub.story import Story, begun, continued
from assistant.hub.tell import Seen, bench_view, day_began, of_today, today_view
from assistant.hub.views import BoardView
from assistant.journal.codec import hash_of
from assistant.journal.errors import LineError
from assistant.journal.events import EVENTS, EventLine
from assistant.kit.profile import Kit

Clock = Callable[[], float]
KEEP_EVERY: Final = 10_000
"""Lines; after so many the fold is kept on disk."""


class Hub:
    def __init__(self, kit: Kit, store: Store, clock: Clock) -> None:
        """Fold every line the store has. Raises `StoreError` if one is not as it came."""
        self.kit, self.clock = kit, clock
        self.mark = kit_mark(kit)
        self.version = 0
        """Goes up with everything the board shows."""
        self.trouble = ""
        """Of the board's own disk, in a sentence."""
        self._store = store
        self._benches: dict[str, Known] = {}
        self.bank = SharedBank(kit.bank, self._benches, store, clock)
        self._outbox = Outbox(store, kit.supervisor_codes)
        self._patterns = PatternWatch()
        self._not_kept = 0
        """Lines folded since the fold was kept."""
        self._read_back()

    def _read_back(self) -> None:
        self._take_kept()
        for bench in self._store.benches():
            known = self.known(bench)
            for stored in self._store.lines(bench, known.story.seq):
                known.offset_s = stored.offset_s
                try:
                    line = EVENTS.decode(stored.data, known.story.seq + 1, known.hash)
                except LineError as error:
                    raise self._store.damaged(f"the copy of bench {bench}'s record: {error}") from error
                after = continued(known.story, line.seq, line.event)
                self._settle(known, self._enter(known, stored, after), line)
        if self._not_kept >= KEEP_EVERY:
            self.keep()

    def _take_kept(self) -> None:
        """Begin with the fold as it was kept, if it is the fold of the lines that are stored."""
        fold = kept(self._store, self.kit, self.mark)
        if fold is not None:
            for name, one in fold.benches.items():
                self._benches[name] = Known(one.story, one.hash, one.offset_s)
            self.bank.ledger = fold.ledger
            self._patterns.take(fold.errors)

    def keep(self) -> None:
        """Keep the fold on disk for the next start; where that fails nothing is lost but time."""
        benches = {n: KeptBench(one.story, one.hash, one.offset_s) for n, one in self._benches.items()}
        fold = KeptFold(benches, self.bank.ledger, tuple(self._patterns.errors))
        self._not_kept = 0
        try:
            keep(self._store, self.kit, self.mark, fold)
        except OSError as error:
            self._say(f"the board cannot keep its fold, so its next start takes longer: {error}")

    def _say(self, trouble: str) -> None:
        if trouble != self.trouble:
            self.trouble = trouble
            self.version += 1

    def known(self, bench: str) -> Known:
        """The bench, begun if it was not known."""
        if bench not in self._benches:
            self._benches[bench] = Known(begun(bench, self.kit))
            self.version += 1
        return self._benches[bench]

    @property
    def stories(self) -> dict[str, Story]:
        return {name: known.story for name, known in self._benches.items()}

    # lines in

    def upload(self, bench: str, upload: Upload) -> Taken:
        """Take up the lines that follow. Raises `NotDone`."""
        known = self.known(bench)
        try:
            new = following(known, upload, self.mark, self._store)
        except NotDone as refusal:
            self._note(known, refusal.what)
            raise
        self._note(known, "")
        now = self.clock()
        known.read_clock(now - upload.now)
        self._take(known, new)
        self._greet(known, now)
        elsewhere = self.bank.elsewhere(bench)
        news = None if upload.knows == elsewhere_mark(elsewhere) else elsewhere
        return Taken(next=known.story.seq + 1, elsewhere=news, mail=self._outbox.waiting(bench))

    def _note(self, known: Known, trouble: str) -> None:
        if trouble != known.trouble:
            known.trouble = trouble
            self.version += 1

    def _greet(self, known: Known, now: float) -> None:
        if not known.connected(now):
            self.version += 1
        known.heard_at = now

    def _take(self, known: Known, new: list[Received]) -> None:
        if not new:
            return
        stored = [StoredLine(known.story.name, one.line.seq, known.offset_s, one.data) for one in new]
        try:
            self._store.add_lines(stored)
        except StoreError as error:
            self._say(str(error))
            raise
        self._say("")
        questions = [self._enter(known, kept, one.after) for kept, one in zip(stored, new, strict=True)]
        self.version += 1
        for question, one in zip(questions, new, strict=True):
            self._settle(known, question, one.line)
        if self._not_kept >= KEEP_EVERY:
            self.keep()

    def _enter(self, known: Known, stored: StoredLine, after: Story) -> int:
        """One line further; returns the question that was open before it."""
        question = known.story.question_line
        known.story, known.hash = after, hash_of(stored.data)
        self.bank.take(stored, after)
        self._patterns.take(after.errors)
        self._not_kept += 1
        return question

    def _settle(self, known: Known, question: int, line: EventLine) -> None:
        """What the record says now need not be kept beside it; a disk that refuses keeps it, and no harm done."""
        with self._refusals_said():
            self._outbox.settle(known, question, line.event)
        with self._refusals_said():
            self.bank.settle(known.story.name, line.seq)

    @contextmanager
    def _refusals_said(self) -> Iterator[None]:
        try:
            yield
        except StoreError as error:
            self._say(str(error))

    def reserve(self, bench: str, request: Reserve) -> Reserved:
        """Keep lenses for this bench. Raises `NotDone`."""
        self.known(bench)
        return self.bank.reserve(bench, request)

    # from the supervisor

    def answer(self, code: str, given: AnswerGiven) -> None:
        """Send an answer to the bench; kept until its record has it. Raises `NotDone`."""
        self._require_code(code)
        known = self._benches.get(given.bench)
        if known is None or known.story.question_line != given.question:
            raise NotDone(409, "question", f"bench {given.bench} does not ask at line {given.question}")
        if self._outbox.answered(given.bench) == given.question:
            raise NotDone(409, "answered", "this question has its answer, which is on its way")
        answer = Answer(question=given.question, yes=given.yes, code=code, reason=given.reason)
        self._outbox.send(known, answer)
        self.version += 1

    def _require_code(self, code: str) -> None:
        if code not in self.kit.supervisor_codes:
            raise NotDone(403, "code", "this is no supervisor's code")

    def count(self, given: CountGiven) -> str:
        """Have benches write down what the supervisor counted; their names. Raises `NotDone`."""
        self.bank.require_pocket(given.pocket)
        writing = self._outbox.count(self._benches.values(), given, self.clock())
        self.version += 1
        return ", ".join(writing)

    def forget(self, bench: str) -> None:
        """Take away the board's copy of a bench's record; the bench sends it again. Raises `NotDone`."""
        known = self._benches.get(bench)
        if known is None:
            raise NotDone(404, "bench", f"no bench {bench} is known")
        self._store.forget(bench)
        self._benches[bench] = Known(
            begun(bench, self.kit), offset_s=known.offset_s, heard_at=known.heard_at, post=known.post
        )
        self.bank.forget(bench)
        self._patterns.forget(bench)
        self.version += 1

    # mail out

    def listen(self, bench: str, post: Post) -> None:
        """Send this bench's mail to `post`, beginning with what it has not taken up; ends another's."""
        self.known(bench).listens(post, self._outbox.waiting(bench))

    def cut_off(self, bench: str) -> None:
        """End this bench's mail."""
        known = self._benches.get(bench)
        if known is not None:
            known.cut_off()

    def hang_up(self, bench: str, post: Post) -> None:
        """`post` takes no more; nothing happens if another took its place."""
        self.known(bench).hang_up(post)

    # out to the board

    def seen(self) -> list[Seen]:
        """Every bench as known now, by name."""
        now = self.clock()
        return [known.seen(now, self._outbox.answered(name)) for name, known in sorted(self._benches.items())]

    def view(self) -> BoardView:
        seen, now = self.seen(), self.clock()
        last = day_began(seen, now)
        today = of_today(seen, last)
        asked = [question for one in seen if (question := question_view(one)) is not None]
        return BoardView(
            version=self.version,
            now=now,
            clinic=self._store.clinic,
            kit=self.kit.name,
            benches=[bench_view(one, one in today) for one in seen],
            questions=sorted(asked, key=lambda question: (question.asked_at, question.bench)),
            trouble=self.trouble,
            today=today_view(
                today, last, self.bank.ledger, self.bank.promised(), self.kit, self._patterns.found(now)
            ),
        )

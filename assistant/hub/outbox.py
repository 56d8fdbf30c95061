"""Answers and counts on their way to benches: on disk until the record of the bench holds them."""

from collections.abc import Iterable
from typing import Final

from assistant.hub.known import Known
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Answer, Counted, CountGiven, Mail
from assistant.hub.store import Store
from assistant.workflow.events import Event, StockCounted, SupervisorAnswered

LEAST_APART_S: Final = 0.001
"""Between two counts, which are told apart by their times."""


class Outbox:
    def __init__(self, store: Store, codes: tuple[str, ...]) -> None:
        """`codes`: the supervisors' codes, of which the store keeps only a hash."""
        self._store = store
        self._counted_at = 0.0
        self._waiting: dict[str, list[Mail]] = {}
        for bench, mail in store.mail(codes):
            self._waiting.setdefault(bench, []).append(mail)

    def send(self, known: Known, mail: Mail) -> None:
        bench = known.story.name
        self._store.add_mail(bench, mail)
        self._waiting.setdefault(bench, []).append(mail)
        if known.post is not None:
            known.post(mail)

    def count(self, benches: Iterable[Known], given: CountGiven, now: float) -> list[str]:
        """Have benches write down a count; their names. Raises `NotDone`.

        Every bench must hear it, connected or not, that found the pocket wrong or could not plan on all that was
        counted, as its own book says less. And one that is connected, so that the board hears it soon.
        """
        known = list(benches)
        writing = [one for one in known if _must_hear(one, given)]
        there = [one for one in known if one.connected(now)]
        if not any(one.connected(now) for one in writing):
            writing += there[:1]
        if not (there or any(_flagged(one, given) for one in writing)):
            what = "no bench is connected to write the count down; try again when one is"
            raise NotDone(409, "no-bench", what)
        self._counted_at = max(now, self._counted_at + LEAST_APART_S)
        for one in writing:
            self.send(one, Counted(pocket=given.pocket, count=given.count, counted_at=self._counted_at))
        return [one.story.name for one in writing]

    def waiting(self, bench: str) -> list[Mail]:
        """Oldest first."""
        return list(self._waiting.get(bench, ()))

    def answered(self, bench: str) -> int:
        """The question whose answer waits to be heard; 0 for none."""
        return max((mail.question for mail in self.waiting(bench) if isinstance(mail, Answer)), default=0)

    def settle(self, known: Known, question_before: int, event: Event) -> None:
        """Drop what the line just folded, or the question it closed, makes needless."""
        bench, open_now = known.story.name, known.story.question_line
        for mail in self.waiting(bench):
            if isinstance(mail, Answer):
                heard = mail.question == question_before and isinstance(event, SupervisorAnswered)
                done = heard or (mail.question <= known.story.seq and mail.question != open_now)
            else:
                done = isinstance(event, StockCounted) and _same(mail, event)
            if done:
                self._waiting[bench].remove(mail)  # first: what the disk refuses to drop is not sent again
                self._store.drop_mail(bench, mail)


def _flagged(known: Known, given: CountGiven) -> bool:
    return given.pocket in known.story.bench.flagged


def _must_hear(known: Known, given: CountGiven) -> bool:
    return _flagged(known, given) or known.story.bench.stock.at(given.pocket) < given.count


def _same(mail: Counted, event: StockCounted) -> bool:
    return (mail.pocket, mail.counted_at) == (event.pocket, event.counted_at)

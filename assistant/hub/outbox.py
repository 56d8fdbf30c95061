"""Answers and counts on their way to benches: on disk until the record of the bench holds them."""

from assistant.hub.known import Known
from assistant.hub.protocol import Answer, Counted, Mail
from assistant.hub.store import Store
from assistant.workflow.events import Event, StockCounted, SupervisorAnswered


class Outbox:
    def __init__(self, store: Store, codes: tuple[str, ...]) -> None:
        """`codes`: the supervisors' codes, of which the store keeps only a hash."""
        self._store = store
        self._waiting: dict[str, list[Mail]] = {}
        for bench, mail in store.mail(codes):
            self._waiting.setdefault(bench, []).append(mail)

    def send(self, known: Known, mail: Mail) -> None:
        bench = known.story.name
        self._store.add_mail(bench, mail)
        self._waiting.setdefault(bench, []).append(mail)
        if known.post is not None:
            known.post(mail)

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
                self._store.drop_mail(bench, mail)
                self._waiting[bench].remove(mail)


def _same(mail: Counted, event: StockCounted) -> bool:
    return (mail.pocket, mail.counted_at) == (event.pocket, event.counted_at)

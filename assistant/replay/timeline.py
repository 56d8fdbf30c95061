"""A whole session, folded once; any moment of it at once, forwards and backwards. Pure.

The states share what did not change between them, so all are kept: a record of some thousand lines is small.
For very many sessions use `moments` alone, which keeps nothing.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.kit.profile import Kit
from assistant.replay.moments import Moment, moments
from assistant.workflow.events import DayOpened, Event

NOT_ASKED = "not_asked"
"""The refusal of an answer to something else than what the bench listens for; no bench ever writes one."""


@dataclass(frozen=True, slots=True)
class Day:
    """One day of a record: places `first` to `last` of its timeline, both included."""

    date: str
    first: int
    last: int


class Timeline:
    """The moments of a session by place, from 0; place n holds line n + 1 of the record."""

    def __init__(self, kit: Kit, events: Iterable[Event]) -> None:
        self.kit = kit
        self.moments = tuple(moments(kit, events))
        self.mistake_places = tuple(n for n, moment in enumerate(self.moments) if moment.mistakes)
        self.days = _days(self.moments)

    def __len__(self) -> int:
        return len(self.moments)

    def __getitem__(self, place: int) -> Moment:
        return self.moments[place]

    def __iter__(self) -> Iterator[Moment]:
        return iter(self.moments)

    def next_mistake(self, place: int) -> int | None:
        """The nearest place after `place` where something went wrong; None if there is none."""
        later = bisect_right(self.mistake_places, place)
        return self.mistake_places[later] if later < len(self.mistake_places) else None

    def previous_mistake(self, place: int) -> int | None:
        """The nearest place before `place` where something went wrong; None if there is none."""
        earlier = [mistake for mistake in self.mistake_places if mistake < place]
        return earlier[-1] if earlier else None

    @property
    def misfit_line(self) -> int | None:
        """The first line that answers what was not asked: the session was made with another kit."""
        for moment in self.moments:
            if moment.entry is not None and any(found.code == NOT_ASKED for found in moment.mistakes):
                return moment.line
        return None


def _days(moments: tuple[Moment, ...]) -> tuple[Day, ...]:
    """The days of the record in turn; one without a date where it opens none."""
    opened = [
        (n, moment.event.date) for n, moment in enumerate(moments) if isinstance(moment.event, DayOpened)
    ]
    if not moments:
        return ()
    if not opened or opened[0][0] > 0:
        opened.insert(0, (0, ""))
    ends = [first - 1 for first, _ in opened[1:]] + [len(moments) - 1]
    return tuple(Day(date, first, last) for (first, date), last in zip(opened, ends, strict=True))

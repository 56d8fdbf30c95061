"""One session as a trainer looks at it: where they stand, their notes, and what it is compared with."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from assistant.kit.profile import Kit
from assistant.replay.listing import Row
from assistant.replay.moments import Moment
from assistant.replay.notes import read_notes, write_note
from assistant.replay.opening import Opened, open_session
from assistant.replay.pace import Spread, StepTimes, spread
from assistant.replay.recheck import Difference, differences
from assistant.replay.timeline import Day

NO_DAY = Day("", 0, -1)


@dataclass(frozen=True, slots=True)
class Other:
    """Another kit, or the own one under another standard, to decide the session again by."""

    words: str
    of: Callable[[Kit], Kit]
    """From the session's own kit."""


@dataclass
class Viewing:
    """A day of a session, and the place in it that is looked at. Places count from the record's first line, 0."""

    opened: Opened
    day: Day
    others: tuple[StepTimes, ...] = ()
    """Times on the steps of the folder's other sessions."""
    under: str = ""
    """What `differing` was decided by, in words."""
    differing: Mapping[int, tuple[Difference, ...]] = field(default_factory=dict)
    """Line to what would have been decided differently there."""
    notes: dict[int, str] = field(default_factory=dict)
    troubles: tuple[str, ...] = ()
    place: int = 0

    @classmethod
    def of(
        cls, row: Row, others: tuple[StepTimes, ...], own_kit: Path | None, other: Other | None
    ) -> "Viewing":
        """Open a row of the list. Raises `RecordError`, `KitError`."""
        opened = open_session(row.path, own_kit)
        found = read_notes(row.path, opened.lines)
        # the record may have grown since the list was read
        day = next((day for day in opened.timeline.days if day.first == row.day.first), NO_DAY)
        viewing = cls(opened, day, others, notes=found.by_line, place=day.first)
        viewing.troubles = (*opened.troubles, *found.troubles)
        if other is not None:
            viewing.under = other.words
            viewing.differing = viewing._differing(other.of(opened.timeline.kit))
        return viewing

    def _differing(self, kit: Kit) -> Mapping[int, tuple[Difference, ...]]:
        by_line: dict[int, tuple[Difference, ...]] = {}
        for found in differences(self.opened.timeline.moments[self.day.first : self.day.last + 1], kit):
            by_line[found.line] = (*by_line.get(found.line, ()), found)
        return by_line

    @property
    def empty(self) -> bool:
        """There is no moment to look at."""
        return self.day.last < self.day.first

    @property
    def moment(self) -> Moment:
        return self.opened.timeline[self.place]

    @property
    def since_s(self) -> float:
        """Seconds from the day's first event to this one."""
        return self.moment.at - self.opened.timeline[self.day.first].at

    @property
    def spread(self) -> Spread | None:
        """How long the step of this moment took in the other sessions."""
        return spread(self.moment.item.step, self.others)

    @property
    def mistake_places(self) -> tuple[int, ...]:
        """Of this day."""
        return tuple(p for p in self.opened.timeline.mistake_places if self.day.first <= p <= self.day.last)

    def go(self, place: int | None) -> bool:
        """Stand at a place of this day; False, and nothing changes, where there is none."""
        if place is None or not self.day.first <= place <= self.day.last:
            return False
        self.place = place
        return True

    def step(self, by: int) -> bool:
        return self.go(self.place + by)

    def next_mistake(self) -> bool:
        return self.go(self.opened.timeline.next_mistake(self.place))

    def previous_mistake(self) -> bool:
        return self.go(self.opened.timeline.previous_mistake(self.place))

    def next_difference(self) -> bool:
        """To the next moment that would have been decided differently."""
        return self.go(min((line - 1 for line in self.differing if line - 1 > self.place), default=None))

    @property
    def note(self) -> str:
        """The trainer's note at this moment; empty for none."""
        return self.notes.get(self.moment.line, "")

    def write(self, text: str, at: float) -> None:
        """Keep a note at this moment ("" takes it away). Raises as `write_note` does."""
        write_note(self.opened.path, self.opened.lines[self.place], text, at)
        if text.strip():
            self.notes[self.moment.line] = text.strip()
        else:
            self.notes.pop(self.moment.line, None)

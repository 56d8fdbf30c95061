"""What a trainer works with: the sessions that were found, and the outside things that replaying needs."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.journal.errors import RecordError
from assistant.kit.fields import KitError
from assistant.replay.listing import Row
from assistant.replay.moments import Moment
from assistant.replay.rehear import Reheard, clip_path
from assistant.replay.viewing import Other, Viewing
from assistant.speech.errors import SpeechError
from assistant.speech.mouth import Plays
from assistant.speech.sound import Sound, read_sound
from assistant.ui.glyphs import Glyphs

Hears = Callable[[Path, Moment], Reheard | None]
"""A moment's clip, of the session at this path, heard again."""


@dataclass(frozen=True, slots=True)
class Outside:
    """The shell's part; tests put in their own."""

    now: Callable[[], float]
    """Seconds since 1970-01-01 UTC."""
    sleep: Callable[[float], None]
    player: Plays
    hears: Hears
    glyphs: Glyphs
    columns: int = 80


class NoSession(Exception):  # noqa: N818 - says what happened
    """There is nothing to look at; one sentence."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """The list of sessions, and how one of them is opened."""

    rows: list[Row]
    outside: Outside
    own_kit: Path | None = None
    other: Other | None = None

    def open(self, number: int) -> Viewing:
        """The session of this number in the list, from 1. Raises `NoSession`."""
        if not 1 <= number <= len(self.rows):
            allowed = f"allowed is 1 to {len(self.rows)}" if self.rows else "this folder holds none"
            raise NoSession(f"there is no session {number}; {allowed}")
        row = self.rows[number - 1]
        others = tuple(one.times for one in self.rows if one is not row)
        try:
            viewing = Viewing.of(row, others, self.own_kit, self.other)
        except (RecordError, KitError) as error:
            raise NoSession(str(error)) from error
        if viewing.empty:
            raise NoSession(f"{row.path.name}: {'; '.join(viewing.troubles) or 'there is nothing to show'}")
        return viewing


def clip_of(viewing: Viewing) -> Sound:
    """The recording kept of this moment's entry. Raises `NoSession` where there is none that can be read."""
    entry = viewing.moment.entry
    if entry is None or entry.clip is None:
        raise NoSession("nothing was recorded at this moment")
    try:
        return read_sound(clip_path(viewing.opened.path, entry.clip))
    except (SpeechError, ValueError) as error:
        raise NoSession(f"the recording cannot be played: {error}") from error


def all_heard(viewing: Viewing, hears: Hears) -> list[Reheard]:
    """Every recording of the day heard again, in turn."""
    moments = viewing.opened.timeline.moments[viewing.day.first : viewing.day.last + 1]
    heard = (hears(viewing.opened.path, moment) for moment in moments)
    return [again for again in heard if again is not None]

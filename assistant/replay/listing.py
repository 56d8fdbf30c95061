"""The sessions of a folder, one row for each day of each record: how it ended, how long, how many mistakes."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from assistant.journal.errors import RecordError
from assistant.kit.fields import KitError
from assistant.replay.opening import Opened, open_session
from assistant.replay.pace import StepTimes, step_times
from assistant.replay.timeline import Day, Timeline

ENDING: Final = "*.jsonl"
OF_BENCHES: Final = "*/record.jsonl"
"""Where a home folder has the records of its benches."""
_ENDED: Final = {"handed_over": "handed over", "returned": "sent back", "abandoned": "given up"}


@dataclass(frozen=True, slots=True)
class Row:
    """One session. Seconds by the bench's clock."""

    path: Path
    day: Day
    bench: str
    helpers: tuple[int, ...]
    outcome: str
    """How the pairs ended, in words."""
    seconds: float
    mistakes: int
    times: StepTimes
    troubles: tuple[str, ...] = ()
    several: bool = False
    """The record has more days than this one."""

    @property
    def name(self) -> str:
        """Of the session; with its day where there are several."""
        return f"{name_of(self.path)} {self.day.date}" if self.several else name_of(self.path)


def name_of(path: Path) -> str:
    """A session's name: its file's, or the folder's where every bench calls its file the same."""
    return path.parent.name if path.stem == "record" else path.stem


def session_files(folder: Path) -> list[Path]:
    """Records in a folder, and those of benches whose folders are in it, by name."""
    return sorted({*folder.glob(ENDING), *bench_files(folder)})


def bench_files(home: Path) -> list[Path]:
    """The records of the benches of this computer, by name."""
    return sorted(home.glob(OF_BENCHES))


def read_rows(files: Iterable[Path], own_kit: Path | None = None) -> Iterator[tuple[Path, tuple[Row, ...]]]:
    """Each file with its rows. A file that cannot be read, or whose kit cannot, has one row that says so."""
    for path in files:
        try:
            yield path, rows(open_session(path, own_kit))
        except (RecordError, KitError) as error:
            nothing = Row(path, Day("", 0, -1), "", (), "cannot be read", 0.0, 0, {}, (str(error),))
            yield path, (nothing,)


def rows(opened: Opened) -> tuple[Row, ...]:
    """One row for each day; one that says so where no line can be shown."""
    days = opened.timeline.days or (Day("", 0, -1),)
    return tuple(_row(opened, day) for day in days)


def _row(opened: Opened, day: Day) -> Row:
    timeline = opened.timeline
    moments = timeline.moments[day.first : day.last + 1]
    return Row(
        opened.path,
        day,
        opened.bench,
        tuple(sorted({moment.helper for moment in moments if moment.helper is not None})),
        outcome(timeline, day),
        moments[-1].at - moments[0].at if moments else 0.0,
        sum(day.first <= place <= day.last for place in timeline.mistake_places),
        step_times(moments),
        opened.troubles,
        len(timeline.days) > 1,
    )


def outcome(timeline: Timeline, day: Day) -> str:
    """How the pairs of a day ended: `handed over`, `2 handed over, 1 sent back`, `left in the making`."""
    if day.last < day.first:
        return "nothing to show"
    first, last = timeline[day.first].before, timeline[day.last].after
    ended = Counter(done.outcome for done in last.closed[len(first.closed) :])
    told = [_counted(ended[code], words) for code, words in _ENDED.items() if ended[code]]
    if last.pair is not None:
        told.append("one left in the making" if told else "left in the making")
    return ", ".join(told) or "no pair begun"


def _counted(count: int, words: str) -> str:
    return words if count == 1 else f"{count} {words}"

"""A session from its file, as far as it can be read, and the kit that it was made with.

Reading writes and locks nothing: a record can be replayed while its bench is at work.
"""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from assistant.journal.codec import Codec
from assistant.journal.events import EVENTS, EventLine
from assistant.journal.file import read
from assistant.journal.reading import Reading
from assistant.kit.kept import kept_beside
from assistant.kit.load import demo_kit, load_kit
from assistant.kit.profile import Kit
from assistant.replay.timeline import Timeline
from assistant.workflow.events import Event
from assistant.workflow.steps import BY_ID


@dataclass(frozen=True, slots=True)
class Opened:
    """A session as it was found."""

    path: Path
    lines: tuple[EventLine, ...]
    timeline: Timeline
    kit_from: str
    """Where the kit came from, in words."""
    troubles: tuple[str, ...]
    """A sentence for each thing that could not be used, and why; none when all is well."""
    remarks: tuple[str, ...] = ()
    """What is worth knowing and costs nothing."""

    @property
    def bench(self) -> str:
        """The name of the bench that wrote it; empty where no line can be read."""
        return self.lines[0].bench if self.lines else ""


def open_session(path: Path, own_kit: Path | None = None, codec: Codec[Event] = EVENTS) -> Opened:
    """Read and fold the session at `path`; `own_kit` is the folder of the kit that it was made with.

    Raises `RecordFailed` if there is no such file, `KitError`
    for a kit that cannot be used.
    """
    reading = read(path, codec)
    kit, kit_from = kit_of(path, own_kit)
    timeline = Timeline(kit, (line.event for line in reading.lines))
    troubles = (*found_in(reading), *_misfit(timeline, kit))
    return Opened(path, reading.lines, timeline, kit_from, troubles, _older(reading, codec.schema))


def kit_of(path: Path, own_kit: Path | None = None) -> tuple[Kit, str]:
    """The kit of the session at `path`: as given, else `kit/` beside the file, else the demonstration's."""
    folder = own_kit or kept_beside(path.parent)
    if folder is None:
        return _demo(), "the demonstration kit"
    return _loaded(folder), str(folder)


@cache
def _demo() -> Kit:
    return demo_kit(BY_ID)


@cache
def _loaded(folder: Path) -> Kit:
    """Read once: a folder's sessions have one kit."""
    return load_kit(folder, BY_ID)


def found_in(reading: Reading[Event]) -> tuple[str, ...]:
    """A sentence for each thing that a reading could not use; none when all is well."""
    told, whole = [], len(reading.lines)
    before = f"the {whole} lines before it are shown" if whole else "no line before it can be shown"
    if reading.problem is not None:
        told.append(f"{reading.problem.sentence}; {before}")
    if reading.torn:
        told.append(f"line {whole + 1} was never finished ({len(reading.torn)} bytes); {before}")
    if reading.missing_lines:
        told.append(f"{reading.missing_lines} lines that were once written are gone from the end")
    if not whole and not told:
        told.append("the file holds no line; a session has one line for each event")
    return tuple(told)


def _older(reading: Reading[Event], schema: int) -> tuple[str, ...]:
    older = sorted({line.schema for line in reading.lines if line.schema != schema})
    if not older:
        return ()
    named = ", ".join(str(found) for found in older)
    return (f"lines of the older schema {named} were brought up to date to be shown",)


def _misfit(timeline: Timeline, kit: Kit) -> tuple[str, ...]:
    line = timeline.misfit_line
    if line is None:
        return ()
    return (
        f"line {line} answers something that was not asked with kit {kit.name!r}:"
        " the session was made with another kit; name its folder",
    )

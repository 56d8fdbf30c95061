"""A folder of sessions to what each tells, on all cores; what is damaged is named and not fatal."""

import signal
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import cache
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import Final

from assistant.journal.errors import RecordFailed
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.fields import KitError
from assistant.kit.profile import Kit
from assistant.replay.opening import found_in, kit_of
from assistant.replay.summary_facts import Facts, facts_of

AT_A_TIME: Final = 50
"""Sessions handed to a process at once."""
MARK: Final = 8
FEW: Final = 200
"""Starting processes costs more than it saves for so few sessions."""

Progress = Callable[[int, int], None]
"""Told how many sessions of how many are done."""


@dataclass(frozen=True, slots=True)
class Told:
    """One file. `facts` is None where no line of it can be used."""

    path: Path
    marks: bytes
    """Eight bytes of each line's check: a record that begins with all of them is a later copy of this one."""
    facts: Facts | None
    troubles: tuple[str, ...]


def told_by(path: Path, own_kit: Path | None = None) -> Told:
    """Read, check and fold one session. Never raises for what is wrong with it."""
    try:
        reading = read(path, EVENTS)
        kit = _kit_for(path.parent, own_kit)
    except (RecordFailed, KitError) as error:
        return Told(path, b"", None, (str(error),))
    troubles = list(found_in(reading))
    if not reading.lines:
        return Told(path, b"", None, tuple(troubles))
    facts = facts_of(kit, reading.lines[0].bench, (line.event for line in reading.lines))
    if facts.misfits:
        troubles.append(
            f"{facts.misfits} entries answer what was not asked: the session was made with another kit"
            f" than {kit.name!r}; it is left out"
        )
        return Told(path, b"", None, tuple(troubles))
    if facts.clock_set_back:
        troubles.append(
            f"the bench's clock was set back {facts.clock_set_back} times; those times are left out"
        )
    marks = b"".join(bytes.fromhex(line.check)[:MARK] for line in reading.lines)
    return Told(path, marks, facts, tuple(troubles))


@cache
def _kit_for(folder: Path, own_kit: Path | None) -> Kit:
    """The kit is the same for all sessions of a folder."""
    return kit_of(folder / "any session", own_kit)[0]


def all_told(
    files: Sequence[Path], own_kit: Path | None, processes: int, progress: Progress
) -> Iterator[Told]:
    """What every file tells, in no order. Raises `RecordFailed` if a process is ended from outside."""
    done = 0
    for several in _chunks_told(files, own_kit, processes):
        yield from several
        done += len(several)
        progress(done, len(files))


def _chunks_told(files: Sequence[Path], own_kit: Path | None, processes: int) -> Iterator[list[Told]]:
    if processes < 2 or len(files) <= FEW:
        yield from (_told([path], own_kit) for path in files)
        return
    # spawned, not forked: the same on every system, and no thread of a parent is half copied
    pool = ProcessPoolExecutor(
        processes, mp_context=get_context("spawn"), initializer=_leave_stopping_to_parent
    )
    try:
        work = [pool.submit(_told, chunk, own_kit) for chunk in _chunks(files)]
        for finished in as_completed(work):
            yield finished.result()
    except BrokenProcessPool as error:
        raise RecordFailed("a reading process was ended from outside; is there enough memory?") from error
    finally:
        pool.shutdown(cancel_futures=True)


def _leave_stopping_to_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _told(paths: Iterable[Path], own_kit: Path | None) -> list[Told]:
    return [told_by(path, own_kit) for path in paths]


def _chunks(files: Sequence[Path]) -> Iterator[list[Path]]:
    rest = iter(files)
    while chunk := list(islice(rest, AT_A_TIME)):
        yield chunk


@dataclass(frozen=True, slots=True)
class Sorted:
    """What is summed up, and every file that is not, or not wholly, with why."""

    used: tuple[Facts, ...]
    troubles: tuple[tuple[Path, str], ...]


def sorted_out(told: Iterable[Told]) -> Sorted:
    """Leave out every record that another one begins with: it is an earlier copy, or the same."""
    kept: dict[bytes, list[Told]] = defaultdict(list)
    troubles: list[tuple[Path, str]] = []
    for one in sorted(told, key=lambda one: (-len(one.marks), one.path)):
        troubles += [(one.path, trouble) for trouble in one.troubles]
        if one.facts is None:
            continue
        alike = kept[one.marks[:MARK]]
        whole = next((other for other in alike if other.marks.startswith(one.marks)), None)
        if whole is None:
            alike.append(one)
        else:
            troubles.append((one.path, f"is a copy of {whole.path}, or of its beginning; it is left out"))
    used = tuple(one.facts for alike in kept.values() for one in alike if one.facts is not None)
    return Sorted(used, tuple(sorted(troubles)))

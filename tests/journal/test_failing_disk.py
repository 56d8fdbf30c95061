"""A disk that refuses, or is really full: a clear message, nothing lost, and the next append may succeed."""

import errno
import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.journal.disk import DiskFile
from assistant.journal.errors import RecordError, RecordFailed, RecordFull
from assistant.journal.events import EVENTS
from assistant.journal.file import Journal, read
from assistant.workflow.events import Answered, Event


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "heron.jsonl"


class Failing(DiskFile):
    """A disk that takes `room` more bytes, then refuses; `sync_fails` and `cut_fails` refuse those."""

    room: int | None = None
    number = errno.ENOSPC
    sync_fails = False
    cut_fails = False

    def write_at(self, position: int, data: bytes) -> None:
        if self.room is not None and len(data) > self.room:
            super().write_at(position, data[: self.room])
            self.room = 0
            raise OSError(self.number, os.strerror(self.number))
        super().write_at(position, data)

    def sync(self) -> None:
        if self.sync_fails:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        super().sync()

    def cut(self, size: int) -> None:
        if self.cut_fails:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        super().cut(size)


class FailingJournal:
    """A journal with three events in it, and its two files to make fail."""

    def __init__(self, path: Path, session: tuple[Event, ...]) -> None:
        self.path = path
        files: dict[str, Failing] = {}

        def open_file(path: Path) -> DiskFile:
            files[path.suffix] = Failing(path)
            return files[path.suffix]

        self.journal = Journal.open(path, EVENTS, "heron", open_file).journal
        self.record, self.head = files[".jsonl"], files[".head"]
        for event in session[:3]:
            self.journal.append(event)

    def written(self) -> tuple[Event, ...]:
        reading = read(self.path, EVENTS)
        assert reading.problem is None
        assert not reading.torn
        assert not reading.missing_lines
        return tuple(line.event for line in reading.lines)


@pytest.fixture
def failing(path: Path, session: tuple[Event, ...]) -> Iterator[FailingJournal]:
    made = FailingJournal(path, session)
    yield made
    made.journal.close()


@pytest.mark.parametrize(("number", "kind"), [(errno.ENOSPC, RecordFull), (errno.EIO, RecordFailed)])
def test_a_disk_that_refuses_at_any_byte_loses_nothing(
    failing: FailingJournal, session: tuple[Event, ...], number: int, kind: type[RecordError]
) -> None:
    length = len(EVENTS.encode(session[3], seq=4, bench="heron", previous="0" * 32))
    for room in range(0, length, 3):
        failing.record.room, failing.record.number = room, number
        with pytest.raises(kind, match="while writing line 4") as caught:
            failing.journal.append(session[3])
        assert type(caught.value) is kind
        assert failing.written() == session[:3]
        assert failing.journal.seq == 3
    failing.record.room = None
    assert failing.journal.append(session[3]) == 4
    assert failing.written() == session[:4]


def test_a_disk_that_refuses_the_sync_loses_nothing(
    failing: FailingJournal, session: tuple[Event, ...]
) -> None:
    failing.record.sync_fails = True
    with pytest.raises(RecordFailed, match="Input/output error"):
        failing.journal.append(session[3])
    assert failing.written() == session[:3]
    failing.record.sync_fails = False
    assert failing.journal.append(session[4]) == 4
    assert failing.written() == (*session[:3], session[4])


def test_a_disk_that_refuses_the_head_loses_nothing(
    failing: FailingJournal, session: tuple[Event, ...]
) -> None:
    failing.head.room = 0
    with pytest.raises(RecordFull):
        failing.journal.append(session[3])
    failing.head.room = None
    assert failing.written() == session[:3]
    assert failing.journal.append(session[3]) == 4
    assert failing.written() == session[:4]


def test_a_tail_that_could_not_be_taken_away_is_taken_away_later(
    failing: FailingJournal, session: tuple[Event, ...]
) -> None:
    failing.record.room, failing.record.cut_fails = 100, True
    for _ in range(2):
        with pytest.raises(RecordFailed):
            failing.journal.append(session[1])
    assert len(read(failing.path, EVENTS).torn) == 100
    failing.record.room, failing.record.cut_fails = None, False
    assert failing.journal.append(session[4]) == 4
    assert failing.written() == (*session[:3], session[4])


def test_an_interrupted_write_is_taken_away_by_the_next(
    failing: FailingJournal, session: tuple[Event, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_self: DiskFile) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(Failing, "sync", interrupted)
        with pytest.raises(KeyboardInterrupt):
            failing.journal.append(session[1])
    assert failing.journal.append(session[4]) == 4
    assert failing.written() == (*session[:3], session[4])


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 64 KiB."""
    folder = tmp_path / "small"
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
    try:
        mounted = subprocess.run(command, capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("no mount command here")
    if mounted.returncode != 0:
        pytest.skip(f"a small disk cannot be mounted here: {mounted.stderr.strip()}")
    yield folder
    # Lazily: a test that fails may leave a file open there.
    subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_really_full_disk_is_told_and_nothing_is_lost(small_disk: Path) -> None:
    path = small_disk / "heron.jsonl"
    journal = Journal.open(path, EVENTS, "heron").journal
    filler = small_disk / "photographs"
    filler.write_bytes(bytes(32 * 1024))
    written: list[Event] = []

    def fill() -> None:
        while len(written) < 1000:
            event = Answered(at=float(len(written)), step="read", field="sphere", text="x" * 300)
            journal.append(event)
            written.append(event)

    with journal:
        with pytest.raises(RecordFull, match="no room on the disk while writing line"):
            fill()
        assert len(written) > 10
        assert tuple(line.event for line in read(path, EVENTS).lines) == tuple(written)
        filler.unlink()
        before = len(written)
        with pytest.raises(RecordFull):
            fill()
        assert len(written) > before
    again, lines, recovery = Journal.open(path, EVENTS, "heron")
    again.close()
    assert tuple(line.event for line in lines) == tuple(written)
    assert recovery.clean


def test_a_full_disk_at_opening_cuts_nothing(small_disk: Path, session: tuple[Event, ...]) -> None:
    path = small_disk / "heron.jsonl"
    with Journal.open(path, EVENTS, "heron").journal as journal:
        for event in session:
            journal.append(event)
    with path.open("ab") as file:
        file.write(b'{"schema":1')
    data = path.read_bytes()
    with pytest.raises(OSError, match="No space left"):
        (small_disk / "photographs").write_bytes(bytes(64 * 1024))
    with pytest.raises(RecordFull, match="while opening the record"):
        Journal.open(path, EVENTS, "heron")
    assert path.read_bytes() == data
    assert not list(small_disk.glob("*.torn-*"))
    (small_disk / "photographs").unlink()
    again, lines, recovery = Journal.open(path, EVENTS, "heron")
    again.close()
    assert tuple(line.event for line in lines) == session
    assert recovery.torn_bytes == len(b'{"schema":1')

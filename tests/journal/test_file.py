"""The record on a real disk: begun, reopened, cut, changed, refused, full."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.journal.disk import DiskFile
from assistant.journal.errors import (
    Changed,
    NotWritable,
    RecordBusy,
    RecordFailed,
    WrongBench,
)
from assistant.journal.events import EVENTS
from assistant.journal.file import Journal, read
from assistant.journal.reading import HeadState
from assistant.journal.recovery import Recovery, head_path
from assistant.workflow.events import Answered, Event


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "heron.jsonl"


@pytest.fixture
def record(path: Path, session: tuple[Event, ...]) -> Path:
    """The session, written and closed."""
    with Journal.open(path, EVENTS, "heron").journal as journal:
        for event in session:
            journal.append(event)
    return path


def reopened(path: Path) -> tuple[tuple[Event, ...], Recovery]:
    """Open as the bench does, append nothing, close."""
    journal, lines, recovery = Journal.open(path, EVENTS, "heron")
    journal.close()
    return tuple(line.event for line in lines), recovery


def require_goes_on(path: Path, events: tuple[Event, ...]) -> None:
    """The record holds `events` and nothing is left to report; one more event can be added and read."""
    found, recovery = reopened(path)
    assert found == events
    assert recovery.clean
    more = Answered(at=9.0, step="dot", field="done", text="")
    with Journal.open(path, EVENTS, "heron").journal as journal:
        assert journal.append(more) == len(events) + 1
    assert reopened(path) == ((*events, more), Recovery())


def test_a_new_record_is_begun_and_goes_on(path: Path, session: tuple[Event, ...]) -> None:
    journal, lines, recovery = Journal.open(path, EVENTS, "heron")
    assert (lines, journal.seq, journal.path) == ((), 0, path)
    assert recovery.clean
    with journal:
        assert [journal.append(event) for event in session] == list(range(1, len(session) + 1))
    require_goes_on(path, session)


def test_a_line_is_in_the_file_when_append_returns(path: Path, session: tuple[Event, ...]) -> None:
    with Journal.open(path, EVENTS, "heron").journal as journal:
        for number, event in enumerate(session, 1):
            journal.append(event)
            assert tuple(line.event for line in read(path, EVENTS).lines) == session[:number]


def test_append_returns_only_after_the_line_was_synced(path: Path, session: tuple[Event, ...]) -> None:
    calls: list[str] = []

    class Watched(DiskFile):
        def write_at(self, position: int, data: bytes) -> None:
            calls.append(f"write {self.path.suffix}")
            super().write_at(position, data)

        def sync(self) -> None:
            calls.append(f"sync {self.path.suffix}")
            super().sync()

    with Journal.open(path, EVENTS, "heron", Watched).journal as journal:
        calls.clear()
        journal.append(session[0])
        assert calls == ["write .jsonl", "sync .jsonl", "write .head"]


def test_an_event_that_would_not_read_back_is_refused(path: Path, session: tuple[Event, ...]) -> None:
    with Journal.open(path, EVENTS, "heron").journal as journal:
        journal.append(session[0])
        with pytest.raises(NotWritable):
            journal.append(Answered(at=float("nan"), step="dot", field="done", text=""))
    require_goes_on(path, session[:1])


@pytest.mark.parametrize("share", range(0, 100, 7))
def test_a_cut_record_comes_back_and_says_what_it_lost(
    record: Path, session: tuple[Event, ...], share: int
) -> None:
    data, head = record.read_bytes(), head_path(record).read_bytes()
    size = len(data) * share // 100
    record.write_bytes(data[:size])
    events, recovery = reopened(record)
    assert events == session[: len(events)]
    assert recovery.missing_lines == len(session) - len(events) > 0
    told = " ".join(recovery.sentences)
    assert f"{recovery.missing_lines} lines that had been on disk are gone" in told
    assert f"kept as {recovery.head_kept_as}." in told
    assert recovery.head_kept_as is not None
    assert recovery.head_kept_as.read_bytes() == head
    torn = data[record.stat().st_size : size]
    assert recovery.torn_bytes == len(torn)
    if torn:
        assert recovery.torn_kept_as is not None
        assert recovery.torn_kept_as.read_bytes() == torn
        assert str(recovery.torn_kept_as) in recovery.sentences[0]
    require_goes_on(record, events)


def test_tails_kept_earlier_are_never_overwritten(record: Path) -> None:
    for tail in (b'{"schema":1,"se', b'{"sch'):
        with record.open("ab") as file:
            file.write(tail)
        reopened(record)
    assert record.with_name("heron.jsonl.torn-1").read_bytes() == b'{"schema":1,"se'
    assert record.with_name("heron.jsonl.torn-2").read_bytes() == b'{"sch'


def test_a_missing_last_newline_is_mended(record: Path, session: tuple[Event, ...]) -> None:
    data = record.read_bytes()
    record.write_bytes(data[:-1])
    events, recovery = reopened(record)
    assert events == session
    assert recovery == Recovery(newline_mended=True)
    assert record.read_bytes() == data
    require_goes_on(record, session)


@pytest.mark.parametrize("share", range(0, 100, 7))
def test_a_changed_byte_stops_the_bench_and_nothing_is_cut(
    record: Path, session: tuple[Event, ...], share: int
) -> None:
    data = bytearray(record.read_bytes())
    position = len(data) * share // 100
    data[position] ^= 1
    record.write_bytes(data)
    number = data[:position].count(b"\n") + 1
    with pytest.raises(Changed, match=rf"heron\.jsonl: line {number} is not as it was written") as caught:
        Journal.open(record, EVENTS, "heron")
    assert caught.value.line_number == number
    assert record.read_bytes() == data
    reading = read(record, EVENTS)
    assert tuple(line.event for line in reading.lines) == session[: number - 1]


def test_a_record_that_is_gone_is_missed(record: Path, session: tuple[Event, ...]) -> None:
    record.unlink()
    events, recovery = reopened(record)
    assert events == ()
    assert recovery.missing_lines == len(session)
    require_goes_on(record, ())


@pytest.mark.parametrize(
    ("head", "state"),
    [(None, HeadState.ABSENT), (b"", HeadState.ABSENT), (b"000000000009 \xff" * 9, HeadState.CHANGED)],
)
def test_a_lost_or_damaged_head_is_told_and_made_anew(
    record: Path, session: tuple[Event, ...], head: bytes | None, state: HeadState
) -> None:
    head_path(record).unlink()
    if head is not None:
        head_path(record).write_bytes(head)
    events, recovery = reopened(record)
    assert events == session
    assert recovery.head_state is state
    assert "could not be noticed" in recovery.sentences[0]
    if state is HeadState.CHANGED:
        assert f"kept as {recovery.head_kept_as}." in recovery.sentences[0]
        assert recovery.head_kept_as is not None
        assert recovery.head_kept_as.read_bytes() == head
    require_goes_on(record, session)


def test_the_record_of_another_bench_is_refused(record: Path) -> None:
    with pytest.raises(WrongBench, match="line 1 was written at bench 'heron', and this is bench 'crab'"):
        Journal.open(record, EVENTS, "crab")
    Journal.open(record, EVENTS, "heron").journal.close()


def test_a_record_that_cannot_be_reached_is_named(tmp_path: Path) -> None:
    with pytest.raises(
        RecordFailed, match=r"nowhere/heron\.jsonl: the disk refused while opening the record"
    ):
        Journal.open(tmp_path / "nowhere" / "heron.jsonl", EVENTS, "heron")
    with pytest.raises(RecordFailed, match="while reading the record: No such file"):
        read(tmp_path / "none.jsonl", EVENTS)


def test_a_second_writer_in_this_program_is_refused(record: Path) -> None:
    busy = pytest.raises(RecordBusy, match=rf"another bench \(process {os.getpid()}\) is writing")
    with Journal.open(record, EVENTS, "heron").journal, busy:
        Journal.open(record, EVENTS, "heron")
    Journal.open(record, EVENTS, "heron").journal.close()


def test_a_second_writer_in_another_program_is_refused(record: Path, session: tuple[Event, ...]) -> None:
    script = (
        "import sys; from pathlib import Path; from assistant.journal.file import Journal;"
        "from assistant.journal.events import EVENTS; from assistant.journal.errors import RecordBusy\n"
        "try: Journal.open(Path(sys.argv[1]), EVENTS, 'heron')\n"
        "except RecordBusy as error: print(error); sys.exit(3)\n"
    )
    command = [sys.executable, "-c", script, str(record)]
    with Journal.open(record, EVENTS, "heron").journal:
        refused = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (refused.returncode, refused.stderr) == (3, "")
    assert refused.stdout == (
        f"{record}: another bench (process {os.getpid()}) is writing this record; close it first\n"
    )
    assert subprocess.run(command, capture_output=True, check=False).returncode == 0
    require_goes_on(record, session)

"""The record as a file: open and recover, append, read."""

from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Generic, NamedTuple

from assistant.journal.codec import Codec, E, Line, hash_of
from assistant.journal.disk import DiskFile, Lock, refusals
from assistant.journal.errors import WrongBench
from assistant.journal.head import Head
from assistant.journal.reading import Reading, read_bytes
from assistant.journal.recovery import Recovery, head_path, recover

OpenFile = Callable[[Path], DiskFile]


class Opened(NamedTuple, Generic[E]):
    journal: "Journal[E]"
    lines: tuple[Line[E], ...]
    recovery: Recovery


class Journal(Generic[E]):
    """A record open for appending, by one process and one thread. Make it with `Journal.open`."""

    def __init__(
        self, record: DiskFile, head_file: DiskFile, lock: Lock, codec: Codec[E], bench: str, head: Head
    ) -> None:
        self._record, self._head_file, self._lock = record, head_file, lock
        self._codec, self._bench, self._head = codec, bench, head
        self._tail_in_doubt = False

    @classmethod
    def open(cls, path: Path, codec: Codec[E], bench: str, open_file: OpenFile = DiskFile) -> "Opened[E]":
        """Open or begin the record at `path` (its folder must be there) and recover what a cut left.

        A torn tail is cut and kept beside the record as `<name>.torn-<n>`. Raises `RecordBusy`,
        `RecordFull`, `RecordFailed`, `WrongBench`, and for a changed line `Changed`, `UnknownSchema` or
        `Unreadable`; nothing is cut or written then (see `read`).
        """
        with refusals(path, "opening the record"):
            lock = Lock(path)
            files: list[DiskFile] = []
            try:
                reading = _read_own(path, codec, bench)
                if reading.problem is not None:
                    raise reading.problem
                files += [open_file(path), open_file(head_path(path))]
                recovery = recover(path, files[0], files[1], reading)
            except BaseException:
                for file in files:
                    file.close()
                lock.release()
                raise
        return Opened(cls(files[0], files[1], lock, codec, bench, reading.head), reading.lines, recovery)

    @property
    def path(self) -> Path:
        return self._record.path

    @property
    def seq(self) -> int:
        """The number of the last line on disk; 0 for none."""
        return self._head.seq

    def append(self, event: E) -> int:
        """Put `event` on disk and return its line number; when this returns, a power cut cannot lose it.

        Raises `NotWritable`, `RecordFull`, `RecordFailed`: the event is then not in the record, all before
        it are, and the next append may succeed.
        """
        head = self._head
        data = self._codec.encode(event, seq=head.seq + 1, bench=self._bench, previous=head.hash)
        new = Head(head.seq + 1, head.size + len(data), hash_of(data))
        with refusals(self.path, f"writing line {new.seq}"):
            if self._tail_in_doubt:
                self._cut_back()
            self._tail_in_doubt = True
            try:
                self._record.write_at(head.size, data)
                self._record.sync()
                self._head_file.write_at(0, new.encode())
            except OSError:
                self._cut_back()
                raise
        self._head = new
        self._tail_in_doubt = False
        return new.seq

    def _cut_back(self) -> None:
        """Take away what a failed append left. If this fails too, the next append tries again first."""
        self._record.cut(self._head.size)
        self._record.sync()
        self._head_file.write_at(0, self._head.encode())
        self._tail_in_doubt = False

    def close(self) -> None:
        """Put the head on disk too and let other programs write. Raises `RecordFailed`."""
        try:
            with refusals(self.path, "closing the record"):
                self._head_file.sync()
        finally:
            self._record.close()
            self._head_file.close()
            self._lock.release()

    def __enter__(self) -> "Journal[E]":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def read(path: Path, codec: Codec[E]) -> Reading[E]:
    """Read a record without writing or locking anything; what is wrong is in the `Reading`.

    A record being written right now may show a torn tail. Raises `RecordFailed` if there is no such file.
    """
    with refusals(path, "reading the record"):
        head_file = head_path(path)
        # Head first: written after the record, it can then never seem to be ahead of it.
        head_data = head_file.read_bytes() if head_file.exists() else None
        reading = read_bytes(path.read_bytes(), head_data, codec)
    if reading.problem is not None:
        reading.problem.path = path
    return reading


def _read_own(path: Path, codec: Codec[E], bench: str) -> Reading[E]:
    """Read the record, or nothing if there is none yet. Raises `WrongBench`."""
    if not path.exists():
        head_file = head_path(path)
        return read_bytes(b"", head_file.read_bytes() if head_file.exists() else None, codec)
    reading = read(path, codec)
    for line in reading.lines:
        if line.bench != bench:
            raise WrongBench(
                f"line {line.seq} was written at bench {line.bench!r}, and this is bench {bench!r}", path
            )
    return reading

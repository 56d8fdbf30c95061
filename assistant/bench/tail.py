"""The record of a bench as others may read it while it is being written: no further than its head says."""

from pathlib import Path

from assistant.journal.head import decode_head
from assistant.journal.recovery import head_path


class Tail:
    """Whole lines that are on disk for certain. A line still being written could be taken back."""

    def __init__(self, record: Path) -> None:
        self._record, self._head = record, head_path(record)
        self._starts = [0]
        """Where each line begins, and where the last one ends."""

    def have(self) -> int:
        """Number of the last line on disk; 0 for none. Raises `OSError`."""
        self._follow()
        return len(self._starts) - 1

    def lines(self, first: int, most: int, most_bytes: int) -> list[str]:
        """Lines from number `first` on, without newlines: at most `most` and about `most_bytes`."""
        last = min(len(self._starts) - 1, first + most - 1)
        while last > first and self._starts[last] - self._starts[first - 1] > most_bytes:
            last -= 1
        if last < first:
            return []
        with self._record.open("rb") as record:
            record.seek(self._starts[first - 1])
            data = record.read(self._starts[last] - self._starts[first - 1])
        return [line.decode() for line in data.split(b"\n")[:-1]]  # a text may hold other line ends

    def _follow(self) -> None:
        if not self._head.exists():
            return
        head = decode_head(self._head.read_bytes())
        # a head being overwritten just now says nothing; it will the next time
        if head is None or head.seq <= len(self._starts) - 1:
            return
        with self._record.open("rb") as record:
            record.seek(self._starts[-1])
            data = record.read(head.size - self._starts[-1])
        position = self._starts[-1]
        for line in data.split(b"\n")[:-1]:
            position += len(line) + 1
            self._starts.append(position)

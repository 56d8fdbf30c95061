"""What can be wrong with a record. Each says one sentence; `code` is the suffix of a prompt id."""

# ruff: noqa: N818 - the names say what happened, which "Error" at their end would not add to

from pathlib import Path
from typing import ClassVar


class RecordError(Exception):
    """Base of everything the record refuses. `path` is set once the file is known."""

    code: ClassVar[str] = "record"

    def __init__(self, sentence: str, path: Path | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.path = path

    def __str__(self) -> str:
        return self.sentence if self.path is None else f"{self.path}: {self.sentence}"


class LineError(RecordError):
    """One line cannot be used; the lines before `line_number` (counted from 1) can."""

    def __init__(self, line_number: int, what: str) -> None:
        super().__init__(f"line {line_number} {what}")
        self.line_number = line_number
        self.what = what


class TornTail(LineError):
    """The last line was never finished."""

    code = "record-torn"

    def __init__(self, line_number: int) -> None:
        super().__init__(line_number, "was never finished; a whole line ends with a newline")


class Changed(LineError):
    """The line is not as it was written."""

    code = "record-changed"


class CheckFails(Changed):
    """The line's bytes do not agree with its own check."""


class UnknownSchema(LineError):
    """The line was written by a newer program, or an older one without a known way up."""

    code = "record-schema"

    def __init__(self, line_number: int, found: int, newest: int) -> None:
        allowed = f"this program reads schemas up to {newest} that it knows how to bring up to date"
        super().__init__(line_number, f"has schema {found}; {allowed}")
        self.found = found


class Unreadable(LineError):
    """The line is as it was written, but holds no event this program knows."""

    code = "record-unreadable"


class NotWritable(RecordError):
    """The event would not come back from disk as it is; nothing was written."""

    code = "record-not-writable"


class WrongBench(RecordError):
    """The record belongs to another bench."""

    code = "record-wrong-bench"


class RecordBusy(RecordError):
    """Another program is writing this record."""

    code = "record-busy"


class RecordFailed(RecordError):
    """The disk refused. The event is not in the record; every earlier one is."""

    code = "record-failed"


class RecordFull(RecordFailed):
    """No room on the disk. The event is not in the record; every earlier one is."""

    code = "record-full"

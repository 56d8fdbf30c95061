"""What opening a record found, and how record and head are brought to agree again."""

from dataclasses import dataclass
from pathlib import Path

from assistant.journal.codec import E
from assistant.journal.disk import DiskFile, keep_beside, sync_folder
from assistant.journal.head import Head
from assistant.journal.reading import HeadState, Reading


@dataclass(frozen=True, slots=True)
class Recovery:
    """What opening found and did. `clean` when there is nothing to tell."""

    torn_bytes: int = 0
    torn_kept_as: Path | None = None
    newline_mended: bool = False
    missing_lines: int = 0
    """Lines that had been on disk and are gone. The supervisor must know: entries are lost."""
    head_kept_as: Path | None = None
    """The head that proves it, or that was itself changed."""
    head_state: HeadState = HeadState.WHOLE

    @property
    def clean(self) -> bool:
        return self == Recovery()

    @property
    def sentences(self) -> tuple[str, ...]:
        """One plain sentence for each thing found, for the supervisor's log."""
        told = []
        if self.torn_bytes:
            told.append(
                f"An unfinished last line of {self.torn_bytes} bytes was cut off; "
                f"it is kept as {self.torn_kept_as}."
            )
        if self.newline_mended:
            told.append("The last line was whole but for its newline, which was added.")
        if self.missing_lines:
            told.append(
                f"{self.missing_lines} lines that had been on disk are gone from the end of the record;"
                f" the head file that shows it is kept as {self.head_kept_as}."
            )
        if self.head_state is HeadState.ABSENT:
            told.append("The head file was missing or empty, so lines lost at the end could not be noticed.")
        if self.head_state is HeadState.CHANGED:
            told.append(
                "The head file was damaged, so lines lost at the end could not be noticed;"
                f" it is kept as {self.head_kept_as}."
            )
        return tuple(told)


def head_path(path: Path) -> Path:
    """Where the head of the record at `path` lies."""
    return path.with_name(path.name + ".head")


def recover(path: Path, record: DiskFile, head_file: DiskFile, reading: Reading[E]) -> Recovery:
    """Keep beside what will be cut or overwritten, then make record and head agree, on disk.

    Raises the system's `OSError`; what had to be kept is then still in its place.
    """
    new = reading.head_state is HeadState.ABSENT and not reading.lines and not reading.torn
    torn_kept = keep_beside(path, "torn", reading.torn) if reading.torn else None
    head_kept = None
    if reading.missing_lines or reading.head_state is HeadState.CHANGED:
        head_kept = keep_beside(path, "head-before", head_path(path).read_bytes())
    if reading.newline_missing:
        record.write_at(reading.head.size - 1, b"\n")
    record.cut(reading.head.size)
    record.sync()
    write_head(head_file, reading.head)
    sync_folder(path.parent)
    return Recovery(
        len(reading.torn),
        torn_kept,
        reading.newline_missing,
        reading.missing_lines,
        head_kept,
        HeadState.WHOLE if new else reading.head_state,
    )


def write_head(head_file: DiskFile, head: Head) -> None:
    """Put `head` on disk in place of whatever the head file held."""
    data = head.encode()
    head_file.write_at(0, data)
    head_file.cut(len(data))
    head_file.sync()

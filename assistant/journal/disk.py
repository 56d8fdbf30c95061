"""The few calls to the disk that the record rests on. Every refusal is a `RecordFailed` or `RecordFull`."""

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from assistant.journal.errors import RecordBusy, RecordFailed, RecordFull

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_BINARY: Final = getattr(os, "O_BINARY", 0)
_BUSY: Final = {errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK}
_NO_ROOM: Final = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


@contextmanager
def refusals(path: Path, doing: str) -> Iterator[None]:
    """Turn an `OSError` into one sentence that names the file and what was being done."""
    try:
        yield
    except OSError as error:
        if error.errno in _NO_ROOM:
            raise RecordFull(f"no room on the disk while {doing}; make room and try again", path) from error
        raise RecordFailed(f"the disk refused while {doing}: {error.strerror or error}", path) from error


class DiskFile:
    """An open file written at given places. Errors are the system's own `OSError`."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | _BINARY, 0o644)

    def write_at(self, position: int, data: bytes) -> None:
        """Write all of `data` from byte `position` on; part of it may be there if this raises."""
        os.lseek(self._descriptor, position, os.SEEK_SET)
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(self._descriptor, rest) :]

    def sync(self) -> None:
        """Return only when all that was written is on the disk itself, not in a cache of it."""
        if sys.platform == "darwin":
            # fsync on this system stops at the drive's own cache.
            fcntl.fcntl(self._descriptor, fcntl.F_FULLFSYNC)
        else:
            os.fsync(self._descriptor)

    def cut(self, size: int) -> None:
        """Cut the file to `size` bytes."""
        os.ftruncate(self._descriptor, size)

    def size(self) -> int:
        return os.fstat(self._descriptor).st_size

    def close(self) -> None:
        os.close(self._descriptor)


def sync_folder(folder: Path) -> None:
    """Put a folder's list of names on disk, so that a new file is still there after a power cut."""
    if sys.platform == "win32":
        return  # a folder cannot be opened there; NTFS journals its names
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def keep_beside(path: Path, kind: str, data: bytes) -> Path:
    """Write `data` to the first free `<path>.<kind>-<n>` and sync it; return where it went."""
    number = 1
    while True:
        beside = path.with_name(f"{path.name}.{kind}-{number}")
        try:
            os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            break
        except FileExistsError:
            number += 1
    file = DiskFile(beside)
    try:
        try:
            file.write_at(0, data)
            file.sync()
        finally:
            file.close()
    except OSError:
        beside.unlink()
        raise
    sync_folder(path.parent)
    return beside


class Lock:
    """Held on `<path>.lock` while a record is written; the system lets go of it when the process dies."""

    def __init__(self, path: Path) -> None:
        """Raises `RecordBusy` if it is held, by this process or another; else the system's `OSError`."""
        self._path = path.with_name(path.name + ".lock")
        self._descriptor = os.open(self._path, os.O_RDWR | os.O_CREAT | _BINARY, 0o644)
        try:
            self._take(path)
            os.lseek(self._descriptor, 0, os.SEEK_SET)
            os.write(self._descriptor, f" {os.getpid():<20d}".encode())
        except BaseException:
            os.close(self._descriptor)
            raise

    def _take(self, path: Path) -> None:
        os.lseek(self._descriptor, 0, os.SEEK_SET)
        try:
            if sys.platform == "win32":
                msvcrt.locking(self._descriptor, msvcrt.LK_NBLCK, 1)
            else:
                fcntl.flock(self._descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            if error.errno not in _BUSY:
                raise
            sentence = f"another bench (process {self._holder()}) is writing this record; close it first"
            raise RecordBusy(sentence, path) from error

    def _holder(self) -> str:
        # The first byte is the one locked, and may not be readable; the number stands after it.
        os.lseek(self._descriptor, 1, os.SEEK_SET)
        return os.read(self._descriptor, 20).decode("ascii", "replace").strip() or "unknown"

    def release(self) -> None:
        """Let go. The lock file stays: taking it away could let two others in at once."""
        if sys.platform == "win32":
            os.lseek(self._descriptor, 0, os.SEEK_SET)
            msvcrt.locking(self._descriptor, msvcrt.LK_UNLCK, 1)
        os.close(self._descriptor)

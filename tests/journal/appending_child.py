"""Run by test_kill.py: appends numbered answers for ever and says each number once it is acknowledged.

    appending_child.py RECORD STAGE COUNT

STAGE "none" goes on until it is killed; any other stage kills the process itself, for real, at that point
of line COUNT counted from its start (0: while it opens the record).
"""

import os
import signal
import sys
from pathlib import Path

import msgspec

from assistant.journal import disk
from assistant.journal.codec import Codec
from assistant.journal.disk import DiskFile
from assistant.journal.file import Journal


class Counted(msgspec.Struct, frozen=True, tag_field="kind", tag="counted"):
    """As in test_kill.py; the bench's own events would take longer to load than all else here."""

    at: float
    text: str


CODEC: Codec[Counted] = Codec(Counted)


class Deadly(DiskFile):
    armed = ""

    def write_at(self, position: int, data: bytes) -> None:
        here = f"{self.path.suffix[1:]} "
        self.die_at(here + "before write")
        if Deadly.armed == here + "half written":
            super().write_at(position, data[: len(data) // 2])
            self.die_at(here + "half written")
        super().write_at(position, data)
        self.die_at(here + "written")

    def sync(self) -> None:
        super().sync()
        self.die_at(f"{self.path.suffix[1:]} synced")

    def die_at(self, place: str) -> None:
        if Deadly.armed == place:
            os.kill(os.getpid(), signal.SIGKILL)


def main(path: Path, stage: str, count: int) -> None:
    disk.DiskFile = Deadly  # type: ignore[misc]  # for the files kept beside the record too
    if count == 0:
        Deadly.armed = stage
    journal = Journal.open(path, CODEC, "heron", Deadly).journal
    while True:
        number = journal.seq + 1
        count -= 1
        if count == 0:
            Deadly.armed = stage
        journal.append(Counted(at=float(number), text="counted " * 20 + str(number)))
        os.write(1, f"{number}\n".encode())


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))

"""A real bench in plain mode in a process of its own, worked over its pipes by a virtual helper.

The helper sees what a screen would show: the record is on disk before anything is printed, so the fold over
it, up to the prompt just read, is what the bench shows.
"""

import queue
import signal
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from assistant.bench.session import RECORD
from assistant.bench.tail import Tail
from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.events import EVENTS
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.workflow.advance import advance
from assistant.workflow.events import Event
from assistant.workflow.state import Bench

PATIENCE_S = 60.0
OFF_CLOCK = Path(__file__).with_name("off_clock.py")
ALONE = "[~~]"


@dataclass
class Mirror:
    """The fold over a record, as far as it is on disk."""

    record: Path
    bench: Bench
    events: list[Event] = field(default_factory=list)
    _hash: str = FIRST_PREVIOUS

    def __post_init__(self) -> None:
        self._tail = Tail(self.record)

    def follow(self) -> Bench:
        have = self._tail.have()
        for text in self._tail.lines(len(self.events) + 1, have, 1 << 40):
            raw = text.encode() + b"\n"
            line = EVENTS.decode(raw, len(self.events) + 1, self._hash)
            self._hash = hash_of(raw)
            self.events.append(line.event)
            self.bench, _ = advance(self.bench, line.event)
        return self.bench


@dataclass
class PipedBench:
    """`options` as on the command line; `clock_off_s`: how far its clock is ahead."""

    home: Path
    name: str
    kit: Kit
    options: tuple[str, ...] = ()
    clock_off_s: float = 0.0
    alone: bool = False
    """The sign of a board that is away stood above the last prompt."""
    said: list[str] = field(default_factory=list)
    """Every line it printed."""

    def __post_init__(self) -> None:
        self.mirror = Mirror(self.folder / RECORD, Bench(self.kit, Stock.packed(self.kit.bank)))

    @property
    def folder(self) -> Path:
        return self.home / f"{self.name}-demo"

    def start(self, *more: str) -> None:
        """`more`: options for this start only."""
        begin = [str(OFF_CLOCK), str(self.clock_off_s)] if self.clock_off_s else ["-m", "assistant"]
        command = [sys.executable, *begin, "bench", "--demo", "--plain", "--name", self.name]
        self.process = subprocess.Popen(
            [*command, "--home", str(self.home), *self.options, *more],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self._lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        threading.Thread(target=self._read, args=(self.process, self._lines), daemon=True).start()

    def _read(self, process: "subprocess.Popen[str]", lines: "queue.SimpleQueue[str | None]") -> None:
        assert process.stdout is not None
        for line in process.stdout:
            lines.put(line.rstrip("\n"))
        lines.put(None)

    def prompt(self, within_s: float = PATIENCE_S) -> str | None:
        """Read up to the next prompt; None if none comes in time. The mirror then shows what it asks for."""
        until, alone = time.monotonic() + within_s, False
        while (left := until - time.monotonic()) > 0:
            try:
                line = self._lines.get(timeout=left)
            except queue.Empty:
                return None
            if line is None:
                raise AssertionError(f"bench {self.name} ended: " + "\n".join(self.said[-12:]))
            self.said.append(line)
            alone = alone or line.startswith(ALONE)
            if line.endswith(" >"):
                self.alone = alone
                self.mirror.follow()
                return line
        return None

    def key(self, text: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(text + "\n")
        self.process.stdin.flush()

    def __enter__(self) -> "PipedBench":
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.kill()

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self._ended()

    def leave(self) -> int:
        """End the input, as the end of the day does; its exit status."""
        assert self.process.stdin is not None
        self.process.stdin.close()
        status = self.process.wait(PATIENCE_S)
        self._ended()
        return status

    def _ended(self) -> None:
        self.process.wait()
        while self._lines.get(timeout=PATIENCE_S) is not None:
            pass
        for stream in (self.process.stdin, self.process.stdout):
            assert stream is not None
            if not stream.closed:
                stream.close()

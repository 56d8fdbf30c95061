"""A command of the program in a real terminal: tmux, its screen read and its keys pressed."""

import os
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

import pytest

PATIENCE_S: Final = 120.0
LEFT: Final = "THE PROGRAM HAS ENDED"

needs_tmux = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")


@dataclass(frozen=True)
class Terminal:
    """`server`: a tmux server of its own, so that a test sees this environment and nobody else's session."""

    server: str

    def shown(self, text: str) -> str:
        """The screen with what scrolled off above it, once it shows `text`."""
        end = time.monotonic() + PATIENCE_S
        while text not in (screen := self._tmux("capture-pane", "-p", "-J", "-S", "-100")):
            assert time.monotonic() < end, f"{text!r} never came:\n{screen}"
            time.sleep(0.1)
        return screen

    def press(self, *keys: str) -> None:
        """Keys by tmux's names."""
        self._tmux("send-keys", *keys)

    def close(self) -> None:
        self._tmux("kill-server")

    def _tmux(self, *words: str) -> str:
        command = ["tmux", "-u", "-L", self.server, *words]
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=PATIENCE_S)
        assert done.returncode == 0, done.stderr
        return done.stdout


@contextmanager
def terminal(*words: str, columns: int, rows: int) -> Iterator[Terminal]:
    """`assistant WORDS` in a terminal of that size; the screen says `LEFT` once it has ended."""
    program = shlex.join([sys.executable, "-m", "assistant", *words])
    server = f"assistant-{os.getpid()}-{time.monotonic_ns()}"
    size = ["-x", str(columns), "-y", str(rows)]
    command = ["tmux", "-u", "-L", server, "new-session", "-d", *size, f"{program}; echo {LEFT}; sleep 600"]
    subprocess.run(command, check=True, env=os.environ | {"LANG": "C.UTF-8"}, timeout=PATIENCE_S)
    opened = Terminal(server)
    try:
        yield opened
    finally:
        opened.close()

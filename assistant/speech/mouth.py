"""What is to be said, one after another, in a thread of its own: rendered, played, cut off."""

import queue
import threading
from collections.abc import Callable
from typing import Protocol

from assistant.speech.errors import SpeechError, Trouble, unforeseen
from assistant.speech.sound import Sound


class Plays(Protocol):
    """The speaker, as the mouth uses it."""

    def play(self, sound: Sound, wanted: Callable[[], bool]) -> None: ...
    def cut(self) -> None: ...


Makes = Callable[[], Sound]
"""Gives the sound when its turn comes; may raise `SpeechError`."""


class Mouth:
    """Says things in order. Nothing here blocks the caller, and nothing raises."""

    def __init__(
        self, player: Plays, troubled: Callable[[Trouble, str], None], well: Callable[[], None]
    ) -> None:
        """`troubled` is told what could not be said, `well` of each thing that was played."""
        self._player, self._troubled, self._well = player, troubled, well
        self._queue: queue.SimpleQueue[tuple[int, Makes] | None] = queue.SimpleQueue()
        self._lock = threading.Lock()
        self._turn = 0
        self._waiting = 0
        self._idle = threading.Event()
        self._idle.set()
        self._thread = threading.Thread(target=self._run, name="mouth", daemon=True)
        self._thread.start()

    @property
    def speaking(self) -> bool:
        """Whether anything is being said or waits to be."""
        return not self._idle.is_set()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait until all is said; whether it is."""
        return self._idle.wait(seconds)

    def say(self, make: Makes) -> None:
        """Say this after what is already waiting."""
        with self._lock:
            self._waiting += 1
            self._idle.clear()
            self._queue.put((self._turn, make))

    def cut(self) -> None:
        """Stop at once and forget what waits."""
        with self._lock:
            self._turn += 1
        self._player.cut()

    def close(self) -> None:
        self.cut()
        self._queue.put(None)
        self._thread.join()

    def _run(self) -> None:
        while (item := self._queue.get()) is not None:
            turn, make = item
            if turn == self._turn:
                self._one(turn, make)
            with self._lock:
                self._waiting -= 1
                if not self._waiting:
                    self._idle.set()

    def _one(self, turn: int, make: Makes) -> None:
        try:
            sound = make()
            self._player.play(sound, lambda: turn == self._turn)
            self._well()
        except SpeechError as error:
            self._troubled(error.code, str(error))
        except Exception as error:  # noqa: BLE001 - else the thread ends, and the ear waits for ever
            failed = unforeseen(Trouble.SPEAKING_FAILED, "speaking", error)
            self._troubled(failed.code, str(failed))

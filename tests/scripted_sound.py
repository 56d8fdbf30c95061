"""A microphone and a speaker without devices: the one gives what a test puts in, the other keeps what is played."""

import time
from collections.abc import Callable

import numpy as np

from assistant.speech.capture import BLOCK, RATE_HZ
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Samples, Sound, resampled

REST_BLOCKS = 40
"""Silence around an answer: longer than the pause that ends it."""
SILENT_BLOCK_S = 0.004
"""A block of silence takes so long: far less than the 32 ms of a real one, and the rest of the test can run."""


class ScriptedSpeaker:
    """Plays in no time. With `gone` set it has been unplugged."""

    def __init__(self) -> None:
        self.played: list[Sound] = []
        self.gone = False

    def play(self, sound: Sound, wanted: Callable[[], bool]) -> None:
        if self.gone:
            raise SpeechError(Trouble.SPEAKER_GONE, "the speaker was unplugged")
        if wanted():
            self.played.append(sound)

    def cut(self) -> None:
        """Nothing plays for long enough to be cut."""


class ScriptedMicrophone:
    """Says its answers one after another, each once the bench is silent; then silence, or it is unplugged."""

    def __init__(self, *answers: Sound, unplugged_at_end: bool = False) -> None:
        self._answers = [resampled(answer, RATE_HZ).samples for answer in answers]
        self._unplugged, self.opened = unplugged_at_end, 0
        self._blocks: list[Samples] = []
        self._rest = REST_BLOCKS
        self.bench_speaks: Callable[[], bool] = lambda: False

    def unplug(self) -> None:
        """Gone from the next block on."""
        self._unplugged = True

    def plug_in(self) -> None:
        """It is there again; nobody says anything."""
        self._unplugged = False

    def open(self) -> None:
        self.opened += 1

    def block(self) -> Samples:
        if self.bench_speaks():
            self._rest = REST_BLOCKS
        elif self._blocks:
            return self._blocks.pop(0)
        elif not self._rest and self._answers:
            self._begin(self._answers.pop(0))
        elif not self._answers and self._unplugged:
            raise SpeechError(Trouble.MICROPHONE_GONE, "the microphone was unplugged")
        self._rest = max(0, self._rest - 1)
        time.sleep(SILENT_BLOCK_S)
        return np.zeros(BLOCK, np.int16)

    def close(self) -> None:
        """Nothing is held."""

    def forget(self) -> None:
        """Nothing waits."""

    def _begin(self, samples: Samples) -> None:
        whole = np.pad(samples, (0, -len(samples) % BLOCK))
        self._blocks = list(whole.reshape(-1, BLOCK))
        self._rest = REST_BLOCKS

"""A microphone that hears what it is given, as if it were said in the room; afterwards the room's own."""

import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from assistant.speech.capture import BLOCK, RATE_HZ, Microphone
from assistant.speech.ear import Takes
from assistant.speech.sound import Samples, Sound, resampled

BREATH_BLOCKS = 9
"""Blocks (of 32 ms) of quiet before something is said: the ear listens again after the speaker's echo."""
HISS = 12
"""Highest sample of the quiet room, about -73 dB: a microphone that gave nothing would be a dead one."""


@dataclass(frozen=True, slots=True)
class _Waiting:
    blocks: tuple[Samples, ...]
    begun: Callable[[], None]


class FedMicrophone:
    """Gives its blocks at the pace of a real one. `feed` and `hand_over` may be called from any thread."""

    def __init__(self, bench_speaks: Callable[[], bool], real: Callable[[], Takes] = Microphone) -> None:
        """What is fed waits until `bench_speaks` is false."""
        self._bench_speaks, self._real = bench_speaks, real
        self._waiting: deque[_Waiting] = deque()
        self._saying: deque[Samples] = deque()
        self._own: Takes | None = None
        self._handed_over = False
        self._rest = BREATH_BLOCKS
        self._due = 0.0
        self._noise = np.random.default_rng(1)

    def feed(self, sound: Sound, begun: Callable[[], None]) -> None:
        """Say this next. `begun` is called, from the listening thread, when it is begun."""
        samples = resampled(sound, RATE_HZ).samples
        whole = np.pad(samples, (0, -len(samples) % BLOCK)).reshape(-1, BLOCK)
        self._waiting.append(_Waiting(tuple(whole), begun))

    @property
    def busy(self) -> bool:
        """Whether anything fed is still to be said."""
        return bool(self._waiting or self._saying)

    def hush(self) -> None:
        """Forget what is still to be said."""
        self._waiting.clear()
        self._saying.clear()

    def hand_over(self) -> None:
        """From now on the room's own microphone."""
        self._handed_over = True
        self.hush()

    def open(self) -> None:
        self._due = time.monotonic()
        self._rest = BREATH_BLOCKS
        self._saying.clear()

    def block(self) -> Samples:
        """The next block, when it is due. Raises `SpeechError` where the room's own microphone fails."""
        if self._handed_over:
            return self._own_microphone().block()
        self._due += BLOCK / RATE_HZ
        time.sleep(max(0.0, self._due - time.monotonic()))
        if self._bench_speaks():
            self._rest = BREATH_BLOCKS
        elif self._saying:
            return self._saying.popleft()
        elif not self._rest and self._waiting:
            following = self._waiting.popleft()
            self._saying.extend(following.blocks)
            following.begun()
        self._rest = max(0, self._rest - 1)
        return self._noise.integers(-HISS, HISS, BLOCK).astype(np.int16)

    def forget(self) -> None:
        if self._own is not None:
            self._own.forget()

    def close(self) -> None:
        own, self._own = self._own, None
        if own is not None:
            own.close()

    def _own_microphone(self) -> Takes:
        if self._own is None:
            own = self._real()
            own.open()
            self._own = own
        return self._own

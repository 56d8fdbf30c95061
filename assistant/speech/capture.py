"""Sound in from the microphone, as blocks of samples, with a watch on whether they still come."""

import queue
import time
from typing import Any

from assistant.speech.devices import close_stream, open_stream
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Samples

RATE_HZ = 16000
BLOCK = 512
"""Samples a block: 32 ms, what the voice-activity detector takes."""
LATENCY_S = 0.05
"""Asked of the device: a sound server left to itself hands over two seconds at a time."""
FIRST_S = 4.0
"""Patience for the first block: a sound server may wake slowly (two seconds, PulseAudio's null sink)."""
SILENT_S = 1.0
"""No block for this long: the microphone has been unplugged. Nothing else tells."""


class Microphone:
    """The default microphone. Open it, take blocks, close it; one thread uses it."""

    rate = RATE_HZ

    def __init__(self) -> None:
        self._blocks: queue.SimpleQueue[Samples] = queue.SimpleQueue()
        self._stream: Any = None
        self._patience_s = FIRST_S

    def open(self) -> None:
        """Start taking sound. Raises `SpeechError` (no_portaudio, microphone_missing)."""
        self._blocks = queue.SimpleQueue()
        self._patience_s = FIRST_S
        self._stream = open_stream(self._started, Trouble.MICROPHONE_MISSING)

    def block(self) -> Samples:
        """The next block. Raises `SpeechError` (microphone_gone) when none comes any more."""
        try:
            block = self._blocks.get(timeout=self._patience_s)
        except queue.Empty:
            raise SpeechError(Trouble.MICROPHONE_GONE, "the microphone stopped giving sound") from None
        self._patience_s = SILENT_S
        return block

    def forget(self) -> None:
        """Throw away what has been taken and not yet read."""
        while True:
            try:
                self._blocks.get_nowait()
            except queue.Empty:
                return

    def close(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            close_stream(stream)

    def _started(self, library: Any) -> Any:
        stream = library.InputStream(
            samplerate=RATE_HZ,
            channels=1,
            dtype="int16",
            blocksize=BLOCK,
            latency=LATENCY_S,
            callback=self._take,
        )
        stream.start()
        return stream

    def _take(self, data: Any, _frames: int, _time: object, _status: object) -> None:
        self._blocks.put(data[:, 0].copy())


def record(seconds: float, microphone: Microphone) -> list[Samples]:
    """Blocks for about `seconds` from a microphone that is open. Raises `SpeechError` (microphone_gone)."""
    end = time.monotonic() + seconds
    blocks = []
    while time.monotonic() < end:
        blocks.append(microphone.block())
    return blocks

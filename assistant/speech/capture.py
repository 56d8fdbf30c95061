"""Sound in from the microphone, as blocks of samples, with a watch on whether they still come."""

import queue
import time
from typing import Any

from assistant.speech.devices import sound_library
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Samples

RATE_HZ = 16000
BLOCK = 512
"""Samples a block: 32 ms, what the voice-activity detector takes."""
SILENT_S = 1.0
"""No block for this long: the microphone has been unplugged. Nothing else tells."""


class Microphone:
    """The default microphone. Open it, take blocks, close it; one thread uses it."""

    rate = RATE_HZ

    def __init__(self) -> None:
        self._blocks: queue.SimpleQueue[Samples] = queue.SimpleQueue()
        self._stream: Any = None

    def open(self) -> None:
        """Start taking sound. Raises `SpeechError` (no_portaudio, microphone_missing)."""
        library = sound_library()
        self._blocks = queue.SimpleQueue()
        try:
            self._stream = library.InputStream(
                samplerate=RATE_HZ, channels=1, dtype="int16", blocksize=BLOCK, callback=self._take
            )
            self._stream.start()
        except (library.PortAudioError, ValueError) as error:
            self._stream = None
            raise SpeechError(Trouble.MICROPHONE_MISSING, f"no microphone can be opened ({error})") from error

    def block(self, patience_s: float = SILENT_S) -> Samples:
        """The next block. Raises `SpeechError` (microphone_gone) when none comes any more."""
        try:
            return self._blocks.get(timeout=patience_s)
        except queue.Empty:
            raise SpeechError(Trouble.MICROPHONE_GONE, "the microphone stopped giving sound") from None

    def forget(self) -> None:
        """Throw away what has been taken and not yet read."""
        while True:
            try:
                self._blocks.get_nowait()
            except queue.Empty:
                return

    def close(self) -> None:
        stream, self._stream = self._stream, None
        if stream is None:
            return
        library = sound_library()
        try:
            stream.abort()
            stream.close()
        except library.PortAudioError:
            return  # a stream whose device has gone cannot be closed better than this

    def _take(self, data: Any, _frames: int, _time: object, _status: object) -> None:
        self._blocks.put(data[:, 0].copy())


def record(seconds: float, microphone: Microphone) -> list[Samples]:
    """Blocks for about `seconds` from a microphone that is open. Raises `SpeechError` (microphone_gone)."""
    end = time.monotonic() + seconds
    blocks = []
    while time.monotonic() < end:
        blocks.append(microphone.block())
    return blocks

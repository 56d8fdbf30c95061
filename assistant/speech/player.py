"""Sound out of the speaker: one clip at a time, and it can be cut off at any moment."""

import threading
from collections.abc import Callable
from typing import Any

import numpy as np

from assistant.speech.devices import close_stream, open_stream, sound_library
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Sound

LATENCY_S = 0.05
GRACE_S = 2.0
"""A clip that is not over this long after its own length has lost its speaker."""


class Player:
    """Plays one clip at a time on the default speaker. `cut` may be called from any thread."""

    def __init__(self) -> None:
        self._over = threading.Event()
        self._was_cut = False

    def play(self, sound: Sound, wanted: Callable[[], bool]) -> None:
        """Play to the end, or until `cut`. Raises `SpeechError` when there is no speaker or it goes.

        `wanted` is asked once playing can be cut off: a `cut` that came before has made it false.
        """
        self._over.clear()
        self._was_cut = False
        if not wanted():
            return
        feed = _Feed(sound)
        stream = open_stream(lambda library: self._stream(library, feed), Trouble.SPEAKER_MISSING)
        library = sound_library()
        try:
            stream.start()
            self._over.wait(sound.seconds + GRACE_S)
        except library.PortAudioError as error:
            raise SpeechError(Trouble.SPEAKER_GONE, f"the speaker stopped ({error})") from error
        finally:
            close_stream(stream)
        if not (feed.finished or self._was_cut):
            raise SpeechError(Trouble.SPEAKER_GONE, "the speaker stopped taking sound")

    def cut(self) -> None:
        """End the clip that plays, at once: its own thread aborts the stream."""
        self._was_cut = True
        self._over.set()

    def _stream(self, library: Any, feed: "_Feed") -> Any:
        return library.OutputStream(
            samplerate=feed.sound.rate,
            channels=1,
            dtype="int16",
            latency=LATENCY_S,
            callback=feed.give(library.CallbackStop),
            finished_callback=self._over.set,
        )


class _Feed:
    """Hands a clip over block by block, and knows whether all of it was taken."""

    def __init__(self, sound: Sound) -> None:
        self.sound = sound
        self._place = 0

    @property
    def finished(self) -> bool:
        return self._place >= len(self.sound.samples)

    def give(self, stop: type[Exception]) -> Any:
        def callback(out: "np.ndarray[Any, Any]", frames: int, _time: object, _status: object) -> None:
            block = self.sound.samples[self._place : self._place + frames]
            out[: len(block), 0] = block
            out[len(block) :, 0] = 0
            self._place += frames
            if self.finished:
                raise stop

        return callback

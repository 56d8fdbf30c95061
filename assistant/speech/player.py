"""Sound out of the speaker: one clip at a time, and it can be cut off at any moment."""

import threading
from typing import Any

import numpy as np

from assistant.speech.devices import sound_library
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Sound

GRACE_S = 2.0
"""A clip that is not over this long after its own length has lost its speaker."""


class Player:
    """Plays one clip at a time on the default speaker. `cut` may be called from any thread."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._over = threading.Event()
        self._stream: Any = None
        self._was_cut = False

    def play(self, sound: Sound) -> bool:
        """Play to the end: True, or False when it was cut off. Raises `SpeechError` without a speaker."""
        library = sound_library()
        self._over.clear()
        self._was_cut = False
        try:
            stream = library.OutputStream(
                samplerate=sound.rate,
                channels=1,
                dtype="int16",
                callback=_feeder(sound, library.CallbackStop),
                finished_callback=self._over.set,
            )
        except (library.PortAudioError, ValueError) as error:
            raise SpeechError(Trouble.SPEAKER_MISSING, f"no speaker can be opened ({error})") from error
        with self._lock:
            self._stream = stream
        try:
            stream.start()
            finished = self._over.wait(sound.seconds + GRACE_S)
        except library.PortAudioError as error:
            raise SpeechError(Trouble.SPEAKER_GONE, f"the speaker stopped ({error})") from error
        finally:
            self._closed(stream)
        if not finished:
            raise SpeechError(Trouble.SPEAKER_GONE, "the speaker stopped taking sound")
        return not self._was_cut

    def cut(self) -> None:
        """End the clip that plays, at once."""
        with self._lock:
            if self._stream is None:
                return
            self._was_cut = True
            self._over.set()  # the playing thread aborts the stream: PortAudio wants one thread a stream

    def _closed(self, stream: Any) -> None:
        with self._lock:
            self._stream = None
        library = sound_library()
        try:
            if stream.active:
                stream.abort()
            stream.close()
        except library.PortAudioError:
            return  # a stream whose device has gone cannot be closed better than this


def _feeder(sound: Sound, stop: type[Exception]) -> Any:
    """The callback that hands the clip over block by block."""
    place = 0

    def feed(out: "np.ndarray[Any, Any]", frames: int, _time: object, _status: object) -> None:
        nonlocal place
        block = sound.samples[place : place + frames]
        out[: len(block), 0] = block
        out[len(block) :, 0] = 0
        place += frames
        if place >= len(sound.samples):
            raise stop

    return feed

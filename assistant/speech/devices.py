"""The sound library, brought in only when sound is wanted, kept quiet, and told to look again for devices."""

import ctypes
import ctypes.util
import threading
import time
from collections.abc import Callable
from types import ModuleType
from typing import Any

from assistant.speech.errors import SpeechError, Trouble

LOOK_AGAIN_S = 3.0
"""Looking for devices anew takes time and shakes the terminal: at most once in so long."""

_lock = threading.RLock()
_silenced: list[object] = []
"""Keeps the C callback alive for as long as the process lives."""
_open = 0
_looked_at = -LOOK_AGAIN_S


def sound_library() -> ModuleType:
    """sounddevice, or `SpeechError` (no_portaudio) with what to do about it."""
    with _lock:
        _silence_alsa()
        try:
            import sounddevice
        except (OSError, ImportError) as error:
            raise SpeechError(
                Trouble.NO_PORTAUDIO,
                f"the PortAudio library is not here ({error}); on Debian: apt-get install libportaudio2",
            ) from error
    module: ModuleType = sounddevice
    return module


def open_stream(make: Callable[[ModuleType], Any], code: Trouble) -> Any:
    """The stream that `make` makes. Where that fails, once more after looking for devices again.

    Raises `SpeechError`: no_portaudio, or `code` when the device cannot be opened.
    """
    global _open
    library = sound_library()
    with _lock:
        try:
            try:
                stream = make(library)
            except (library.PortAudioError, ValueError):
                if not look_again():
                    raise
                stream = make(library)
        except (library.PortAudioError, ValueError) as error:
            raise SpeechError(code, f"the sound device cannot be opened ({error})") from error
        _open += 1
        return stream


def close_stream(stream: Any) -> None:
    """Stop and close. A stream whose device has gone cannot be closed better than this."""
    global _open
    library = sound_library()
    with _lock:
        _open -= 1
        try:
            stream.abort()
        except library.PortAudioError:
            stream.close(ignore_errors=True)
        else:
            stream.close(ignore_errors=True)


def look_again() -> bool:
    """Renew the list of devices, which is otherwise frozen at the start; False where that cannot be now."""
    global _looked_at
    library = sound_library()
    with _lock:
        if _open or time.monotonic() - _looked_at < LOOK_AGAIN_S:
            return False
        library._terminate()
        library._initialize()
        _looked_at = time.monotonic()
        return True


def _silence_alsa() -> None:
    """ALSA prints its complaints over a full-screen terminal; the errors reach us as codes anyway."""
    if _silenced:
        return
    name = ctypes.util.find_library("asound")
    if name is None:
        _silenced.append(None)
        return
    text, number = ctypes.c_char_p, ctypes.c_int
    quiet = ctypes.CFUNCTYPE(None, text, number, text, number, text)(lambda *_: None)
    ctypes.CDLL(name).snd_lib_error_set_handler(quiet)
    _silenced.append(quiet)

"""The sound library, brought in only when sound is wanted, kept quiet, given up when it hangs, and told to look again
for devices."""

import atexit
import ctypes
import ctypes.util
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from types import ModuleType
from typing import Any

from assistant.speech.errors import SpeechError, Trouble

LOOK_AGAIN_S = 3.0
"""Looking for devices anew takes time and shakes the terminal: at most once in so long."""

HUNG_S = 5.0
"""Longest that opening or closing may take: where a sound server dies in the middle, PortAudio may never return."""

_lock = threading.RLock()
_silenced: list[object] = []
"""Keeps the C callback alive for as long as the process lives."""
_open = 0
_looked_at = -LOOK_AGAIN_S
_hung = False
"""A call never came back: the library cannot be started anew, nor ended, without waiting for it for ever."""


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

    Raises `SpeechError`: no_portaudio, or `code` when the device cannot be opened or does not answer.
    """
    global _open
    library = sound_library()
    with _lock:
        try:
            try:
                stream = _answered(lambda: make(library))
            except (library.PortAudioError, ValueError):
                if not look_again():
                    raise
                stream = _answered(lambda: make(library))
        except (library.PortAudioError, ValueError) as error:
            raise SpeechError(code, f"the sound device cannot be opened ({error})") from error
        except TimeoutError as error:
            raise SpeechError(code, f"the sound device does not answer ({error})") from error
        _open += 1
        return stream


def close_stream(stream: Any) -> None:
    """Stop and close. A stream whose device has gone cannot be closed better than this."""
    global _open
    library = sound_library()

    def close() -> None:
        with suppress(library.PortAudioError):
            stream.abort()
        stream.close(ignore_errors=True)

    with _lock:
        _open -= 1
        try:
            _answered(close)
        except TimeoutError:
            return  # what is said or heard next finds a device, or tells that there is none


def look_again() -> bool:
    """Renew the list of devices, which is otherwise frozen at the start; False where that cannot be now."""
    global _looked_at
    library = sound_library()
    with _lock:
        if _open or _hung or time.monotonic() - _looked_at < LOOK_AGAIN_S:
            return False
        library._terminate()
        library._initialize()
        _looked_at = time.monotonic()
        return True


def _answered(call: Callable[[], Any]) -> Any:
    """What `call` into the library gives or raises; TimeoutError where it hangs. Then it is left to itself."""
    global _hung
    answer: Future[Any] = Future()

    def run() -> None:
        try:
            answer.set_result(call())
        except BaseException as error:  # noqa: BLE001 - raised again where it was called
            answer.set_exception(error)

    threading.Thread(target=run, name="sound device", daemon=True).start()
    try:
        return answer.result(HUNG_S)
    except TimeoutError:
        if not answer.done():
            _hung = True
            atexit.unregister(sound_library()._exit_handler)
            raise TimeoutError(
                f"no answer in {HUNG_S:g} s; plugged in again, start this program anew"
            ) from None
        raise


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

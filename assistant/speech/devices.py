"""The sound library, brought in only when sound is wanted, kept quiet, and told to look again for devices."""

import ctypes
import ctypes.util
import threading
from types import ModuleType

from assistant.speech.errors import SpeechError, Trouble

_lock = threading.Lock()
_silenced: list[object] = []
"""Keeps the C callback alive for as long as the process lives."""


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


def look_again() -> None:
    """Renew the list of devices, which is otherwise frozen at the start. No stream may be open."""
    library = sound_library()
    with _lock:
        library._terminate()
        library._initialize()


def _silence_alsa() -> None:
    """ALSA prints its complaints over a full-screen terminal; the errors reach us as codes anyway."""
    if _silenced:
        return
    name = ctypes.util.find_library("asound")
    if name is None:
        _silenced.append(None)
        return
    kind = ctypes.CFUNCTYPE(
        None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
    )
    quiet = kind(lambda *_: None)
    ctypes.CDLL(name).snd_lib_error_set_handler(quiet)
    _silenced.append(quiet)

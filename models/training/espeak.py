"""Speech and phonemes from the espeak-ng library that the package espeakng-loader carries, in process.

The library keeps its state in globals, so one process speaks with one voice at a time.
"""

from __future__ import annotations

import ctypes
import os
from dataclasses import dataclass
from pathlib import Path

import espeakng_loader
import numpy as np
from numpy.typing import NDArray

RETRIEVAL = 1  # AUDIO_OUTPUT_RETRIEVAL: samples come through the callback
UTF8 = 1
IPA = 0x02
END_PAUSE_OFF = 0
RATE, VOLUME, PITCH, RANGE = 1, 2, 3, 4
CALLBACK = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)


@dataclass(frozen=True)
class Manner:
    """How a phrase is spoken: words per minute; pitch and its range from 0 to 100 (the library's units)."""

    words_per_minute: int = 150
    pitch: int = 50
    pitch_range: int = 50


class Espeak:
    """The synthesiser of this process."""

    def __init__(self) -> None:
        os.environ.setdefault("ESPEAK_DATA_PATH", espeakng_loader.get_data_path())
        self._library = ctypes.CDLL(espeakng_loader.get_library_path(), mode=ctypes.RTLD_GLOBAL)
        data = espeakng_loader.get_data_path().encode()
        self.sample_rate = int(self._library.espeak_Initialize(RETRIEVAL, 0, data, 0))
        if self.sample_rate <= 0:
            raise OSError(f"espeak-ng did not start with the data in {data.decode()}")
        self._samples: list[NDArray[np.int16]] = []
        self._callback = CALLBACK(self._receive)
        self._library.espeak_SetSynthCallback(self._callback)
        self._library.espeak_TextToPhonemes.restype = ctypes.c_char_p

    def _receive(self, samples: object, count: int, _events: object) -> int:
        if samples and count > 0:
            self._samples.append(np.ctypeslib.as_array(samples, shape=(count,)).copy())
        return 0

    def choose(self, voice: str) -> None:
        """Take `voice`, as 'en-us' or 'en-us+f3'. Raises ValueError when the library has no such voice."""
        if self._library.espeak_SetVoiceByName(voice.encode()) != 0:
            raise ValueError(f"espeak-ng has no voice {voice!r}")

    def speak(self, text: str, manner: Manner) -> NDArray[np.int16]:
        """The samples of `text` at `sample_rate`, in the voice chosen last."""
        for parameter, value in (
            (RATE, manner.words_per_minute),
            (PITCH, manner.pitch),
            (RANGE, manner.pitch_range),
        ):
            self._library.espeak_SetParameter(parameter, value, 0)
        self._samples = []
        encoded = text.encode()
        self._library.espeak_Synth(encoded, len(encoded) + 1, 0, 0, 0, UTF8, None, None)
        self._library.espeak_Synchronize()
        return np.concatenate(self._samples) if self._samples else np.zeros(0, np.int16)

    def phonemes(self, text: str) -> str:
        """`text` in the International Phonetic Alphabet, in the voice chosen last."""
        pointer = ctypes.c_char_p(text.encode())
        parts: list[str] = []
        while pointer.value:
            part = self._library.espeak_TextToPhonemes(ctypes.byref(pointer), UTF8, IPA)
            parts.append(part.decode() if part else "")
        return " ".join(part for part in parts if part)


def variants() -> tuple[str, ...]:
    """Names of the voice variants that the library carries, as used after '+' in a voice's name."""
    folder = Path(espeakng_loader.get_data_path()) / "voices" / "!v"
    return tuple(sorted(path.name for path in folder.iterdir()))

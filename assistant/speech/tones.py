"""Short tones that can be told apart without words."""

from collections.abc import Mapping
from enum import StrEnum

import numpy as np

from assistant.speech.sound import FULL_SCALE, Sound
from assistant.workflow.effects import Tone

RATE_HZ = 22050
EDGE_S = 0.008
"""Rise and fall of each note, so that it does not click."""
LOUDNESS = 0.35


class Chime(StrEnum):
    LISTENING = "listening"
    HEARD = "heard"
    REFUSED = "refused"
    DONE = "done"
    WAIT = "wait"
    KEYPAD = "keypad"


_NOTES: Mapping[Chime, tuple[tuple[float, float], ...]] = {
    Chime.LISTENING: ((660, 0.06), (880, 0.08)),
    Chime.HEARD: ((1175, 0.07),),
    Chime.REFUSED: ((220, 0.12), (185, 0.18)),
    Chime.DONE: ((659, 0.08), (784, 0.08), (1047, 0.14)),
    Chime.WAIT: ((440, 0.10), (0, 0.08), (440, 0.10)),
    Chime.KEYPAD: ((988, 0.05), (0, 0.04), (988, 0.05), (0, 0.04), (988, 0.05)),
}
"""Notes as (frequency in Hz, seconds); 0 Hz is silence."""

OF_SIGNAL: Mapping[Tone, Chime] = {
    Tone.RIGHT: Chime.DONE,
    Tone.WRONG: Chime.REFUSED,
    Tone.WAIT: Chime.WAIT,
}


def chime(kind: Chime) -> Sound:
    """The tone as sound."""
    notes = [_note(frequency, seconds) for frequency, seconds in _NOTES[kind]]
    return Sound((np.concatenate(notes) * FULL_SCALE * LOUDNESS).astype(np.int16), RATE_HZ)


def _note(frequency_hz: float, seconds: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    at = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    edge = np.minimum(1.0, np.minimum(at, seconds - at) / EDGE_S)
    return np.asarray(np.sin(2 * np.pi * frequency_hz * at) * edge)

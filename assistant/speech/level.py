"""How loud the room is and how loud the helper: one face for the screen, from a few seconds of sound."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from assistant.speech.sound import FULL_SCALE, Sound

FRAME_S = 0.03
CLIPPED = 0.001
"""A microphone is overdriven when more than this part of the samples stands at the stop."""
DEAD_DB = -90.0
"""Quieter than any room: the microphone is switched off or not connected."""
GOOD_DB, MIDDLING_DB = 20.0, 10.0
"""Speech over noise: above the first figure is good, above the second middling (common practice, no source).
"""
QUIET_ROOM_DB, LOUD_ROOM_DB = -50.0, -30.0
"""Noise alone, in decibels below full scale: under the first is good, over the second bad (no source)."""

EDGE_S = 0.10
"""Left before and after what is spoken: consonants are softer than the vowel beside them (no source)."""
SOFTEST_DB, OVER_QUIET_DB = 30.0, 6.0
"""What is so far below the loudest part, or no more above the quietest, is no speech (no source)."""


class Face(StrEnum):
    GOOD = "good"
    MIDDLING = "middling"
    BAD = "bad"


@dataclass(frozen=True, slots=True)
class Level:
    """Decibels relative to full scale."""

    noise_db: float
    """The quieter parts: a tenth of the frames are below it."""
    speech_db: float
    """The louder parts: a tenth of the frames are above it."""
    clipped: float
    """Part of the samples at the stop."""

    @property
    def over_noise_db(self) -> float:
        return self.speech_db - self.noise_db


def measure(sound: Sound) -> Level:
    """The level of a recording of at least a tenth of a second; ValueError for a shorter one."""
    power = _power_db(sound)
    if len(power) < 3:
        raise ValueError(f"{sound.seconds:.3f} s is too short to measure; at least {3 * FRAME_S} s is wanted")
    clipped = np.mean(np.abs(sound.samples.astype(np.int32)) >= FULL_SCALE - 1)
    return Level(float(np.quantile(power, 0.1)), float(np.quantile(power, 0.9)), float(clipped))


def trimmed(sound: Sound) -> Sound:
    """A recording without the quiet before and after what is said in it; one with too much noise is left as it is."""
    power = _power_db(sound)
    quiet = float(np.quantile(power, 0.1)) if len(power) else 0.0
    if not len(power) or power.max() - quiet < GOOD_DB:
        return sound
    said = np.flatnonzero(power >= max(power.max() - SOFTEST_DB, quiet + OVER_QUIET_DB))
    frame, edge = _frame(sound), round(EDGE_S * sound.rate)
    first, last = max(0, int(said[0]) * frame - edge), (int(said[-1]) + 1) * frame + edge
    return Sound(sound.samples[first:last], sound.rate)


def _frame(sound: Sound) -> int:
    return round(FRAME_S * sound.rate)


def _power_db(sound: Sound) -> NDArray[np.float64]:
    """Of each whole frame, relative to full scale."""
    frame = _frame(sound)
    count = len(sound.samples) // frame
    frames = sound.samples[: count * frame].reshape(count, frame).astype(np.float64) / FULL_SCALE
    return np.asarray(10 * np.log10(np.maximum((frames**2).mean(axis=1), 1e-10)))


def face_of_speech(level: Level) -> Face:
    """How a recording of someone speaking will do."""
    if level.clipped > CLIPPED or level.over_noise_db < MIDDLING_DB:
        return Face.BAD
    return Face.GOOD if level.over_noise_db >= GOOD_DB else Face.MIDDLING


def face_of_room(level: Level) -> Face:
    """How a room will do, measured while nobody speaks; a dead microphone is bad, and one driven to its stop."""
    loudest = level.speech_db
    if loudest > LOUD_ROOM_DB or loudest < DEAD_DB or level.clipped > CLIPPED:
        return Face.BAD
    return Face.GOOD if loudest < QUIET_ROOM_DB else Face.MIDDLING

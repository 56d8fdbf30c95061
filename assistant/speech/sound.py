"""A piece of sound in memory, and its files."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.speech.errors import SpeechError, Trouble

Samples = NDArray[np.int16]
FULL_SCALE = 32767


@dataclass(frozen=True, slots=True)
class Sound:
    """One channel of 16-bit samples, `rate` of them a second."""

    samples: Samples
    rate: int

    @property
    def seconds(self) -> float:
        return len(self.samples) / self.rate


def read_sound(path: Path) -> Sound:
    """A WAV or FLAC file at any rate; several channels are averaged. Raises `SpeechError` (not_a_sound)."""
    import soundfile

    try:
        samples, rate = soundfile.read(path, dtype="float32", always_2d=True)
    except (soundfile.LibsndfileError, OSError) as error:
        raise SpeechError(
            Trouble.NOT_A_SOUND, f"{path}: not a sound file that can be read ({error})"
        ) from error
    return Sound(_as_int16(samples.mean(axis=1)), int(rate))


def write_sound(path: Path, sound: Sound) -> None:
    """Write WAV or FLAC, by the file's ending. Raises `SpeechError` (disk_full) when it cannot be written."""
    import soundfile

    try:
        soundfile.write(path, sound.samples, sound.rate, subtype="PCM_16")
    except (soundfile.LibsndfileError, OSError, TypeError, ValueError) as error:
        raise SpeechError(Trouble.DISK_FULL, f"{path}: the sound could not be written ({error})") from error


def resampled(sound: Sound, rate: int) -> Sound:
    """The same sound at another rate (Hz), band-limited."""
    if sound.rate == rate or not len(sound.samples):
        return Sound(sound.samples, rate)
    import soxr

    return Sound(np.asarray(soxr.resample(sound.samples, sound.rate, rate), np.int16), rate)


def joined(sounds: Sequence[Sound], gap_s: float = 0.0) -> Sound:
    """Sounds one after another with silence between, at the rate of the first. At least one is needed."""
    rate = sounds[0].rate
    gap = np.zeros(round(gap_s * rate), np.int16)
    parts: list[Samples] = []
    for sound in sounds:
        parts += [resampled(sound, rate).samples, gap]
    return Sound(np.concatenate(parts[:-1]), rate)


def _as_int16(samples: NDArray[np.float32]) -> Samples:
    return np.clip(np.rint(samples * (FULL_SCALE + 1)), -FULL_SCALE - 1, FULL_SCALE).astype(np.int16)

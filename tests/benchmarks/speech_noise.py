"""Noise to test recognition in, from a fixed seed: talk of others, and the hum of a generator."""

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

from assistant.speech.sound import Samples

Noise = Callable[[int, np.random.Generator], NDArray[np.float64]]
RATE_HZ = 8000
AROUND_S = 0.25
TALKERS = 6


def babble_of(voices: Sequence[Samples]) -> Noise:
    """Six talkers at once, cut from `voices` said end to end."""
    run = np.concatenate(list(voices)).astype(np.float64)

    def babble(count: int, rng: np.random.Generator) -> NDArray[np.float64]:
        starts = rng.integers(0, len(run) - count, TALKERS)
        total = np.zeros(count)
        for start in starts:
            total += run[start : start + count]
        return total

    return babble


def talk_in(folder: Path) -> Noise:
    """Babble from the sound files of a folder, at RATE_HZ, each made as loud as the others."""
    voices: list[Samples] = []
    for path in sorted(folder.rglob("*.wav")):
        samples, rate = soundfile.read(path, dtype="float64")
        assert rate == RATE_HZ, f"{path} is at {rate} Hz"
        if len(samples) == 0:
            continue
        voices.append(np.rint(samples * 8000 / max(1e-4, float(np.abs(samples).max()))).astype(np.int16))
    if not voices:
        raise SystemExit(f"{folder} holds no .wav file")
    return babble_of(voices)


def hum(count: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """A generator: twenty harmonics of about 50 Hz, throbbing, over a little rush."""
    time = np.arange(count) / RATE_HZ
    base = rng.uniform(48, 52)
    tones = sum(
        rng.uniform(0.3, 1) / number * np.sin(2 * np.pi * base * number * time + rng.uniform(0, 6.28))
        for number in range(1, 21)
    )
    throb = 1 + 0.4 * np.sin(2 * np.pi * rng.uniform(8, 25) * time)
    return np.asarray(tones * throb + 0.1 * rng.normal(size=count))


def in_noise(clip: Samples, noise: Noise, ratio_db: float, rng: np.random.Generator) -> Samples:
    """`clip` with a quarter of a second around it, and noise so much weaker than the clip's own mean power."""
    around = np.zeros(round(AROUND_S * RATE_HZ))
    speech = np.concatenate([around, clip.astype(np.float64), around])
    other = noise(len(speech), rng)
    power = np.mean(clip.astype(np.float64) ** 2)
    other *= np.sqrt(power / np.mean(other**2) / 10 ** (ratio_db / 10))
    mixed = speech + other
    loudest = float(np.abs(mixed).max())
    return np.asarray(np.rint(mixed * min(1.0, 32000 / loudest)), dtype=np.int16)

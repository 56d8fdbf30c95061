"""Mel-frequency cepstra as vosk computes them from conf/mfcc.conf, for fitting a model to a helper.

The figures are those of Kaldi's MFCC extraction; models/training/features.py makes the same with another
library, and a test holds the two together.
"""

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from assistant.speech.kaldi_binary import Floats
from assistant.speech.sound import Sound, resampled

RATE_HZ = 8000
FRAME, SHIFT, FFT = 200, 80, 256
CEPSTRA = MEL_BINS = 40
LOW_HZ, HIGH_HZ = 40.0, 3800.0
PREEMPHASIS, LIFTER = 0.97, 22.0
FLOOR = float(np.finfo(np.float32).eps)
"""Kaldi's floor under the logarithm."""


def cepstra(sound: Sound) -> Floats:
    """One row of 40 for each 10 ms (frames, 40). Raises ValueError for less than one frame (25 ms)."""
    samples = resampled(sound, RATE_HZ).samples.astype(np.float64)
    if len(samples) < FRAME:
        raise ValueError(f"{sound.seconds:.3f} s is too short; at least 0.025 s is wanted")
    frames = np.lib.stride_tricks.sliding_window_view(samples, FRAME)[::SHIFT]
    frames = frames - frames.mean(1, keepdims=True)
    before = np.concatenate([frames[:, :1], frames[:, :-1]], 1)
    spectrum = np.fft.rfft((frames - PREEMPHASIS * before) * _window(), FFT)[:, : FFT // 2]
    mel = np.log(np.maximum(np.abs(spectrum) ** 2 @ _banks().T, FLOOR))
    return (mel @ _cosines().T).astype(np.float32)


@cache
def _window() -> NDArray[np.float64]:
    """Kaldi's own ("povey")."""
    return np.asarray(np.hanning(FRAME) ** 0.85)


@cache
def _banks() -> NDArray[np.float64]:
    """Triangles on the mel scale, one row a bin."""
    low, high = _mel(LOW_HZ), _mel(HIGH_HZ)
    step = (high - low) / (MEL_BINS + 1)
    lines = np.array([_mel(line * RATE_HZ / FFT) for line in range(FFT // 2)])
    left = low + step * np.arange(MEL_BINS)[:, None]
    return np.asarray(np.maximum(np.minimum((lines - left) / step, (left + 2 * step - lines) / step), 0.0))


@cache
def _cosines() -> NDArray[np.float64]:
    """The orthonormal cosine transform, liftered."""
    order = np.arange(CEPSTRA)[:, None]
    matrix = math.sqrt(2 / MEL_BINS) * np.cos(math.pi / MEL_BINS * (np.arange(MEL_BINS) + 0.5) * order)
    matrix[0] = math.sqrt(1 / MEL_BINS)
    return np.asarray(matrix * (1 + 0.5 * LIFTER * np.sin(math.pi * order / LIFTER)))


def _mel(hertz: float) -> float:
    return 1127.0 * math.log(1.0 + hertz / 700.0)

"""Mel-frequency cepstra exactly as Kaldi (and so vosk) computes them from conf/mfcc.conf, without dither.

Samples are on the scale of 16-bit integers. `MFCC_CONF` is the text written into every model; a test compares
this extractor with Kaldi's own (kaldi-native-fbank).
"""

from __future__ import annotations

import math

import torch
from torch import Tensor, nn

SAMPLE_RATE = 8000
FRAME_LENGTH = 200
FRAME_SHIFT = 80
FFT_SIZE = 256
MEL_BINS = 40
CEPSTRA = 40
LOW_HZ = 40.0
HIGH_HZ = 3800.0
PREEMPHASIS = 0.97
LIFTER = 22.0
FLOOR = 1.1920929e-07  # the smallest float32 step at 1, Kaldi's floor under the logarithm

MFCC_CONF = f"""--sample-frequency={SAMPLE_RATE}
--use-energy=false
--num-mel-bins={MEL_BINS}
--num-ceps={CEPSTRA}
--low-freq={LOW_HZ:g}
--high-freq={HIGH_HZ:g}
--dither=0
"""


def mel(hertz: float) -> float:
    """Kaldi's mel scale."""
    return 1127.0 * math.log(1.0 + hertz / 700.0)


def mel_banks() -> Tensor:
    """Triangular filters, one row a bin, over the first FFT_SIZE/2 spectral lines."""
    low, high = mel(LOW_HZ), mel(HIGH_HZ)
    step = (high - low) / (MEL_BINS + 1)
    lines = torch.tensor([mel(i * SAMPLE_RATE / FFT_SIZE) for i in range(FFT_SIZE // 2)], dtype=torch.float64)
    left = low + step * torch.arange(MEL_BINS, dtype=torch.float64)[:, None]
    rising = (lines - left) / step
    falling = (left + 2 * step - lines) / step
    return torch.clamp(torch.minimum(rising, falling), min=0.0)


def centres_hz() -> Tensor:
    """The frequency at the peak of each filter."""
    low, high = mel(LOW_HZ), mel(HIGH_HZ)
    mels = low + (high - low) / (MEL_BINS + 1) * torch.arange(1, MEL_BINS + 1)
    return 700.0 * (torch.exp(mels / 1127.0) - 1.0)


def bin_of_hertz(hertz: Tensor) -> Tensor:
    """Which filter has its peak there, counted from 0, with fractions; beyond the ends when outside."""
    low, high = mel(LOW_HZ), mel(HIGH_HZ)
    return (1127.0 * torch.log1p(hertz / 700.0) - low) / ((high - low) / (MEL_BINS + 1)) - 1.0


def cosine_transform() -> Tensor:
    """The orthonormal discrete cosine transform with Kaldi's liftering, CEPSTRA rows."""
    n = torch.arange(MEL_BINS, dtype=torch.float64)
    k = torch.arange(CEPSTRA, dtype=torch.float64)[:, None]
    matrix = math.sqrt(2.0 / MEL_BINS) * torch.cos(math.pi / MEL_BINS * (n + 0.5) * k)
    matrix[0] = math.sqrt(1.0 / MEL_BINS)
    lifter = 1.0 + 0.5 * LIFTER * torch.sin(math.pi * k / LIFTER)
    return matrix * lifter


class LogMel(nn.Module):
    """Samples (batch, time) to log mel energies (batch, frames, MEL_BINS)."""

    window: Tensor
    banks: Tensor

    def __init__(self) -> None:
        super().__init__()
        angle = 2 * math.pi * torch.arange(FRAME_LENGTH, dtype=torch.float64) / (FRAME_LENGTH - 1)
        self.register_buffer("window", ((0.5 - 0.5 * torch.cos(angle)) ** 0.85).float())
        self.register_buffer("banks", mel_banks().float())

    def forward(self, samples: Tensor) -> Tensor:
        frames = samples.unfold(-1, FRAME_LENGTH, FRAME_SHIFT)
        frames = frames - frames.mean(-1, keepdim=True)
        before = torch.cat([frames[..., :1], frames[..., :-1]], -1)
        frames = (frames - PREEMPHASIS * before) * self.window
        spectrum = torch.fft.rfft(frames, FFT_SIZE)[..., : FFT_SIZE // 2]
        power = spectrum.real**2 + spectrum.imag**2
        return torch.log(torch.clamp(power @ self.banks.T, min=FLOOR))


class Cepstra(nn.Module):
    """Log mel energies to liftered cepstra."""

    transform: Tensor

    def __init__(self) -> None:
        super().__init__()
        self.register_buffer("transform", cosine_transform().float())

    def forward(self, log_mel: Tensor) -> Tensor:
        return log_mel @ self.transform.T


def frame_count(samples: Tensor | int) -> Tensor | int:
    """Frames that Kaldi makes of so many samples (edges snipped)."""
    return (samples - FRAME_LENGTH) // FRAME_SHIFT + 1

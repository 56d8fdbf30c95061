"""Noise and rooms to train in, made by arithmetic from random numbers and from the speech of the corpus itself.

Everything is at 8000 samples a second. A bank is one long run of samples out of which any stretch may be cut.
"""

from __future__ import annotations

import math

import torch
from torch import Tensor

from models.training.features import SAMPLE_RATE

PIECE = 8 * SAMPLE_RATE
ROOM_SAMPLES = 3200


class Dice:
    """Random numbers on one device from one seed."""

    def __init__(self, seed: int, device: torch.device) -> None:
        self.device = device
        self.generator = torch.Generator(device).manual_seed(seed)

    def between(self, low: float, high: float, *shape: int) -> Tensor:
        return low + (high - low) * torch.rand(shape, generator=self.generator, device=self.device)

    def normal(self, *shape: int) -> Tensor:
        return torch.randn(shape, generator=self.generator, device=self.device)

    def whole(self, low: int, high: int, *shape: int) -> Tensor:
        """Integers from `low` to `high` - 1."""
        return torch.randint(low, high, shape, generator=self.generator, device=self.device)

    def chance(self, probability: float, *shape: int) -> Tensor:
        return torch.rand(shape, generator=self.generator, device=self.device) < probability


def level(samples: Tensor) -> Tensor:
    """Each row scaled to a root mean square of 1."""
    return samples / samples.pow(2).mean(-1, keepdim=True).sqrt().clamp(min=1e-5)


def coloured(dice: Dice, pieces: int) -> Tensor:
    """Noise whose power falls with frequency by 0 to 9 dB an octave, with two broad resonances."""
    spectrum = torch.fft.rfft(dice.normal(pieces, PIECE))
    hertz = torch.linspace(0, SAMPLE_RATE / 2, spectrum.shape[1], device=dice.device).clamp(min=30.0)
    shape = (hertz / 500) ** -dice.between(0.0, 1.5, pieces, 1)
    for _ in range(2):
        centre, width = dice.between(150, 3500, pieces, 1), dice.between(60, 600, pieces, 1)
        shape = shape + dice.between(0, 2, pieces, 1) * torch.exp(-(((hertz - centre) / width) ** 2))
    return level(torch.fft.irfft(spectrum * shape, PIECE)).ravel()


def harmonics(dice: Dice, pieces: int, lowest: tuple[float, float], fall: tuple[float, float]) -> Tensor:
    """Tones at the multiples of a slowly wandering frequency: mains hum, a generator, a small motor."""
    time = torch.arange(PIECE, device=dice.device) / SAMPLE_RATE
    base = dice.between(*lowest, pieces, 1)
    wander = dice.between(0, 0.03, pieces, 1) * torch.sin(
        2 * math.pi * dice.between(0.05, 3, pieces, 1) * time
    )
    phase = 2 * math.pi * torch.cumsum(base * (1 + wander), 1) / SAMPLE_RATE
    steep = dice.between(*fall, pieces, 1)
    total = torch.zeros(pieces, PIECE, device=dice.device)
    for number in range(1, 41):
        audible = (base * number < 0.48 * SAMPLE_RATE).float()
        strength = audible * dice.between(0.1, 1, pieces, 1) * number**-steep
        total += strength * torch.sin(number * phase + dice.between(0, 6.3, pieces, 1))
    throb = 1 + dice.between(0, 0.9, pieces, 1) * torch.sin(
        2 * math.pi * dice.between(2, 30, pieces, 1) * time
    )
    hiss = coloured(dice, pieces).view(pieces, PIECE)
    return level(level(total * throb) + dice.between(0.05, 0.7, pieces, 1) * hiss).ravel()


def rain(dice: Dice, pieces: int) -> Tensor:
    """Drops on tin: short ringing knocks at random moments over a rush of noise."""
    knocks = dice.chance(0.01, pieces, PIECE).float() * dice.between(0, 1, pieces, PIECE) ** 4
    time = torch.arange(400, device=dice.device) / SAMPLE_RATE
    ring = torch.exp(-time * dice.between(80, 500, pieces, 1)) * torch.sin(
        2 * math.pi * dice.between(400, 3000, pieces, 1) * time
    )
    size = PIECE + 400
    drops = torch.fft.irfft(torch.fft.rfft(knocks, size) * torch.fft.rfft(ring, size), size)[:, :PIECE]
    rush = coloured(dice, pieces).view(pieces, PIECE)
    return level(level(drops) + dice.between(0.1, 1.5, pieces, 1) * rush).ravel()


def babble(dice: Dice, speech: Tensor, pieces: int) -> Tensor:
    """Two to twelve talkers at once, cut from the run of samples `speech`."""
    total = torch.zeros(pieces, PIECE, device=dice.device)
    talkers = dice.whole(2, 13, pieces, 1)
    steps = torch.arange(PIECE, device=dice.device)
    for number in range(12):
        starts = dice.whole(0, len(speech) - PIECE, pieces, 1)
        talker = level(speech[starts + steps].float())
        total += talker * dice.between(0.3, 1, pieces, 1) * (number < talkers)
    return level(total).ravel()


def noise_bank(dice: Dice, speech: Tensor, pieces: int) -> Tensor:
    """All kinds, babble most; `pieces` times 8 seconds of each share."""
    return torch.cat(
        [
            coloured(dice, 2 * pieces),
            harmonics(dice, pieces, (22, 70), (0.2, 1.5)),
            harmonics(dice, pieces, (80, 700), (0.0, 1.5)),
            rain(dice, pieces),
            babble(dice, speech, 4 * pieces),
        ]
    )


def room_bank(dice: Dice, count: int) -> Tensor:
    """Spectra of `count` rooms: a direct sound, then a tail that falls by 60 dB in 0.08 to 0.6 seconds."""
    time = torch.arange(ROOM_SAMPLES, device=dice.device) / SAMPLE_RATE
    fall = torch.exp(-6.9 * time / dice.between(0.08, 0.6, count, 1))
    tail = dice.normal(count, ROOM_SAMPLES) * fall * (time > dice.between(0.001, 0.02, count, 1))
    rooms = level(tail) * math.sqrt(ROOM_SAMPLES) * dice.between(0.05, 0.9, count, 1)
    rooms[:, 0] = 1.0
    return rooms / rooms.pow(2).sum(1, keepdim=True).sqrt()

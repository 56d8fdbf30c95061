"""Batches of clips as a bench's microphone might have heard them, made on the training device.

A clip is played faster or slower (voice and all), set into silence, put into a room, coloured by a microphone,
covered with noise, clipped and turned down; then its spectrum is drawn out or pressed together, in time unevenly and
in frequency as a longer or shorter throat does, so that pitch, throat and pace each change by themselves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from models.training.features import (
    MEL_BINS,
    SAMPLE_RATE,
    Cepstra,
    LogMel,
    bin_of_hertz,
    centres_hz,
    frame_count,
)
from models.training.rooms import ROOM_SAMPLES, Dice, level, room_bank

EQ_BANDS = 6
FRAME_STEP = 50
WIDTH_STEP = 4000  # few different widths, all of small factors: plans for transforms and layers are made once


@dataclass(frozen=True)
class Clips:
    """Many recordings in one run of 16-bit samples, with where each starts and how long it is."""

    samples: Tensor
    starts: Tensor
    lengths: Tensor


class Augmenter:
    """Makes features of a batch of clips; every batch is different."""

    def __init__(self, clips: Clips, noise: Tensor, dice: Dice) -> None:
        self.clips = clips
        self.noise = noise
        self.dice = dice
        self.rooms = room_bank(dice, 800)
        self.log_mel = LogMel().to(dice.device)
        self.cepstra = Cepstra().to(dice.device)

    def batch(self, chosen: Tensor) -> tuple[Tensor, Tensor]:
        """Cepstra (batch, frames, CEPSTRA) of the clips numbered `chosen`, and how many frames each has."""
        samples, lengths = self.placed(chosen)
        samples = self.disturbed(samples, lengths)
        frames = frame_count(lengths)
        assert isinstance(frames, Tensor)
        log_mel, frames = self.warped(self.log_mel(samples), frames)
        return self.cepstra(self.masked(log_mel)), frames

    def placed(self, chosen: Tensor) -> tuple[Tensor, Tensor]:
        """The clips at changed speed, each at its place in silence: (samples, length of each)."""
        dice, count = self.dice, len(chosen)
        usual, wide = dice.between(0.87, 1.15, count), dice.between(0.76, 1.35, count)
        speed = torch.where(dice.chance(0.3, count), wide, usual)
        first, last = self.cut(chosen)
        length = ((last - first) / speed).long()
        tight = dice.chance(0.35, count)
        lead = torch.where(tight, dice.between(0, 0.02, count), dice.between(0, 0.5, count)) * SAMPLE_RATE
        tight = dice.chance(0.3, count)
        trail = torch.where(tight, dice.between(0, 0.02, count), dice.between(0, 0.7, count)) * SAMPLE_RATE
        total = (lead + length + trail).long().clamp(min=1200)
        width = -(-int(total.max()) // WIDTH_STEP) * WIDTH_STEP
        steps = torch.arange(width, device=dice.device)[None]
        place = first[:, None] + (steps - lead.long()[:, None]) * speed[:, None]
        inside = (place >= first[:, None]) & (place < (last - 1)[:, None])
        whole = place.floor().clamp(min=0)
        index = torch.where(inside, self.clips.starts[chosen][:, None] + whole.long(), 0)
        here, there = self.clips.samples[index].float(), self.clips.samples[index + 1].float()
        return torch.where(inside, torch.lerp(here, there, place - whole), 0.0), total

    def cut(self, chosen: Tensor) -> tuple[Tensor, Tensor]:
        """Where each clip begins and ends: for some a little late and a little early, as careless trimming does."""
        dice, lengths = self.dice, self.clips.lengths[chosen].float()
        most = lengths * 0.1
        late = torch.minimum(dice.between(0, 0.06 * SAMPLE_RATE, len(chosen)), most) * dice.chance(
            0.3, len(chosen)
        )
        early = torch.minimum(dice.between(0, 0.08 * SAMPLE_RATE, len(chosen)), most) * dice.chance(
            0.3, len(chosen)
        )
        return late.floor(), (lengths - early).floor()

    def gated(self, speech: Tensor) -> Tensor:
        """For some, silence wherever the sound is faint, as a noise gate makes it."""
        dice, count = self.dice, len(speech)
        envelope = functional.avg_pool1d(speech.abs()[:, None], 161, 1, 80)[:, 0]
        limit = (
            envelope.amax(1, keepdim=True) * dice.between(0.01, 0.1, count, 1) * dice.chance(0.2, count, 1)
        )
        return torch.where(envelope > limit, speech, 0.0)

    def disturbed(self, samples: Tensor, lengths: Tensor) -> Tensor:
        dice, (count, width) = self.dice, samples.shape
        speech = samples / samples.pow(2).sum(1, keepdim=True).div(lengths[:, None]).sqrt().clamp(min=1.0)
        speech = self.in_room(self.gated(speech))
        quiet = dice.chance(0.35, count, 1)
        ratio_db = torch.where(quiet, 120.0, dice.between(-2, 35, count, 1))
        starts = dice.whole(0, len(self.noise) - width, count, 1)
        noise = level(self.noise[starts + torch.arange(width, device=dice.device)])
        mixed = self.through_microphone(speech + noise * 10 ** (-ratio_db / 20))
        loud = dice.chance(0.08, count, 1)
        limit = torch.where(loud, dice.between(0.5, 2.5, count, 1), 1e9)
        mixed = torch.clamp(mixed, -limit, limit)
        hissing = dice.chance(0.75, count, 1) & ~(quiet & dice.chance(0.5, count, 1))
        hiss = dice.normal(count, width) * 10 ** dice.between(-2, 1.2, count, 1) * hissing
        gain = 10 ** (dice.between(-38, -14, count, 1) / 20) * 32768
        return torch.clamp(torch.round(mixed * gain + hiss), -32768, 32767)

    def in_room(self, speech: Tensor) -> Tensor:
        dice, (count, width) = self.dice, speech.shape
        size = width + ROOM_SAMPLES
        chosen = self.rooms[dice.whole(0, len(self.rooms), count)]
        echoing = torch.fft.irfft(torch.fft.rfft(speech, size) * torch.fft.rfft(chosen, size), size)[
            :, :width
        ]
        return torch.where(dice.chance(0.45, count, 1), echoing, speech)

    def through_microphone(self, samples: Tensor) -> Tensor:
        """A smooth random colouring of up to about 10 dB, and for some the narrow band of a telephone."""
        dice, (count, width) = self.dice, samples.shape
        spectrum = torch.fft.rfft(samples)
        position = torch.linspace(0, 1, spectrum.shape[1], device=dice.device)
        gain_db = torch.zeros(count, spectrum.shape[1], device=dice.device)
        for number in range(1, EQ_BANDS):
            gain_db += dice.normal(count, 1) * 5 / number**0.5 * torch.cos(3.1416 * number * position)
        gain_db *= dice.between(0, 1, count, 1)
        narrow = dice.chance(0.2, count, 1)
        low, high = dice.between(0.02, 0.1, count, 1), dice.between(0.75, 0.95, count, 1)
        outside = narrow & ((position < low) | (position > high))
        gain_db = torch.where(outside, -40.0, gain_db)
        shaped: Tensor = torch.fft.irfft(spectrum * 10 ** (gain_db / 20), width)
        return shaped

    def warped(self, log_mel: Tensor, frames: Tensor) -> tuple[Tensor, Tensor]:
        """Spectra (batch, frames, bins) at another pace, unevenly, and by another throat; and the frames of each."""
        dice, count = self.dice, len(log_mel)
        pace = torch.where(dice.chance(0.6, count), dice.between(0.72, 1.3, count), 1.0)
        new_frames = (frames * pace).long().clamp(min=12)
        width = -(-int(new_frames.max()) // FRAME_STEP) * FRAME_STEP
        place = ((torch.arange(width, device=dice.device)[None] + 0.5) / new_frames[:, None]).clamp(max=1.0)
        uneven = dice.chance(0.5, count, 1)
        moved = place
        for waves in (2, 3, 5, 8):
            most = dice.between(-0.18, 0.18, count, 1) / (math.pi * waves) * uneven
            moved = moved + most * torch.sin(math.pi * waves * place)
        source = moved * frames[:, None] - 0.5
        throat = torch.where(dice.chance(0.6, count, 1), torch.exp(dice.between(-0.16, 0.16, count, 1)), 1.0)
        bins = bin_of_hertz(centres_hz().to(dice.device)[None] * throat)
        grid = torch.stack(
            [
                (2 * bins / (MEL_BINS - 1) - 1)[:, None, :].expand(count, width, MEL_BINS),
                (2 * source / (log_mel.shape[1] - 1) - 1)[:, :, None].expand(count, width, MEL_BINS),
            ],
            -1,
        )
        new = functional.grid_sample(log_mel[:, None], grid, padding_mode="border", align_corners=True)
        return new[:, 0], new_frames

    def masked(self, log_mel: Tensor) -> Tensor:
        """Some stretches of time and of frequency replaced by the batch's mean, as in SpecAugment."""
        dice, (count, frames, _) = self.dice, log_mel.shape
        mean = log_mel.mean((0, 1))
        time = torch.arange(frames, device=dice.device)[None, :, None]
        band = torch.arange(MEL_BINS, device=dice.device)[None, None, :]
        for steps, size, most in ((time, frames, 8), (band, MEL_BINS, 6), (band, MEL_BINS, 6)):
            start = dice.between(0, size, count, 1, 1)
            extent = dice.between(0, most, count, 1, 1) * dice.chance(0.4, count, 1, 1)
            log_mel = torch.where((steps >= start) & (steps < start + extent), mean, log_mel)
        return log_mel

"""The acoustic network: a time-delay net with a third of the frame rate, written so that Kaldi can run it.

Every layer is an affine map over a few offsets, a rectifier and, from the fourth on, a residual sum. Edges are
padded by repeating the first and last feature frame, as Kaldi's decoder does, and never inside the net.
"""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor, nn
from torch.nn import functional

SUBSAMPLING = 3
BLANK = 0
GARBAGE = 1


@dataclass(frozen=True)
class Layer:
    """Offsets in feature frames; a residual layer adds its input to its output."""

    offsets: tuple[int, ...]
    residual: bool


LAYERS = (
    Layer((-2, -1, 0, 1, 2), residual=False),
    Layer((-1, 0, 1), residual=False),
    Layer((-1, 0, 1), residual=False),
    Layer((-3, 0, 3), residual=True),
    Layer((-3, 0, 3), residual=True),
    Layer((-6, 0, 6), residual=True),
    Layer((-6, 0, 6), residual=True),
    Layer((-6, 0, 6), residual=True),
    Layer((-6, 0, 6), residual=True),
)
STRIDED = 2  # the layer whose output is kept at every third frame
CONTEXT = sum(layer.offsets[-1] for layer in LAYERS)


class NumberNet(nn.Module):
    """Cepstra (batch, frames, dim) to log probabilities (batch, ceil(frames / 3), units)."""

    mean: Tensor
    scale: Tensor

    def __init__(self, units: int, width: int, dim: int, dropout: float = 0.1) -> None:
        super().__init__()
        self.register_buffer("mean", torch.zeros(dim))
        self.register_buffer("scale", torch.ones(dim))
        self.convolutions = nn.ModuleList()
        self.norms = nn.ModuleList()
        self.dropout = dropout
        previous = dim
        for number, layer in enumerate(LAYERS):
            step = layer.offsets[1] - layer.offsets[0]
            self.convolutions.append(
                nn.Conv1d(
                    previous,
                    width,
                    len(layer.offsets),
                    stride=SUBSAMPLING if number == STRIDED else 1,
                    dilation=step if number <= STRIDED else step // SUBSAMPLING,
                    bias=False,
                )
            )
            self.norms.append(nn.BatchNorm1d(width))
            previous = width
        self.output = nn.Linear(width, units)

    def forward(self, features: Tensor) -> Tensor:
        hidden = ((features - self.mean) * self.scale).transpose(1, 2)
        hidden = functional.pad(hidden, (CONTEXT, CONTEXT + SUBSAMPLING - 1), mode="replicate")
        for layer, convolution, norm in zip(LAYERS, self.convolutions, self.norms, strict=True):
            new = functional.relu(norm(convolution(hidden)))
            new = functional.dropout(new, self.dropout, self.training)
            if layer.residual:
                edge = (hidden.shape[2] - new.shape[2]) // 2
                new = new + hidden[:, :, edge : hidden.shape[2] - edge]
            hidden = new
        hidden = hidden[:, :, : -(-features.shape[1] // SUBSAMPLING)]
        return functional.log_softmax(self.output(hidden.transpose(1, 2)).float(), -1)


def output_frames(frames: Tensor) -> Tensor:
    """Output frames for so many feature frames."""
    return torch.div(frames + SUBSAMPLING - 1, SUBSAMPLING, rounding_mode="floor")

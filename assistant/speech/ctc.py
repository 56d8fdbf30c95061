"""How well a row of units fits the network's scores, and which way the scores would have to move.

Connectionist temporal classification (Graves and others, 2006): the sum over all ways to lay the units out over
the frames with blanks between them.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from assistant.speech.kaldi_binary import Floats

BLANK = 0
_NEVER = -1e30


def log_softmax(scores: Floats) -> NDArray[np.float64]:
    """Natural logarithms of the units' probabilities, frame by frame."""
    top = scores.astype(np.float64) - scores.max(1, keepdims=True)
    return np.asarray(top - np.log(np.exp(top).sum(1, keepdims=True)))


def loss(scores: Floats, units: Sequence[int]) -> tuple[float, Floats]:
    """The negative log-likelihood of `units` and its gradient by the scores (frames, units).

    Raises ValueError when the clip has fewer frames than the units need.
    """
    states = _states(units)
    repeats = sum(a == b for a, b in pairwise(units))
    if len(scores) < len(units) + repeats:
        raise ValueError(f"{len(scores)} frames are too few for {len(units)} sounds")
    logs = log_softmax(scores)
    seen = logs[:, states]
    skips = _skips(states)
    before = _sums(seen, skips)
    back = np.zeros(len(states), bool)
    back[:-2] = skips[2:]
    after = _sums(seen[::-1, ::-1], back[::-1])[::-1, ::-1]
    total = float(np.logaddexp(before[-1, -1], before[-1, -2]))
    shares = np.exp(np.minimum(before + after - seen - total, 0))
    expected = np.zeros_like(logs)
    for place, unit in enumerate(states):
        expected[:, unit] += shares[:, place]
    return -total, (np.exp(logs) - expected).astype(np.float32)


def misfits(scores: Floats, rows: Sequence[Sequence[int]]) -> NDArray[np.float64]:
    """The negative log-likelihood of each row of units, all of one length; beyond 1e29 where the clip has too few
    frames for it."""
    states = np.stack([_states(row) for row in rows])
    last = _sums(log_softmax(scores)[:, states], _skips(states))[-1]
    return -np.asarray(np.logaddexp(last[:, -1], last[:, -2]))


def _skips(states: NDArray[np.intp]) -> NDArray[np.bool_]:
    """States that may follow the one before the last: other sounds, with the blank between left out."""
    skips = np.zeros(states.shape, bool)
    skips[..., 2:] = (states[..., 2:] != BLANK) & (states[..., 2:] != states[..., :-2])
    return skips


def _states(units: Sequence[int]) -> NDArray[np.intp]:
    """The units with a blank before, between and after."""
    states = np.full(2 * len(units) + 1, BLANK, np.intp)
    states[1::2] = units
    return states


def _sums(seen: NDArray[np.float64], skips: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Log-likelihoods of all ways that lead to each state, frame by frame, that frame's included.

    The first axis are the frames, the last the states of a row.
    """
    sums = np.full(seen.shape, _NEVER)
    sums[0, ..., :2] = seen[0, ..., :2]
    for frame in range(1, len(seen)):
        last = sums[frame - 1]
        ways = last.copy()
        ways[..., 1:] = np.logaddexp(ways[..., 1:], last[..., :-1])
        ways[..., 2:] = np.where(skips[..., 2:], np.logaddexp(ways[..., 2:], last[..., :-2]), ways[..., 2:])
        sums[frame] = ways + seen[frame]
    return sums

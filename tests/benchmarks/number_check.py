"""How often does the played demonstration's helper pass the four numbers at the start of the day?

PYTHONPATH=tests python -m benchmarks.number_check [DRAWS]

Draws of four numbers as the bench makes them, said by the helper's synthetic voice in four languages, go block by
block through the segmenter and the shipped models, as the demonstration's microphone gives them. A number that is
refused is said once more, as the helper does; the second refusal misses it. No sound card, no clock.
"""

import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np
from scripted_sound import ScriptedMicrophone

from assistant.bench.voice_check import trial
from assistant.commands.demonstration import HELPER_VOICES
from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.spell import spell_number
from assistant.speech.capture import BLOCK, RATE_HZ
from assistant.speech.dialogue import REFUSALS_BEFORE_KEYPAD
from assistant.speech.ear import Ear, Listener
from assistant.speech.equipment import recognisers
from assistant.speech.fed import BREATH_BLOCKS, HISS
from assistant.speech.segment import Segmenter, best_detector
from assistant.speech.sound import Sound, resampled
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Asked
from assistant.workflow.checks_day import LEAST_UNDERSTOOD

DRAWS = 100
SEED = 7
AFTER_S = 3.0


def heard(ear: Ear, segmenter: Segmenter, sound: Sound, asked: Asked, chance: np.random.Generator) -> str:
    """What the bench takes it for; empty where it is refused or not heard."""
    said = resampled(sound, RATE_HZ).samples
    length = BREATH_BLOCKS * BLOCK + len(said) + round(AFTER_S * RATE_HZ)
    stream = chance.integers(-HISS, HISS, length).astype(np.int16)
    start = BREATH_BLOCKS * BLOCK
    stream[start : start + len(said)] = said
    listener = Listener(asked, frozenset(), print, print)
    ear._begin(segmenter)
    for place in range(0, length - BLOCK, BLOCK):
        utterance = ear._heard(segmenter, stream[place : place + BLOCK], listener)
        if utterance is not None and not utterance.silent:
            found = utterance.understanding
            return str(found.value) if found.accepted else ""
    return ""


def main() -> None:
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else DRAWS
    with tempfile.TemporaryDirectory() as name:
        helper, hears = Synthesiser(Path(name) / "speech", HELPER_VOICES), recognisers(Path(name))
        ear = Ear(ScriptedMicrophone(), hears, best_detector, lambda: False, lambda: None)
        for language in LANGUAGES:
            told(language, draws, helper, ear)
        ear.close()
        helper.close()


def told(language: str, draws: int, helper: Synthesiser, ear: Ear) -> None:
    drawn, noise = random.Random(SEED), np.random.default_rng(SEED)
    asked = Asked(Listening.CHECK_NUMBER, language, read_back=False)
    segmenter = Segmenter(best_detector())
    right: Counter[int] = Counter()
    said: Counter[str] = Counter()
    missed: Counter[str] = Counter()
    for _ in range(draws):
        good = 0
        for number in trial(0.0, None, drawn).numbers:
            sound = helper.render(spell_number(number, Listening.CHECK_NUMBER, language), language)
            tries = (heard(ear, segmenter, sound, asked, noise) for _ in range(REFUSALS_BEFORE_KEYPAD))
            answer = next((text for text in tries if text), "nothing")
            good += answer == number
            said[number] += 1
            if answer != number:
                missed[f"{number} as {answer}"] += 1
        right[good] += 1
    passed = sum(count for good, count in right.items() if good >= LEAST_UNDERSTOOD)
    counts = ", ".join(f"{good} right: {right[good]}" for good in sorted(right, reverse=True))
    print(f"{language}: {passed} of {draws} draws passed ({counts})", end="; ")
    print(f"{sum(missed.values())} of {sum(said.values())} numbers missed")
    for what, count in missed.most_common():
        print(f"   {what}: {count} of {said[what.split()[0]]}", flush=True)


if __name__ == "__main__":
    main()

"""What is gained on people by hearing a doubtful clip again at other paces? Human digits, the speaker left out.

    PYTHONPATH=tests python -m benchmarks.speech_paces --zip RECORDINGS.zip [--rounds 350]

No GPU is needed: the sounds of the Portuguese model, which never heard these men, are lent to English digits and
fitted to the other two speakers' recordings. Such a model hears worse than the shipped one, which heard all three;
the two ways of hearing are compared on it, side by side. The words other than digits are espeak-ng's, as filling.
"""

import argparse
import random
import tempfile
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from benchmarks.as_if_new import as_if_new
from benchmarks.speech_digits import STRINGS, WORDS, Recording, recordings, strings
from benchmarks.speech_noise import RATE_HZ

from assistant.language.listening import Listening
from assistant.language.phrases import vocabulary
from assistant.speech import recogniser, understanding
from assistant.speech.enrolment import Clip, Fit, fit
from assistant.speech.model_folder import model_dir
from assistant.speech.new_language import lend, sounds_of
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import Sound
from assistant.speech.understanding import Asked, understand
from models.training.espeak import Espeak, Manner

CODE = "td"
LENDER = "pt"
LEARNT_FROM = 6
"""Takes of each digit of each speaker that the words are learnt from; fitted to all."""
WAYS = {
    "once, from 0.8": (0.0, 0.8),
    "once, from 0.65": (0.0, 0.65),
    "again if doubtful, from 0.65": (0.98, 0.65),
}
"""Least confidence that is not heard again, and least that goes to read-back."""


@cache
def filling() -> tuple[Clip, ...]:
    """Three takes of each word that is no digit."""
    espeak, clips = Espeak(), []
    espeak.choose("gmw/en-US")
    for word in sorted(vocabulary(CODE) - set(WORDS)):
        for speed in (120, 150, 180):
            said = espeak.speak(word, Manner(speed, 50, 50))
            clips.append(Clip(Sound(np.asarray(said, np.int16), espeak.sample_rate), (word,)))
    return tuple(clips)


def model_without(speaker: str, voices: dict[str, list[Recording]], rounds: int, folder: Path) -> Path:
    rng, learnt = random.Random(1), list(filling())
    heard: list[Clip] = []
    for name in sorted(voices.keys() - {speaker}):
        clips = [Clip(Sound(samples, RATE_HZ), (WORDS[int(digit)],)) for digit, samples in voices[name]]
        heard += clips
        for word in WORDS:
            learnt += rng.sample([clip for clip in clips if clip.words == (word,)], LEARNT_FROM)
    base = lend(sounds_of(LENDER), CODE, learnt, folder / "base")
    fit(base, heard, folder / "own", Fit(rounds=rounds, rate=4e-4, pull=0.0005, speed=0.25))
    return folder / "own"


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--zip", type=Path, required=True)
    parser.add_argument("--rounds", type=int, default=350)
    arguments = parser.parse_args()
    as_if_new("en", CODE)
    voices = recordings(arguments.zip)
    totals: dict[tuple[int, str], Counter[str]] = {}
    for speaker, clips in voices.items():
        with tempfile.TemporaryDirectory() as name, pytest.MonkeyPatch.context() as patch:
            model = model_without(speaker, voices, arguments.rounds, Path(name))
            for count, material in ((1, clips), (3, strings(clips, STRINGS, random.Random(1)))):
                asked = Asked(Listening.DIGITS, CODE, digits=count)
                ear = VoskRecogniser(model_dir(CODE, Listening.DIGITS, Path(name), digits=count, model=model))
                for way, (at_once, read_back) in WAYS.items():
                    patch.setattr(recogniser, "SURE_AT_ONCE", at_once)
                    patch.setattr(understanding, "SURE_ENOUGH_TO_READ_BACK", read_back)
                    outcomes: Counter[str] = Counter()
                    for digits, samples in material:
                        said = understand(ear.recognise(Sound(samples, RATE_HZ)), asked)
                        outcomes[
                            "again" if not said.accepted else "right" if said.value == digits else "wrong"
                        ] += 1
                    totals.setdefault((count, way), Counter()).update(outcomes)
                    print(f"{speaker}, {count} digit(s), {way}: {dict(outcomes)}", flush=True)
    for (count, way), outcomes in totals.items():
        print(f"all, {count} digit(s), {way}: {dict(outcomes)} of {outcomes.total()}")


if __name__ == "__main__":
    main()

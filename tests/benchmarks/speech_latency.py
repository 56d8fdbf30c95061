"""How long from the end of speech to the number, and from a step to the first sound of its prompt?

PYTHONPATH=tests python -m benchmarks.speech_latency

Answers spoken by synthesis in four languages go block by block through the segmenter and the shipped models, as
the ear takes them. The time is that of the stream from the true end of speech to the block at which the number is
known, plus the seconds that the recogniser took at that block. A prompt's time is until its sound is ready to be
played: rendered for the first time, and from the cache.
"""

import random
import statistics
import tempfile
import time
from pathlib import Path

import numpy as np
from scripted_sound import ScriptedMicrophone

from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.phrases import sample
from assistant.language.prompts import say
from assistant.language.spell import spell_number
from assistant.speech.capture import BLOCK, RATE_HZ
from assistant.speech.ear import Ear, Listener
from assistant.speech.equipment import recognisers
from assistant.speech.segment import Segmenter, best_detector
from assistant.speech.sound import Sound, resampled
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Asked

ANSWERS = 25
KINDS = (
    Asked(Listening.CHECK_NUMBER, ""),
    Asked(Listening.DIGITS, "", digits=3),
    Asked(Listening.YES_NO, ""),
    Asked(Listening.AXIS, "", low=0, high=180),
    Asked(Listening.POWER, "", low=-20, high=20),
)


def answer_s(ear: Ear, segmenter: Segmenter, sound: Sound, asked: Asked) -> float | None:
    """Seconds from the end of speech to the understanding; None when it was not understood."""
    samples = resampled(sound, RATE_HZ).samples
    loud = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
    spoken = samples[loud[0] : loud[-1] + 1]
    noise = np.random.default_rng(1).standard_normal(len(spoken) + 3 * RATE_HZ) * 20
    noise[RATE_HZ : RATE_HZ + len(spoken)] += spoken
    stream = np.clip(noise, -32768, 32767).astype(np.int16)
    end_s = 1 + len(spoken) / RATE_HZ
    listener = Listener(asked, frozenset(), print, print)
    for place in range(0, len(stream) - BLOCK, BLOCK):
        began = time.perf_counter()
        utterance = ear._heard(segmenter, stream[place : place + BLOCK], listener)
        if utterance is not None:
            took = time.perf_counter() - began
            return (place + BLOCK) / RATE_HZ - end_s + took if utterance.understanding.accepted else None
    return None


def told(name: str, seconds: list[float]) -> None:
    print(
        f"{name}: median {statistics.median(seconds):.3f} s, 95th {np.quantile(seconds, 0.95):.3f} s", end=" "
    )
    print(f"({len(seconds)})", flush=True)


def main() -> None:
    rng = random.Random(5)
    with tempfile.TemporaryDirectory() as name:
        speaker, hears = Synthesiser(Path(name) / "speech"), recognisers(Path(name))
        ear = Ear(ScriptedMicrophone(), hears, best_detector, lambda: False, lambda: None)
        for kind in KINDS:
            found: list[float] = []
            for language in LANGUAGES:
                asked = Asked(kind.listening, language, kind.digits, kind.low, kind.high)
                for _ in range(ANSWERS):
                    words, _ = sample(kind.listening, language, rng, kind.digits)
                    sound = speaker.render(" ".join(words), language)
                    seconds = answer_s(ear, Segmenter(best_detector()), sound, asked)
                    found += [] if seconds is None else [seconds]
            told(f"end of speech to the number, {kind.listening}, understood of {4 * ANSWERS}", found)
        ear.close()
        prompts(speaker)
        speaker.close()


def prompts(speaker: Synthesiser) -> None:
    for what in ("rendered", "from the cache"):
        times: list[float] = []
        for language in LANGUAGES:
            texts = [
                say(text, language) for text in ("say-again", "taken-back", "pair-done", "supervisor-asked")
            ]
            texts += [spell_number(f"{n:+d}.25", Listening.POWER, language) for n in range(-9, 10)]
            for text in texts:
                began = time.perf_counter()
                speaker.render(text, language)
                times.append(time.perf_counter() - began)
        told(f"prompt ready, {what}", times)


if __name__ == "__main__":
    main()

"""Which way of finding the end of an answer is better, and with which pause?

    PYTHONPATH=tests python -m benchmarks.segmentation        (needs nothing but the project; 2 to 3 minutes)

Three-figure answers said by synthesis in four languages at two speeds, with silence or noise around and under
them. For each detector: answers found whole, cut in two, missed (no end within two seconds), with noise taken
for an answer before them; and the time from the true end of speech to the END of the segmenter.
"""

import argparse
import tempfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.speech.capture import BLOCK, RATE_HZ
from assistant.speech.segment import (
    Detector,
    Found,
    Pauses,
    Segmenter,
    loudness_detector,
    silero_detector,
    voice_over_floor_detector,
)
from assistant.speech.sound import resampled
from assistant.speech.synth import Pace, Synthesiser

Wave = NDArray[np.float64]
WORDS = {
    "en": ("one seven five", "minus two point two five", "eighty"),
    "pt": ("um sete cinco", "menos dois vírgula vinte e cinco", "oitenta"),
    "fr": ("un sept cinq", "moins deux virgule vingt-cinq", "quatre-vingts"),
    "sw": ("moja saba tano", "hasi mbili nukta mbili tano", "themanini"),
}
BEFORE_S, AFTER_S = 6.0, 2.0
DETECTORS: tuple[tuple[str, Callable[[], Detector]], ...] = (
    ("silero", silero_detector),
    ("loudness", loudness_detector),
    ("both", voice_over_floor_detector),
)


def trimmed(wave: Wave) -> Wave:
    """The wave from its first to its last sound over a hundredth of its peak."""
    loud = np.flatnonzero(np.abs(wave) > 0.01 * np.abs(wave).max())
    return wave[loud[0] : loud[-1] + 1]


def spoken(folder: Path) -> list[Wave]:
    """Every answer: as said at once, slowly, and with the words half a second apart."""
    speaker = Synthesiser(folder)
    waves = []

    def said(text: str, language: str, pace: Pace) -> Wave:
        return trimmed(resampled(speaker.render(text, language, pace), RATE_HZ).samples / 32768)

    for language, texts in WORDS.items():
        for text in texts:
            waves += [said(text, language, pace) for pace in Pace]
            words = [said(word, language, Pace.USUAL) for word in text.split()]
            gap = np.zeros(RATE_HZ // 2)
            waves.append(np.concatenate([part for word in words for part in (word, gap)][:-1]))
    speaker.close()
    return waves


def noise(kind: str, samples: int, voices: list[Wave], random: np.random.Generator) -> Wave:
    """Noise at power one: white, a generator's hum with its overtones, or eight voices at once."""
    if kind == "white":
        made = random.standard_normal(samples)
    elif kind == "hum":
        at = np.arange(samples) / RATE_HZ
        tones = [np.sin(2 * np.pi * 50 * k * at + random.uniform(0, 6)) / k for k in range(1, 12)]
        made = np.sum(tones, axis=0) + 0.2 * random.standard_normal(samples)
    else:
        made = np.zeros(samples)
        for _ in range(8):
            order = random.permutation(len(voices))
            run = np.concatenate([voices[k] for k in order])
            made += np.resize(np.roll(run, int(random.integers(len(run)))), samples)
    return np.asarray(made / np.sqrt(np.mean(made**2)))


def scene(wave: Wave, bed: Wave, snr_db: float | None) -> NDArray[np.int16]:
    before, after = round(BEFORE_S * RATE_HZ), round(AFTER_S * RATE_HZ)
    mixed = np.concatenate([np.zeros(before), wave, np.zeros(after)])
    level = 1e-4 if snr_db is None else np.sqrt(np.mean(wave**2)) * 10 ** (-snr_db / 20)
    mixed += level * bed[: len(mixed)]
    return np.asarray(np.clip(mixed * 16000, -32768, 32767), np.int16)


def judged(detector: Detector, sound: NDArray[np.int16], wave: Wave, pauses: Pauses) -> tuple[str, float]:
    """What became of one answer, and the seconds from its end to the decision."""
    segmenter = Segmenter(detector, pauses)
    begin, end = BEFORE_S, BEFORE_S + len(wave) / RATE_HZ
    for place in range(0, len(sound) - BLOCK, BLOCK):
        if segmenter.feed(sound[place : place + BLOCK]) is not Found.END:
            continue
        now = (place + BLOCK) / RATE_HZ
        started = now - segmenter.sound().seconds
        if now < begin + 0.1:
            return "noise", 0.0
        if now < end:
            return "cut", 0.0
        return ("late start" if started > begin + 0.05 else "whole"), now - end
    return "missed", 0.0


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--long", type=float, default=Pauses().long_s, help="seconds of silence that end it")
    pauses = Pauses(long_s=options.parse_args().long)
    random = np.random.default_rng(7)
    with tempfile.TemporaryDirectory() as folder:
        voices = spoken(Path(folder))
    longest = max(map(len, voices)) + round((BEFORE_S + AFTER_S) * RATE_HZ)
    scenes: list[tuple[str, float | None]] = [("white", None)]
    scenes += [(kind, snr) for kind in ("white", "hum", "babble") for snr in (10.0, 5.0)]
    print(
        f"{len(voices)} answers a line, end after {pauses.long_s} s; seconds from end of speech: median, 95th"
    )
    for kind, snr in scenes:
        beds = [noise(kind, longest, voices, random) for _ in voices]
        for name, make in DETECTORS:
            found = [judged(make(), scene(w, b, snr), w, pauses) for w, b in zip(voices, beds, strict=True)]
            counts = {what: sum(f[0] == what for f in found) for what in sorted({f[0] for f in found})}
            times = [seconds for what, seconds in found if what == "whole"] or [float("nan")]
            label = "quiet" if snr is None else f"{kind} {snr:.0f} dB"
            print(f"{label:13s} {name:9s} {np.median(times):.2f} {np.quantile(times, 0.95):.2f}  {counts}")


if __name__ == "__main__":
    main()

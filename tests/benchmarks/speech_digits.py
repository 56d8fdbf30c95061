"""Human English digits, one by one and as strings of three, through vosk; pocketsphinx beside if it is there.

    PYTHONPATH=tests python -m benchmarks.speech_digits --zip RECORDINGS.zip [--models FOLDER] [--noise babble:10]
        [--talk FOLDER] [--peer]

FOLDER holds a number model a speaker (jackson, nicolas, theo), each trained on the other two. Without it the
shipped model is tried, which was trained on all three: that is no measure of how it does on a new voice.
"""

import argparse
import importlib
import io
import random
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import soundfile
from benchmarks.speech_noise import RATE_HZ, babble_of, hum, in_noise, talk_in

from assistant.language.listening import Listening
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import Samples, Sound, resampled
from assistant.speech.understanding import Asked, understand

Hear = Callable[[Samples, int], str | None]
Recording = tuple[str, Samples]
STRINGS = 200
WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def recordings(path: Path) -> dict[str, list[Recording]]:
    """By speaker: the digit and its samples."""
    found: dict[str, list[Recording]] = {}
    with zipfile.ZipFile(path) as archive:
        for name in sorted(n for n in archive.namelist() if n.endswith(".wav")):
            digit, speaker, _number = Path(name).stem.split("_")
            samples, rate = soundfile.read(io.BytesIO(archive.read(name)), dtype="int16")
            assert rate == RATE_HZ
            found.setdefault(speaker, []).append((digit, samples))
    return found


def strings(clips: Sequence[Recording], count: int, rng: random.Random) -> list[Recording]:
    """Three digits of one speaker with pauses of 0.05 to 0.35 s."""
    made: list[Recording] = []
    for _ in range(count):
        chosen = [rng.choice(clips) for _ in range(3)]
        pieces: list[Samples] = []
        for _digit, samples in chosen:
            pieces += [samples, np.zeros(int(rng.uniform(0.05, 0.35) * RATE_HZ), np.int16)]
        made.append(("".join(digit for digit, _ in chosen), np.concatenate(pieces[:-1])))
    return made


def by_vosk(model: Path | None, cache: Path) -> Hear:
    """The project's own way of hearing, given how many digits there are."""
    ears = {
        count: VoskRecogniser(model_dir("en", Listening.DIGITS, cache, digits=count, model=model))
        for count in (1, 3)
    }

    def hear(samples: Samples, count: int) -> str | None:
        asked = Asked(Listening.DIGITS, "en", digits=count)
        said = understand(ears[count].recognise(Sound(samples, RATE_HZ)), asked)
        return str(said.value) if said.accepted else None

    return hear


def by_pocketsphinx() -> Hear:
    """The peer: its own US English model and a grammar of so many digits, with dither, since digital silence
    upsets it (the best of ten settings tried on every tenth recording)."""
    pocketsphinx = importlib.import_module("pocketsphinx")
    decoders = {}
    for count in (1, 3):
        digit = "(" + " | ".join((*WORDS, "oh")) + ")"
        decoder = pocketsphinx.Decoder(samprate=16000, logfn="/dev/null", lm=None, dither=True)
        decoder.add_jsgf_string("digits", f"#JSGF V1.0; grammar d; public <d> = {' '.join([digit] * count)};")
        decoder.activate_search("digits")
        decoders[count] = decoder

    def hear(samples: Samples, count: int) -> str | None:
        decoder = decoders[count]
        around = np.zeros(RATE_HZ // 4, np.int16)
        padded = np.concatenate([around, samples, around])
        decoder.start_utt()
        decoder.process_raw(resampled(Sound(padded, RATE_HZ), 16000).samples.tobytes(), full_utt=True)
        decoder.end_utt()
        words = decoder.hyp().hypstr.split() if decoder.hyp() else []
        return "".join(str(WORDS.index("zero" if word == "oh" else word)) for word in words) or None

    return hear


def score(name: str, hear: Hear, clips: Sequence[Recording], count: int) -> Counter[str]:
    began, seconds = time.perf_counter(), sum(len(samples) for _, samples in clips) / RATE_HZ
    outcomes: Counter[str] = Counter()
    for digits, samples in clips:
        heard = hear(samples, count)
        outcomes["again" if heard is None else "right" if heard == digits else "wrong"] += 1
    factor = (time.perf_counter() - began) / seconds
    shown = "  ".join(f"{kind} {outcomes[kind]}" for kind in ("right", "wrong", "again"))
    print(
        f"{name:24} {count} digit(s): {outcomes['right'] / len(clips):6.1%} of {len(clips)}   {shown}   "
        f"real-time factor {factor:.3f}",
        flush=True,
    )
    return outcomes


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--zip", type=Path, required=True)
    parser.add_argument("--models", type=Path)
    parser.add_argument("--noise", help="babble:DB or hum:DB")
    parser.add_argument(
        "--talk", type=Path, help="a folder of .wav talk for babble, else the other speakers' digits"
    )
    parser.add_argument("--peer", action="store_true", help="pocketsphinx instead")
    arguments = parser.parse_args()
    voices = recordings(arguments.zip)
    noise_rng, totals = np.random.default_rng(1), {1: Counter[str](), 3: Counter[str]()}
    with tempfile.TemporaryDirectory() as cache:
        for speaker, clips in voices.items():
            model = arguments.models / speaker if arguments.models else None
            hear = by_pocketsphinx() if arguments.peer else by_vosk(model, Path(cache))
            for count, material in ((1, clips), (3, strings(clips, STRINGS, random.Random(1)))):
                if arguments.noise:
                    kind, ratio = arguments.noise.split(":")
                    others = [s for name, spoken in voices.items() if name != speaker for _, s in spoken]
                    babble = talk_in(arguments.talk) if arguments.talk else babble_of(others)
                    noise = hum if kind == "hum" else babble
                    material = [
                        (digits, in_noise(samples, noise, float(ratio), noise_rng))
                        for digits, samples in material
                    ]
                totals[count] += score(speaker, hear, material, count)
    for count, outcomes in totals.items():
        print(
            f"all speakers, {count} digit(s): {outcomes['right']} of {outcomes.total()} right, {dict(outcomes)}"
        )


if __name__ == "__main__":
    main()

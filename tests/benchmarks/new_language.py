"""How well a language without a number model is heard after enrolment, on the sounds of another's model.

PYTHONPATH=tests python -m benchmarks.new_language [--like en] [--people 4] [--before]
The language is Swahili's digits, signs and commands as if there were no Swahili model. Its people are espeak-ng's
voices that no model was trained on, each take at another speed and pitch and in noise 12 to 30 dB below it; three
takes a word are enrolled, seven are judged. `--before` also judges the learnt words without the fit.
"""

import argparse
import random
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from benchmarks.as_if_new import as_if_new

from assistant.language.lexicon import LANGUAGES
from assistant.language.phrases import vocabulary
from assistant.speech.comparison import Tally, tried
from assistant.speech.enrolment import Clip, fit
from assistant.speech.new_language import lend, nearest
from assistant.speech.sound import Sound
from models.training.espeak import Espeak, Manner

PEOPLE = (("f2", 1.0), ("m3", 0.9), ("Annie", 1.1), ("klatt4", 1.0))
"""Voice and how much higher and faster it is."""
CODE = "tq"
ENROLLED, JUDGED = 3, 7


def takes(espeak: Espeak, person: int) -> Iterator[Clip]:
    """Every word ten times."""
    voice, higher = PEOPLE[person]
    rng, noise = random.Random(person), np.random.default_rng(person)
    espeak.choose(f"bnt/sw+{voice}")
    for word in sorted(vocabulary(CODE)):
        for _ in range(ENROLLED + JUDGED):
            manner = Manner(rng.randint(120, 200), rng.randint(30, 70), rng.randint(30, 70))
            said = espeak.speak(word, manner).astype(np.float64)
            said *= rng.uniform(5000, 20000) / np.abs(said).max()
            level = np.sqrt((said**2).mean()) * 10 ** (-rng.uniform(12, 30) / 20)
            quiet = [np.zeros(rng.randint(2000, 6000)) for _ in range(2)]
            whole = np.concatenate([quiet[0], said, quiet[1]])
            heard = np.clip(whole + noise.normal(0, level, len(whole)), -32768, 32767).astype(np.int16)
            rate = round(espeak.sample_rate * higher * rng.uniform(0.96, 1.04))
            yield Clip(Sound(heard, rate), (word,))


def told(tally: Tally) -> str:
    return f"{tally.right} of {tally.of} right, {tally.wrong} wrong ones accepted"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--like", choices=[code for code in LANGUAGES if code != "sw"])
    parser.add_argument("--people", type=int, default=len(PEOPLE))
    parser.add_argument("--before", action="store_true")
    given = parser.parse_args()
    among = (given.like,) if given.like else tuple(code for code in LANGUAGES if code != "sw")
    as_if_new("sw", CODE)
    espeak = Espeak()  # one a process: the library does not bear a second
    before, after = Tally(), Tally()
    for person in range(given.people):
        clips = list(takes(espeak, person))
        numbered = [(n % (ENROLLED + JUDGED), clip) for n, clip in enumerate(clips)]
        to = [clip for n, clip in numbered if n < ENROLLED]
        held = [clip for n, clip in numbered if n >= ENROLLED]
        with tempfile.TemporaryDirectory() as name:
            sounds = nearest(CODE, to, among)
            base, own, cache = (Path(name) / part for part in ("base", "own", "cache"))
            lend(sounds, CODE, to, base)
            if given.before:
                before += tried(base, CODE, held, cache)
            fit(base, to, own)
            after += tried(own, CODE, held, cache)
        print(f"{PEOPLE[person][0]}, sounds of {sounds.folder.name}: {told(after)} so far", flush=True)
    if given.before:
        print(f"words learnt, not fitted: {told(before)}")
    print(f"fitted: {told(after)}")


if __name__ == "__main__":
    main()

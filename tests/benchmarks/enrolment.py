"""What fitting a model to a speaker gains, on recordings of theirs that were not fitted to.

python tests/benchmarks/enrolment.py --recordings FOLDER --model FOLDER --speaker NAME
The recordings are clips named <digit>_<speaker>_<take>.wav; takes 0 to 2 are fitted to, the others judged. The
strings are three judged clips, 0.08 to 0.25 s apart, drawn with a fixed seed.
"""

import argparse
import random
import tempfile
from pathlib import Path

from assistant.language.listening import Listening
from assistant.speech.enrolment import Clip, fit
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import joined, read_sound
from assistant.speech.understanding import Asked, understand

WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
STRINGS = 200


def judged(model: Path, cache: Path, clips: list[Path]) -> str:
    """Counts of single digits and of strings of three, through vosk."""
    rng = random.Random(2)
    single, three = Asked(Listening.DIGIT, "en"), Asked(Listening.DIGITS, "en", digits=3)
    ones = VoskRecogniser(model_dir("en", Listening.DIGIT, cache, model=model))
    threes = VoskRecogniser(model_dir("en", Listening.DIGITS, cache, digits=3, model=model))
    found = [(understand(ones.recognise(read_sound(clip)), single), clip.name[0]) for clip in clips]
    right = sum(heard.value == digit for heard, digit in found)
    wrong = sum(heard.accepted and heard.value != digit for heard, digit in found)
    whole = 0
    for _ in range(STRINGS):
        drawn = [rng.choice(clips) for _ in range(3)]
        sound = joined([read_sound(clip) for clip in drawn], rng.uniform(0.08, 0.25))
        whole += understand(threes.recognise(sound), three).value == "".join(c.name[0] for c in drawn)
    return f"{right} of {len(clips)} digits, {wrong} wrong ones accepted; {whole} of {STRINGS} strings"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--recordings", type=Path, required=True)
    parser.add_argument("--model", type=Path, required=True)
    parser.add_argument("--speaker", required=True)
    given = parser.parse_args()
    shared, folder, speaker = given.model, given.recordings, given.speaker
    clips = sorted(folder.rglob(f"?_{speaker}_*.wav"))
    fitted = [clip for clip in clips if int(clip.stem.rsplit("_", 1)[1]) < 3]
    held = [clip for clip in clips if clip not in fitted]
    with tempfile.TemporaryDirectory() as name:
        own, cache = Path(name) / "own", Path(name) / "cache"
        print(f"{speaker} shared: {judged(shared, cache, held)}", flush=True)
        fit(shared, [Clip(read_sound(clip), (WORDS[int(clip.name[0])],)) for clip in fitted], own)
        print(f"{speaker} fitted: {judged(own, cache, held)}", flush=True)


if __name__ == "__main__":
    main()

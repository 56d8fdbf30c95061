"""Numbers as people recorded them for a telephone exchange: none of these speakers was ever trained on.

    PYTHONPATH=tests python -m benchmarks.speech_numbers --language en --folder FOLDER

FOLDER holds recordings named by their number (0.wav ... 90.wav, or .gsm at 8000 Hz), as in the folders `digits` of
Debian's asterisk-core-sounds-en-wav, asterisk-core-sounds-fr-wav and asterisk-prompt-fr-armelle.
"""

import argparse
import tempfile
from decimal import Decimal
from pathlib import Path

import numpy as np
import soundfile

from assistant.language.listening import Listening
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import Sound
from assistant.speech.understanding import Asked, understand

GREATEST = 99


def sound_of(path: Path) -> Sound:
    """A recording; .gsm files have no header and are at 8000 Hz."""
    if path.suffix == ".gsm":
        samples, rate = soundfile.read(
            path, dtype="int16", samplerate=8000, channels=1, format="RAW", subtype="GSM610"
        )
    else:
        samples, rate = soundfile.read(path, dtype="int16")
    return Sound(np.asarray(samples), int(rate))


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--language", required=True)
    parser.add_argument("--folder", type=Path, required=True)
    arguments = parser.parse_args()
    paths = [
        path for path in arguments.folder.iterdir() if path.stem.isdigit() and int(path.stem) <= GREATEST
    ]
    outcomes = {"right": 0, "wrong": 0, "again": 0}
    with tempfile.TemporaryDirectory() as cache:
        ear = VoskRecogniser(model_dir(arguments.language, Listening.AXIS, Path(cache)))
        for path in sorted(paths, key=lambda path: int(path.stem)):
            said = understand(ear.recognise(sound_of(path)), Asked(Listening.AXIS, arguments.language))
            right = said.value == Decimal(path.stem)
            kind = ("right" if right else "wrong") if said.accepted else "again"
            outcomes[kind] += 1
            if kind != "right":
                print(f"{path.name}: {kind}, heard {said.words!r}")
    print(f"{len(paths)} numbers: {outcomes}")


if __name__ == "__main__":
    main()

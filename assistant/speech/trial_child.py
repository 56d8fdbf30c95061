"""Loads a model from elsewhere in a process of its own, since vosk may end the process that hands it a bad one.

Input: one line of JSON (words). Output: one line of JSON: the words that the model does not know.
"""

import json
import sys
from pathlib import Path

from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import Sound

SILENCE_S = 0.5


def main() -> None:
    """Every word is looked up, and some silence is listened to with all of them as the grammar."""
    import numpy as np

    words: list[str] = json.loads(sys.stdin.readline())
    recogniser = VoskRecogniser(Path(sys.argv[1]), tuple(words))
    rate = recogniser.rate_hz
    recogniser.recognise(Sound(np.zeros(round(SILENCE_S * rate), np.int16), rate))
    print(json.dumps([word for word in words if not recogniser.knows(word)]))


if __name__ == "__main__":
    main()

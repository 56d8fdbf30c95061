"""How much memory the recogniser and the screen take together.

PYTHONPATH=tests python -m benchmarks.speech_memory

Loads what a bench with sound loads in one process: the screen's library and program, the detector, the recognisers
of as many contexts as are kept, each used once. Beside it, the synthesiser's own process. Linux only.
"""

import tempfile
from pathlib import Path

import numpy as np

from assistant.bench import app
from assistant.language.listening import Listening
from assistant.speech.capture import BLOCK, RATE_HZ
from assistant.speech.devices import sound_library
from assistant.speech.equipment import recognisers
from assistant.speech.recogniser import KEPT
from assistant.speech.segment import best_detector
from assistant.speech.sound import Sound
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Asked

CONTEXTS = [kind for kind in Listening if kind is not Listening.COUNT]


def resident_mb(process: int | str = "self") -> float:
    pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    return pages * 4096 / 1e6


def main() -> None:
    print(f"program and screen ({app.__name__}): {resident_mb():.0f} MB")
    sound_library()
    best_detector()(np.zeros(BLOCK, np.int16))
    print(f"with microphone, speaker and detector: {resident_mb():.0f} MB")
    with tempfile.TemporaryDirectory() as name:
        hears = recognisers(Path(name))
        silence = Sound(np.zeros(RATE_HZ, np.int16), RATE_HZ)
        for kind in CONTEXTS[:KEPT]:
            hears(Asked(kind, "en")).recognise(silence)
        print(f"with the recognisers of {KEPT} contexts, each used: {resident_mb():.0f} MB")
        speaker = Synthesiser(Path(name) / "speech")
        speaker.render("one", "en")
        child = speaker._child
        assert child is not None
        print(f"beside it, the synthesiser's process: {resident_mb(child._process.pid):.0f} MB")
        speaker.close()


if __name__ == "__main__":
    main()

"""The synthesiser's own process: words in, WAV out, one clip at a time, until the input ends.

It runs apart because the synthesiser prints to the terminal and can hang; the parent can end it. A request
is one line of JSON (voice, rate, text); the answer is one line of JSON (bytes, or error) and that many bytes.
"""

import ctypes
import io
import json
import os
import sys
import threading
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, BinaryIO

from assistant.speech.errors import Trouble

PATIENCE_S = 10.0
TRIES = 6
ALIKE = 0.02
EMPTY_BYTES = 100
"""A WAV file's head is 44 bytes; the shortest word is hundreds of times longer than this."""


def engine() -> Any:
    """The speech engine over the library and voices that the package `espeakng-loader` carries."""
    import espeakng_loader

    ctypes.CDLL(espeakng_loader.get_library_path(), mode=ctypes.RTLD_GLOBAL)
    os.environ["ESPEAK_DATA_PATH"] = espeakng_loader.get_data_path()
    import pyttsx3

    return pyttsx3.init("espeak")


def voice_id(voices: Sequence[str], language: str) -> str:
    """The engine's own name for a language's voice ("bnt/sw" for "sw"). ValueError when it has none.

    The engine takes an unknown name without a word and goes on in the voice it had: so look it up first.
    """
    for voice in voices:
        if voice.rpartition("/")[2] == language:
            return voice
    raise ValueError(f"there is no voice for the language {language!r}")


def settle() -> None:
    """Wait until the library has come to rest. It takes a new voice or rate in a thread of its own, and the
    engine, finding it busy, would cancel the clip that comes next."""
    from pyttsx3.drivers import _espeak

    _espeak.Synchronize()


def whole(clip: Callable[[], bytes]) -> bytes:
    """The first clip that is as long as one made before. On a busy machine the engine now and then cancels a clip
    without a word and leaves it empty or cut off; clips of the same words differ by a few samples only.

    Raises RuntimeError when no two of TRIES agree.
    """
    lengths: list[int] = []
    for _ in range(TRIES):
        made = clip()
        if len(made) > EMPTY_BYTES and any(abs(len(made) - other) <= ALIKE * other for other in lengths):
            return made
        lengths.append(len(made))
    raise RuntimeError(f"no two of {TRIES} clips were alike; they have {lengths} bytes")


def render(speaker: Any, voice: str, rate: int, text: str) -> bytes:
    """One clip as the bytes of a WAV file. Raises RuntimeError when the engine does not come to an end."""
    finished = threading.Event()
    waiting = speaker.connect("finished-utterance", lambda **_: finished.set())
    speaker.setProperty("voice", voice)
    speaker.setProperty("rate", rate)
    settle()
    clip = io.BytesIO()
    speaker.save_to_file(text, clip)
    speaker.runAndWait()  # may return before the clip is written, so wait for the end itself
    in_time = finished.wait(PATIENCE_S)
    speaker.disconnect(waiting)
    if not in_time:
        raise RuntimeError(f"the engine did not finish {text!r} in {PATIENCE_S} s")
    return clip.getvalue()


def serve(requests: BinaryIO, answers: BinaryIO) -> None:
    """Answer requests until the input ends."""
    try:
        speaker = engine()
    except (ImportError, OSError, RuntimeError) as error:
        _answer(answers, error=Trouble.NO_SYNTHESISER, why=str(error))
        return
    voices = [voice.id for voice in speaker.getProperty("voices")]
    _answer(answers)
    for line in requests:
        asked = json.loads(line)
        try:
            voice = voice_id(voices, asked["voice"])
            clip = whole(partial(render, speaker, voice, asked["rate"], asked["text"]))
        except (ValueError, RuntimeError) as error:
            _answer(answers, error=Trouble.VOICE_MISSING, why=str(error))
        else:
            _answer(answers, clip)


def _answer(answers: BinaryIO, clip: bytes = b"", error: str = "", why: str = "") -> None:
    head = {"bytes": len(clip), "error": error, "why": why}
    answers.write(json.dumps(head).encode() + b"\n" + clip)
    answers.flush()


def main() -> None:
    """Keep the terminal clean: the engine's prints go nowhere, answers go out by their own handle."""
    answers = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    serve(sys.stdin.buffer, answers)


if __name__ == "__main__":
    main()

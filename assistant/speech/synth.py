"""Words to sound: rendered by a child process that stays ready, and kept on disk for the next time."""

import hashlib
import io
import json
import subprocess
import sys
import threading
import unicodedata
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from concurrent.futures import TimeoutError as Late
from enum import StrEnum
from importlib import metadata
from pathlib import Path
from types import MappingProxyType

from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Sound, read_sound, write_sound

VOICES: Mapping[str, str] = MappingProxyType({"en": "en", "pt": "pt", "fr": "fr", "sw": "sw"})
"""The synthesiser's voice for each language; a language that is not listed is asked for by its own code."""
PATIENCE_S = 20.0
"""A child that has not answered by then is ended: a clip takes some hundredths of a second."""
CACHE_LIMIT_BYTES = 100_000_000
LETTER_JOINERS = "-'’"


class Pace(StrEnum):
    USUAL = "usual"
    SLOW = "slow"


WORDS_A_MINUTE: Mapping[Pace, int] = MappingProxyType({Pace.USUAL: 165, Pace.SLOW: 110})


def check_words(text: str) -> None:
    """Raise `SpeechError` (not_words) for a digit or a sign: the synthesiser loses them without a word.

    Source: measured, espeak-ng 1.51 and 1.52 drop the minus of "-1,75" (fr, sw) and the point of "1.75" (pt).
    """
    for place, character in enumerate(text):
        if _readable(text, place):
            continue
        raise SpeechError(
            Trouble.NOT_WORDS,
            f"{text!r} holds {character!r}; only words can be spoken, with numbers and signs spelt out",
        )


def _readable(text: str, place: int) -> bool:
    character = text[place]
    if character in LETTER_JOINERS:
        return 0 < place < len(text) - 1 and text[place - 1].isalpha() and text[place + 1].isalpha()
    category = unicodedata.category(character)
    return category[0] in "LMZ" or category == "Cc" or character in '.,;:!?¡¿«»“”"()…'


class Synthesiser:
    """Renders words. Thread-safe; the child is started with the first clip that is not in the cache."""

    def __init__(self, cache: Path, voices: Mapping[str, str] = VOICES) -> None:
        self.cache, self._voices = cache, voices
        self._lock = threading.Lock()
        self._child: _Child | None = None
        self._storing = True

    def render(self, text: str, language: str, pace: Pace = Pace.USUAL) -> Sound:
        """The sound of `text`. Raises `SpeechError`: not_words, voice_missing or no_synthesiser."""
        check_words(text)
        voice, rate = self._voices.get(language, language), WORDS_A_MINUTE[pace]
        kept = self.cache / f"{cache_key(voice, rate, text)}.flac"
        with self._lock:
            sound = _kept(kept)
            if sound is None:
                sound = read_wav(self._render(voice, rate, text))
                self._keep(kept, sound)
            return sound

    def close(self) -> None:
        with self._lock:
            if self._child is not None:
                self._child.end()
            self._child = None

    def _render(self, voice: str, rate: int, text: str) -> bytes:
        try:
            return self._running().clip(voice, rate, text)
        except _ChildLostError:
            self._child = None
        try:  # once more with a fresh child: the last may have been killed for its memory
            return self._running().clip(voice, rate, text)
        except _ChildLostError as lost:
            self._child = None
            raise SpeechError(Trouble.NO_SYNTHESISER, f"the synthesiser does not answer ({lost})") from lost

    def _running(self) -> "_Child":
        if self._child is None:
            self._child = _Child()
        return self._child

    def _keep(self, path: Path, sound: Sound) -> None:
        """Keep the clip; a full disk costs the cache, never the prompt."""
        if not self._storing:
            return
        try:
            self.cache.mkdir(parents=True, exist_ok=True)
            part = path.with_suffix(".part.flac")
            write_sound(part, sound)
            part.replace(path)
            trim_cache(self.cache, CACHE_LIMIT_BYTES)
        except (OSError, SpeechError):
            self._storing = False


def _kept(path: Path) -> Sound | None:
    """The clip in the cache; None where there is none that can be read: it is then made anew and written over."""
    if not path.exists():
        return None
    try:
        path.touch()
        return read_sound(path)
    except (OSError, SpeechError):
        return None


def cache_key(voice: str, rate: int, text: str) -> str:
    """Names a clip by all that makes its sound: voice, rate, words and the versions that render it."""
    made_by = "/".join(metadata.version(package) for package in ("espeakng-loader", "pyttsx3"))
    return hashlib.sha256(f"{made_by}|{voice}|{rate}|{text}".encode()).hexdigest()[:32]


def trim_cache(folder: Path, limit_bytes: int) -> None:
    """Delete the clips unused for longest until the folder is within its limit."""
    clips = sorted(folder.glob("*.flac"), key=lambda path: path.stat().st_mtime)
    total = sum(path.stat().st_size for path in clips)
    for path in clips:
        if total <= limit_bytes:
            return
        total -= path.stat().st_size
        path.unlink(missing_ok=True)


def read_wav(data: bytes) -> Sound:
    """The bytes of a WAV file of one channel and 16 bits. Raises `SpeechError` when it holds none."""
    import soundfile

    try:
        samples, rate = soundfile.read(io.BytesIO(data), dtype="int16")
    except soundfile.LibsndfileError as error:
        raise SpeechError(Trouble.VOICE_MISSING, f"the synthesiser gave no sound ({error})") from error
    return Sound(samples, int(rate))


class _ChildLostError(Exception):
    """The child ended or does not answer."""


class _Child:
    """One synthesiser process. Raises `SpeechError` (no_synthesiser) when it cannot speak at all."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "assistant.speech.synth_child"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=Path(__file__).parents[2],  # where `assistant` is found, installed or not
        )
        self._reader = ThreadPoolExecutor(1, thread_name_prefix="synthesiser")
        try:
            self._answer()
        except _ChildLostError as lost:
            raise SpeechError(Trouble.NO_SYNTHESISER, f"the synthesiser did not start ({lost})") from lost
        except SpeechError:
            self.end()
            raise

    def clip(self, voice: str, rate: int, text: str) -> bytes:
        request = json.dumps({"voice": voice, "rate": rate, "text": text}).encode() + b"\n"
        try:
            assert self._process.stdin is not None
            self._process.stdin.write(request)
            self._process.stdin.flush()
        except OSError as error:
            self.end()
            raise _ChildLostError(str(error)) from error
        return self._answer()

    def _answer(self) -> bytes:
        try:
            head, clip = self._reader.submit(self._read).result(PATIENCE_S)
        except (Late, ValueError, EOFError) as error:
            self.end()
            raise _ChildLostError(f"no answer: {type(error).__name__}") from error
        if head["error"]:
            raise SpeechError(Trouble(head["error"]), f"nothing can be spoken: {head['why']}")
        return clip

    def _read(self) -> tuple[dict[str, str], bytes]:
        answers = self._process.stdout
        assert answers is not None
        line = answers.readline()
        if not line:
            raise EOFError
        head = json.loads(line)
        clip = answers.read(head["bytes"])
        if len(clip) < head["bytes"]:
            raise EOFError
        return head, clip

    def end(self) -> None:
        """End the process. Its pipes close by themselves, so that a waiting read returns."""
        self._process.kill()
        self._process.wait()
        self._reader.shutdown(wait=True)
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                try:
                    pipe.close()
                except BrokenPipeError:
                    continue  # what was not yet sent has no reader any more

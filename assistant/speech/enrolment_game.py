"""The spoken game of enrolment: a word, a tone, the helper says it; each word three times in mixed order.

What is recorded is on disk before the next word comes, so the game goes on where it stopped.
"""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Protocol

from assistant.language.lexicon import lexicon
from assistant.language.lexicon_file import Lexicon
from assistant.language.listening import Listening, Words
from assistant.speech.level import CLIPPED, MIDDLING_DB, measure
from assistant.speech.sound import Sound, write_sound

TAKES = 3
TRIES = 3
"""A word that comes out badly so often is left for the next time."""
SILENT_TURNS = 3
"""Words in a row without any answer: nobody is there, or the microphone is off."""
QUIET_DB = -45.0
"""Speech below this, in decibels under full scale, is too soft (no source)."""
LONGEST_S = 3.5
"""A longer recording holds more than the word."""
CLIPS = "clips"


@dataclass(frozen=True, slots=True)
class Turn:
    """One word to say. `value` stands for it on the screen: a digit, a sign, or the id of a command."""

    kind: Listening
    value: str
    word: str
    path: Path


class Verdict(StrEnum):
    """How a recording is, by its sound alone."""

    GOOD = "good"
    TOO_QUIET = "too_quiet"
    TOO_LOUD = "too_loud"
    NOISY = "noisy"
    TOO_LONG = "too_long"


class Wish(StrEnum):
    """What the helper asked for by key."""

    HEAR = "hear"
    """Play the last word back."""
    REDO = "redo"
    """Say the last word again."""
    STOP = "stop"


class Stage(Protocol):
    """Screen, speaker and microphone, as the game uses them. Each may raise SpeechError."""

    def ask(self, turn: Turn, done: int, of: int) -> None:
        """Show and say the word, then the tone."""

    def take(self) -> Sound | None:
        """What was said; None for silence."""

    def tell(self, verdict: Verdict | None) -> None:
        """How it was; None: nothing was heard."""

    def play(self, sound: Sound) -> None:
        """Let the helper hear a recording."""

    def wish(self) -> Wish | None:
        """What was asked for since the last call."""


def turns(language: str, folder: Path) -> tuple[Turn, ...]:
    """All that is still to be said, in its order, and the files it goes to below `folder`."""
    of = lexicon(language)
    words = [(Listening.DIGIT, str(n), said[0]) for n, said in enumerate(of.digits)]
    words += [(Listening.COMMANDS, command, said[0]) for command, said in of.commands.items()]
    if not of.rules:  # all that there is must be learnt
        words += [(Listening.POWER, mark, said[0]) for mark, said in _marks(of).items()]
        words += _others(of)
    rounds: list[Turn] = []
    for take in range(1, TAKES + 1):
        mixed = random.Random(take).sample(words, len(words))
        if rounds and mixed[0][2] == rounds[-1].word:
            mixed.append(mixed.pop(0))
        rounds += [Turn(kind, value, word, folder / word / f"{take}.flac") for kind, value, word in mixed]
    return tuple(turn for turn in rounds if not turn.path.is_file())


def _marks(of: Lexicon) -> dict[str, Words]:
    return {"+": of.signs["plus"], "-": of.signs["minus"], ".": of.decimal_point}


def _others(of: Lexicon) -> Iterator[tuple[Listening, str, str]]:
    """The other words for the same."""
    yield from ((Listening.DIGIT, str(n), word) for n, said in enumerate(of.digits) for word in said[1:])
    yield from ((Listening.COMMANDS, name, word) for name, said in of.commands.items() for word in said[1:])
    yield from ((Listening.POWER, mark, word) for mark, said in _marks(of).items() for word in said[1:])


def judged(sound: Sound) -> Verdict:
    """Whether a recording of a tenth of a second or more can be used."""
    level = measure(sound)
    if level.clipped > CLIPPED:
        return Verdict.TOO_LOUD
    if level.speech_db < QUIET_DB:
        return Verdict.TOO_QUIET
    if level.over_noise_db < MIDDLING_DB:
        return Verdict.NOISY
    return Verdict.TOO_LONG if sound.seconds > LONGEST_S else Verdict.GOOD


class Ended(StrEnum):
    """Why the game is over."""

    DONE = "done"
    STOPPED = "stopped"
    SILENT = "silent"


class Game:
    """Goes through the turns. `kept` counts what was recorded."""

    def __init__(self, wanted: Sequence[Turn], stage: Stage) -> None:
        self._waiting, self._stage = list(wanted), stage
        self._of = len(wanted)
        self._last: tuple[Turn, Sound] | None = None
        self._wish: Wish | None = None
        self._silent = 0
        self.kept = 0

    def play(self) -> Ended:
        """Until all is said, the helper stops, or nobody answers. Raises SpeechError; what was kept stays."""
        while self._waiting or self._wished():
            if self._wished():
                if not self._granted():
                    return Ended.STOPPED
                continue
            turn = self._waiting.pop(0)
            sound = self._said(turn)
            if sound is not None:
                keep(sound, turn.path)
                self._last = (turn, sound)
                self.kept += 1
            elif self._wish is not None:
                self._waiting.insert(0, turn)
            elif self._silent >= SILENT_TURNS:
                return Ended.SILENT
        return Ended.DONE

    def _said(self, turn: Turn) -> Sound | None:
        """A good recording of the word; None where there was none in so many tries, or a key was pressed."""
        heard = False
        for _ in range(TRIES):
            self._stage.ask(turn, self.kept, self._of)
            if self._wished():
                return None
            sound = self._stage.take()
            verdict = None if sound is None else judged(sound)
            self._stage.tell(verdict)
            heard = heard or sound is not None
            if verdict is Verdict.GOOD:
                self._silent = 0
                return sound
        self._silent = 0 if heard else self._silent + 1
        return None

    def _wished(self) -> bool:
        """Whether a key was pressed: pressed while the next word is asked for, it means the word before."""
        self._wish = self._wish or self._stage.wish()
        return self._wish is not None

    def _granted(self) -> bool:
        """Do what was wished for; False: stop."""
        wish, self._wish = self._wish, None
        if wish is Wish.STOP:
            return False
        if self._last is not None:
            turn, sound = self._last
            if wish is Wish.HEAR:
                self._stage.play(sound)
            else:
                turn.path.unlink(missing_ok=True)
                self._waiting.insert(0, turn)
                self._last, self.kept = None, self.kept - 1
        return True


def keep(sound: Sound, path: Path) -> None:
    """Write a recording in one step: a power cut leaves no torn file. Raises SpeechError or OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f".{path.name}")
    write_sound(draft, sound)
    draft.replace(path)

"""Prompt packs: recordings of a person in place of the synthesiser, phrase by phrase.

A pack is a folder: `<language>/<prompt id>.flac`, and `<language>/words/<word>.flac` for words of numbers.
A prompt with figures in it is recorded in parts, `<prompt id>.1.flac` before the first figure and so on; one
that differs by eye as `<prompt id>@right.flac`. What is missing is synthesised.

A language without sentences of its own has a folder too: what is in it is played in place of the phrases of the
language that is spoken instead.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.language.prompts import NONE, Spoken, prompts, say
from assistant.language.spell import spell_number
from assistant.speech.errors import SpeechError
from assistant.speech.level import trimmed
from assistant.speech.sound import Sound, joined, read_sound
from assistant.workflow.steps import SAID_FIELDS

GAP_S = 0.06
"""Silence between recorded phrases (by ear, no source)."""
TO_BE_SAID = frozenset(f"field-{name}" for name in SAID_FIELDS)
"""Prompts of numbers that try whether the helper is understood. They are never said in the helper's own takes: a word
learnt under a wrong name would be repeated under it, and pass."""
NOTHING = Sound(np.zeros(1600, np.int16), 16000)
"""The number is read off the screen."""
_OTHERS = ("right", "left", NONE)
"""Texts that choose a form of a prompt."""
Args = Mapping[str, Spoken | str]
Synthesise = Callable[[str], Sound]
Takes = Callable[[str], Path | None]
"""The folder in which the helper at the bench said the words of a language, each in a folder of its name; None for
none."""

_OPEN, _CLOSE = "\ue000", "\ue001"  # private characters: no prompt has them
_FIGURE = re.compile(f"{_OPEN}(.*?){_CLOSE}")


@dataclass(frozen=True, slots=True)
class Phrase:
    """A part of a prompt: fixed words with the name of their recording, or the words of a figure."""

    text: str
    recording: str | None = None
    figure: Spoken | None = None


def phrases_of(text_id: str, language: str, args: Args) -> tuple[Phrase, ...]:
    """A prompt in the parts that are recorded one by one. Raises what `say` raises."""
    if text_id in prompts(language).uses:
        _, optional = prompts(language).needs(text_id)
        args = {**dict.fromkeys(optional, NONE), **args}
    marked = {
        name: value if isinstance(value, str) else f"{_OPEN}{name}{_CLOSE}" for name, value in args.items()
    }
    parts = _FIGURE.split(say(text_id, language, **marked))
    fixed = [part for part in parts[::2] if _has_letters(part)]
    variant = "".join(f"@{args[name]}" for name in _variants(text_id, language, args, marked))
    found: list[Phrase] = []
    for place, part in enumerate(parts):
        if place % 2:
            figure = args[part]
            assert isinstance(figure, Spoken)
            found.append(Phrase(spell_number(figure.value, figure.kind, language), figure=figure))
        elif _has_letters(part):
            number = f".{fixed.index(part) + 1}" if len(fixed) > 1 else ""
            found.append(Phrase(part.strip(), f"{text_id}{variant}{number}"))
    return tuple(found)


class Pack:
    """One folder of recordings; an empty or missing folder is a pack of nothing."""

    def __init__(self, folder: Path, takes: Takes = lambda _language: None) -> None:
        self._folder, self._takes = folder, takes

    def sound(
        self, text_id: str, language: str, args: Args, synthesise: Synthesise, own: str = ""
    ) -> Sound | None:
        """The prompt with every recording there is, the rest synthesised; None where there is none at all.

        `own`: the helper's language, where it has no sentences. Its recordings go before those of `language`, and a
        figure is said in it where each of its words was recorded for the pack or said by the helper.
        Raises what `say` and `synthesise` raise. A recording that cannot be read counts as missing.
        """
        phrases = phrases_of(text_id, language, args)
        recorded = [
            (self._in_own(phrase, own, text_id) if own else None) or self._recorded(phrase, language)
            for phrase in phrases
        ]
        if not any(recorded):
            return None
        sounds = [found or synthesise(phrase.text) for found, phrase in zip(recorded, phrases, strict=True)]
        return joined(sounds, GAP_S)

    def path(self, language: str, recording: str) -> Path:
        return self._folder / language / f"{recording}.flac"

    def word_path(self, language: str, word: str) -> Path:
        return self._folder / language / "words" / f"{word}.flac"

    def _recorded(self, phrase: Phrase, language: str) -> Sound | None:
        if phrase.recording is not None:
            return _read(self.path(language, phrase.recording))
        return _words(self.word_path(language, word) for word in phrase.text.split())

    def _in_own(self, phrase: Phrase, own: str, text_id: str) -> Sound | None:
        if phrase.figure is None:
            return self._recorded(phrase, own)
        words = spell_number(phrase.figure.value, phrase.figure.kind, own).split()
        if text_id in TO_BE_SAID:
            return _words(self.word_path(own, word) for word in words) or NOTHING
        return _words(self._own_word(own, word) for word in words)

    def _own_word(self, own: str, word: str) -> Path:
        """The recording made for the pack, else the helper's first take."""
        path, folder = self.word_path(own, word), self._takes(own)
        if path.exists() or folder is None:
            return path
        return min((folder / word).glob("[!.]*.flac"), default=path)


def _words(paths: Iterable[Path]) -> Sound | None:
    """Words one after another, without the pauses that they were recorded with."""
    found = [_read(path) for path in paths]
    said = [trimmed(sound) for sound in found if sound is not None]
    return joined(said, GAP_S) if said and len(said) == len(found) else None


def _read(path: Path) -> Sound | None:
    try:
        return read_sound(path)
    except SpeechError:
        return None


def _has_letters(part: str) -> bool:
    return any(character.isalpha() for character in part)


def _variants(text_id: str, language: str, args: Args, marked: Mapping[str, str]) -> list[str]:
    """The text arguments that change what is said: only these are in the name of the recording."""
    said = say(text_id, language, **marked)
    texts = [name for name, value in sorted(args.items()) if isinstance(value, str)]
    return [
        name
        for name in texts
        if any(say(text_id, language, **{**marked, name: other}) != said for other in _OTHERS)
    ]

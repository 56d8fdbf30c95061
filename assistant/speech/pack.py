"""Prompt packs: recordings of a person in place of the synthesiser, phrase by phrase.

A pack is a folder: `<language>/<prompt id>.flac`, and `<language>/words/<word>.flac` for words of numbers.
A prompt with figures in it is recorded in parts, `<prompt id>.1.flac` before the first figure and so on; one
that differs by eye as `<prompt id>@right.flac`. What is missing is synthesised.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from assistant.language.prompts import NONE, Spoken, prompts, say
from assistant.language.spell import spell_number
from assistant.speech.errors import SpeechError
from assistant.speech.sound import Sound, joined, read_sound

GAP_S = 0.06
"""Silence between recorded phrases (by ear, no source)."""
_OTHERS = ("right", "left", NONE)
"""Texts that choose a form of a prompt."""
Args = Mapping[str, Spoken | str]
Synthesise = Callable[[str], Sound]

_OPEN, _CLOSE = "\ue000", "\ue001"  # private characters: no prompt has them
_FIGURE = re.compile(f"{_OPEN}(.*?){_CLOSE}")


@dataclass(frozen=True, slots=True)
class Phrase:
    """A part of a prompt: fixed words with the name of their recording, or the words of a figure."""

    text: str
    recording: str | None = None


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
            found.append(Phrase(spell_number(figure.value, figure.kind, language)))
        elif _has_letters(part):
            number = f".{fixed.index(part) + 1}" if len(fixed) > 1 else ""
            found.append(Phrase(part.strip(), f"{text_id}{variant}{number}"))
    return tuple(found)


class Pack:
    """One folder of recordings; an empty or missing folder is a pack of nothing."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def sound(self, text_id: str, language: str, args: Args, synthesise: Synthesise) -> Sound | None:
        """The prompt with every recording there is, the rest synthesised; None where there is none at all.

        Raises what `say` and `synthesise` raise. A recording that cannot be read counts as missing.
        """
        phrases = phrases_of(text_id, language, args)
        recorded = [self._recorded(phrase, language) for phrase in phrases]
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
            paths = [self.path(language, phrase.recording)]
        else:
            paths = [self.word_path(language, word) for word in phrase.text.split()]
        if not paths or not all(path.exists() for path in paths):
            return None
        try:
            return joined([read_sound(path) for path in paths], GAP_S)
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

"""What a prompt pack can hold, and one recording made with care: measured, played back, kept or made again."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from assistant.language.lexicon import lexicon, sentences_in
from assistant.language.listening import Listening
from assistant.language.prompts import NONE, Spoken, prompts
from assistant.language.spell import spell_number
from assistant.speech.ear import Takes
from assistant.speech.level import Face, face_of_speech, measure
from assistant.speech.pack import Args, Pack, phrases_of
from assistant.speech.segment import Found, Pauses, Segmenter
from assistant.speech.sound import Sound, write_sound

WHOLE_SENTENCES = Pauses(long_s=1.2, most_s=40.0)
"""A sentence read out has longer pauses than a number."""
EYES = ("right", "left")
_SAMPLE_FIGURE = Spoken(Listening.COUNT, 1)


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to record: the words to say and the file they go to."""

    text: str
    path: Path


class Choice(StrEnum):
    KEEP = "keep"
    AGAIN = "again"
    SKIP = "skip"
    STOP = "stop"


def lines(pack: Pack, language: str) -> tuple[Line, ...]:
    """Everything that a pack of this language can hold: the number words first, then the phrases of prompts.

    Of a language without sentences these stand in the one that is spoken instead, to be said in the other.
    """
    words = (Line(word, pack.word_path(language, word)) for word in _number_words(language))
    said = {line.path: line for line in (*words, *_phrases(pack, language))}
    return tuple(said.values())


def record_lines(
    wanted: tuple[Line, ...],
    take: Callable[[Line], Sound],
    play: Callable[[Sound], None],
    choose: Callable[[Line, Face], Choice],
) -> int:
    """Record each line: take it, play it back, let the speaker choose. The count of those kept.

    Raises `SpeechError` when the microphone, the speaker or the disk fails; what was kept so far stays.
    """
    kept = 0
    for line in wanted:
        choice = Choice.AGAIN
        while choice is Choice.AGAIN:
            sound = take(line)
            play(sound)
            choice = choose(line, face_of_speech(measure(sound)))
        if choice is Choice.STOP:
            break
        if choice is Choice.KEEP:
            line.path.parent.mkdir(parents=True, exist_ok=True)
            write_sound(line.path, sound)
            kept += 1
    return kept


def until_silence(microphone: Takes, segmenter: Segmenter) -> Sound:
    """What is said into the microphone, until the speaker is silent. Raises `SpeechError`, as it does."""
    microphone.open()
    try:
        while segmenter.feed(microphone.block()) is not Found.END:
            continue
        return segmenter.sound()
    finally:
        microphone.close()


def _number_words(language: str) -> Iterator[str]:
    """Every word the program itself uses for figures, in the order it first needs them."""
    known = lexicon(language)
    seen: dict[str, None] = {}
    for number in (*range(101), 110, 150, 175, 200, 300, 500, 900, 1000):
        seen |= dict.fromkeys(spell_number(number, Listening.COUNT, language).split())
    for digit in range(10):
        seen |= dict.fromkeys(spell_number(str(digit), Listening.DIGIT, language).split())
    for figure in ("-2.25", "2.25", "0"):
        seen |= dict.fromkeys(spell_number(figure, Listening.POWER, language).split())
    for said in known.commands.values():
        seen |= dict.fromkeys(said[0].split())
    return iter(seen)


def _phrases(pack: Pack, language: str) -> Iterator[Line]:
    spoken = sentences_in(language)
    for text_id, args in _sentences(spoken):
        for phrase in phrases_of(text_id, spoken, args):
            if phrase.recording is not None:
                yield Line(phrase.text, pack.path(language, phrase.recording))


def _sentences(language: str) -> Iterator[tuple[str, Args]]:
    """Every prompt in each of its forms: for either eye, with its figures and without those it can spare."""
    of = prompts(language)
    parts = frozenset[str]().union(*(uses.messages for uses in of.uses.values()))
    for text_id in sorted(of.uses.keys() - parts):  # what is only a part of other prompts is never said alone
        variables, optional = of.needs(text_id)
        for eye in EYES if "eye" in variables else EYES[:1]:
            full: dict[str, Spoken | str] = {
                name: eye if name == "eye" else _SAMPLE_FIGURE for name in sorted(variables)
            }
            yield text_id, full
            if optional:
                yield text_id, {**full, **dict.fromkeys(optional, NONE)}

"""`assistant voice record`: prompts and number words in a person's voice, guided."""

import argparse
from pathlib import Path
from typing import Final

from assistant.language.lexicon import LANGUAGES, lexicon, sentences_in
from assistant.speech.capture import Microphone
from assistant.speech.level import Face
from assistant.speech.new_language import bring_all
from assistant.speech.pack import Pack
from assistant.speech.player import Player
from assistant.speech.recording import WHOLE_SENTENCES, Choice, Line, lines, record_lines, until_silence
from assistant.speech.segment import Segmenter, best_detector
from assistant.speech.sound import Sound
from assistant.speech.tones import Chime, chime


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--language", default="en", metavar="CODE", help=f"{', '.join(LANGUAGES)} or an enrolled one"
    )
    parser.add_argument("--words", action="store_true", help="the words of numbers only")
    parser.add_argument("--all", action="store_true", help="also what is recorded already")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where the recordings are kept")


def run(arguments: argparse.Namespace, home: Path) -> int:
    """One line after another is shown, said, played back and kept or said again.

    Raises LanguageError for a language that is not known, or a file of words that cannot be used.
    """
    bring_all(home)
    spoken = sentences_in(arguments.language)
    pack = Pack(home / "recordings")
    wanted = tuple(
        line
        for line in lines(pack, arguments.language)
        if (arguments.all or not line.path.exists())
        and (line.path.parent.name == "words" or not arguments.words)
    )
    player = Player()
    print(f"{len(wanted)} to record, into {home / 'recordings'}. Wait for the tone before you speak.")
    if spoken != arguments.language:
        print(
            f"The sentences stand here in {lexicon(spoken).name}: say each in {lexicon(arguments.language).name}."
        )
    kept = record_lines(
        wanted, lambda line: _taken(line, player), lambda sound: player.play(sound, lambda: True), _chosen
    )
    print(f"{kept} recorded; what is missing is spoken by the synthesiser")
    return 0


def _taken(line: Line, player: Player) -> Sound:
    print(f"\n    {line.text}")
    player.play(chime(Chime.LISTENING), lambda: True)
    return until_silence(Microphone(), Segmenter(best_detector(), WHOLE_SENTENCES))


def _chosen(_line: Line, face: Face) -> Choice:
    """What to do with a recording; an answer that is none of the letters is asked again."""
    advice = "" if face is Face.GOOD else " (nearer to the microphone, or a quieter place)"
    while True:
        answer = input(f"    level: {face}{advice}. Keep (Enter), again (a), skip (s), stop (q)? ").strip()
        if answer in _CHOICES:
            return _CHOICES[answer]


_CHOICES: Final = {"": Choice.KEEP, "a": Choice.AGAIN, "s": Choice.SKIP, "q": Choice.STOP}

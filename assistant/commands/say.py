"""`assistant say`: speak a prompt by its id, or words, into a file."""

import argparse
from pathlib import Path

from assistant.commands import unusable
from assistant.config import home_folder
from assistant.language.lexicon import LANGUAGES
from assistant.language.prompts import NONE, PromptError, prompts, say
from assistant.speech.equipment import synthesiser
from assistant.speech.errors import SpeechError
from assistant.speech.sound import write_sound
from assistant.speech.synth import Pace


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.description = "Speak a prompt by its id, or words; numbers must be spelt in words."
    parser.add_argument("what", metavar="ID|TEXT")
    parser.add_argument("--language", default="en", choices=LANGUAGES)
    parser.add_argument("--out", required=True, type=Path, metavar="FILE", help="a .wav or .flac file")
    parser.add_argument("--slow", action="store_true")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where spoken clips are cached")


def run(arguments: argparse.Namespace) -> int:
    """0 when the file is written, 2 for what cannot be said."""
    voice = synthesiser(home_folder(arguments.home))
    try:
        text = words_of(arguments.what, arguments.language)
        sound = voice.render(text, arguments.language, Pace.SLOW if arguments.slow else Pace.USUAL)
        write_sound(arguments.out, sound)
    except (SpeechError, PromptError, OSError) as error:
        return unusable("say", error)
    finally:
        voice.close()
    print(f"{arguments.out}: {text} ({sound.seconds:.1f} s)")
    return 0


def words_of(what: str, language: str) -> str:
    """A prompt's sentence where `what` is an id, else `what` itself. Raises `PromptError` if it needs figures."""
    known = prompts(language)
    if what not in known.uses:
        return what
    variables, optional = known.needs(what)
    missing = variables - optional - {"eye"}
    if missing:
        raise PromptError(
            f"{what} needs figures ({', '.join(sorted(missing))}); say its sentence as text instead"
        )
    return say(what, language, **dict.fromkeys(variables & {"eye"}, "right"), **dict.fromkeys(optional, NONE))

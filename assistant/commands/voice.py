"""`assistant voice`: which number models there are, fitting one to a helper, recording prompts."""

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from assistant.config import home_folder
from assistant.language.lexicon import LANGUAGES
from assistant.speech import acoustic_file
from assistant.speech.capture import Microphone
from assistant.speech.enrolment import Clip, fit
from assistant.speech.errors import SpeechError
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.level import Face
from assistant.speech.model_folder import number_model, pronunciations
from assistant.speech.pack import Pack
from assistant.speech.player import Player
from assistant.speech.recording import WHOLE_SENTENCES, Choice, Line, lines, record_lines, until_silence
from assistant.speech.segment import Segmenter, best_detector
from assistant.speech.sound import Sound, read_sound
from assistant.speech.tones import Chime, chime

UNUSABLE: Final = 2
SOUNDS: Final = frozenset({".wav", ".flac"})
_TAKE = re.compile(r"[-_.]\d+$")
_NAME = re.compile(r"\w[\w-]*")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", required=True, metavar="action")
    models = actions.add_parser("models", help="list the number models and check them")
    models.add_argument("--home", type=Path, metavar="DIR", help="where helpers' models are kept")
    record = actions.add_parser("record", help="record prompts and number words in place of the synthesiser")
    record.add_argument("--language", default="en", metavar="CODE", choices=LANGUAGES)
    record.add_argument("--words", action="store_true", help="the words of numbers only")
    record.add_argument("--all", action="store_true", help="also what is recorded already")
    record.add_argument("--home", type=Path, metavar="DIR", help="where the recordings are kept")
    enrol = actions.add_parser("enrol", help="fit a number model to a helper's own recordings")
    enrol.add_argument("--helper", required=True, metavar="NAME")
    enrol.add_argument("--language", default="en", choices=LANGUAGES)
    enrol.add_argument(
        "--from",
        dest="folder",
        required=True,
        type=Path,
        metavar="FOLDER",
        help="recordings named for what is said in them: seven/1.wav, seven-2.flac, seven_3.wav",
    )
    enrol.add_argument("--home", type=Path, metavar="DIR", help="where helpers' models are kept")


def run(arguments: argparse.Namespace) -> int:
    """0 when done; 2 for a model that is damaged or recordings that cannot be used."""
    try:
        home = home_folder(arguments.home)
        return _ACTIONS[arguments.action](arguments, home)
    except (ModelFormatError, SpeechError, ValueError, OSError) as error:
        print(f"assistant voice: {error}", file=sys.stderr)
        return UNUSABLE


def clips_in(folder: Path, words: frozenset[str]) -> list[Clip]:
    """The recordings of a folder, each with its word: that of its name, else of the folder it is in.

    Raises ValueError naming the first file whose word is not in `words`; SpeechError for one that is no sound.
    """
    if not folder.is_dir():
        raise ValueError(f"{folder}: there is no such folder")
    clips = []
    for path in sorted(folder.rglob("*")):
        if path.suffix.lower() in SOUNDS:
            candidates = (_TAKE.sub("", path.stem).lower(), path.parent.name.lower())
            word = next((name for name in candidates if name in words), None)
            if word is None:
                raise ValueError(f"{path}: neither the file nor its folder is named for a word of the model")
            clips.append(Clip(read_sound(path), (word,)))
    return clips


def _enrol(arguments: argparse.Namespace, home: Path) -> int:
    if not _NAME.fullmatch(arguments.helper):
        raise ValueError(f"helper {arguments.helper!r} cannot be used; allowed are letters, digits, _ and -")
    shared = number_model(arguments.language)
    clips = clips_in(arguments.folder, frozenset(pronunciations(arguments.language, shared)))
    own = home / "helpers" / arguments.helper / arguments.language
    fit(shared, clips, own, told=_progress)
    print(f"{arguments.helper}: fitted to {len(clips)} recordings; the model is in {own}")
    return 0


def _progress(done: int, rounds: int, _loss: float) -> None:
    end = "\n" if done == rounds else ""
    print(f"\rround {done} of {rounds}", end=end, file=sys.stderr, flush=True)


def _record(arguments: argparse.Namespace, home: Path) -> int:
    """Guided: one line after another is shown, said, played back and kept or said again."""
    pack = Pack(home / "recordings")
    wanted = tuple(
        line
        for line in lines(pack, arguments.language)
        if (arguments.all or not line.path.exists())
        and (line.path.parent.name == "words" or not arguments.words)
    )
    player = Player()
    print(f"{len(wanted)} to record, into {home / 'recordings'}. Wait for the tone before you speak.")
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


def _models(_arguments: argparse.Namespace, home: Path) -> int:
    """One line a model; a damaged one is told on its line and makes the status 2."""
    damaged = 0
    for language in LANGUAGES:
        try:
            print(f"{language}: {_checked(language, number_model(language))}")
        except (ModelFormatError, OSError) as error:
            damaged += 1
            print(f"{language}: cannot be used: {error}")
    for path in sorted((home / "helpers").glob("*/*/am/final.mdl")):
        print(f"{path.parents[1].name}: fitted to {path.parents[2].name}, {path.parents[1]}")
    return UNUSABLE if damaged else 0


def _checked(language: str, folder: Path) -> str:
    path = folder / "am" / "final.mdl"
    data = path.read_bytes()
    acoustic_file.count_transitions(data, str(path))
    words = pronunciations(language, folder)
    return f"{len(data) / 1e6:.1f} MB, all {len(words)} words of the steps, {folder}"


_ACTIONS: Final[Mapping[str, Callable[[argparse.Namespace, Path], int]]] = {
    "models": _models,
    "record": _record,
    "enrol": _enrol,
}

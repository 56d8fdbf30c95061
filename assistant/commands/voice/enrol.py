"""`assistant voice enrol`: a number model fitted to a helper's own recordings."""

import argparse
import re
import sys
from pathlib import Path
from typing import Final

from assistant.language.lexicon import LANGUAGES
from assistant.speech.enrolment import Clip, fit
from assistant.speech.model_folder import number_model, pronunciations
from assistant.speech.sound import read_sound

SOUNDS: Final = frozenset({".wav", ".flac"})
_TAKE = re.compile(r"[-_.]\d+$")
_NAME = re.compile(r"\w[\w-]*")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--helper", required=True, metavar="NAME")
    parser.add_argument("--language", default="en", choices=LANGUAGES)
    parser.add_argument(
        "--from",
        dest="folder",
        required=True,
        type=Path,
        metavar="FOLDER",
        help="recordings named for what is said in them: seven/1.wav, seven-2.flac, seven_3.wav",
    )
    parser.add_argument("--home", type=Path, metavar="DIR", help="where helpers' models are kept")


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


def run(arguments: argparse.Namespace, home: Path) -> int:
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

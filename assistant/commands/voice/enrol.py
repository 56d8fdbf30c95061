"""`assistant voice enrol`: a number model fitted to a helper, at the microphone or from recordings."""

import argparse
import os
import re
import sys
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from assistant.bench.terminal import kept_for_the_screen
from assistant.commands.voice.game_plain import PlainView
from assistant.commands.voice.game_screen import GameApp
from assistant.commands.voice.lesson import Enrolment, Lesson
from assistant.language.lexicon import LANGUAGES, sentences_in
from assistant.language.phrases import vocabulary
from assistant.speech.comparison import Base
from assistant.speech.enrolment import Clip
from assistant.speech.enrolment_game import CLIPS, keep
from assistant.speech.equipment import helper_folder, synthesiser
from assistant.speech.model_folder import number_model
from assistant.speech.new_language import Sounds, bring_all, lend, nearest, take_words
from assistant.speech.own_model import enrol
from assistant.speech.pack import Pack
from assistant.speech.sound import read_sound
from assistant.speech.studio import Studio
from assistant.ui.glyphs import detect

SOUNDS: Final = frozenset({".wav", ".flac"})
_TAKE = re.compile(r"[-_.]\d+$")
_NAME = re.compile(r"\w[\w-]*")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--helper", required=True, metavar="NAME")
    parser.add_argument(
        "--language", default="en", metavar="CODE", help="one without a number model needs --words"
    )
    parser.add_argument(
        "--words", type=Path, metavar="FILE", help="a new language's digits, signs and commands (TOML)"
    )
    parser.add_argument(
        "--like",
        metavar="CODE",
        choices=LANGUAGES,
        help="a new language: whose sounds are lent; with --words also whose sentences, if the file names none",
    )
    parser.add_argument(
        "--from",
        dest="folder",
        type=Path,
        metavar="FOLDER",
        help="no game: recordings named for what is said in them: seven/1.wav, seven-2.flac, seven_3.wav",
    )
    parser.add_argument("--plain", action="store_true", help="line by line instead of a full screen")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where helpers' models are kept")


def run(arguments: argparse.Namespace, home: Path) -> int:
    """0 also where the fitted model is not kept or the game was stopped: the sentence says which."""
    if not _NAME.fullmatch(arguments.helper):
        raise ValueError(f"helper {arguments.helper!r} cannot be used; allowed are letters, digits, _ and -")
    of = _enrolment(arguments, home)
    if arguments.folder is None:
        print(_at_the_microphone(of, home, arguments.plain or not sys.stdout.isatty()))
        return 0
    clips = clips_in(arguments.folder, vocabulary(of.language))
    outcome = enrol(of.base, of.language, clips, of.own, _progress)
    if outcome.kept and of.language not in LANGUAGES:
        _keep_words(clips, of.own / CLIPS)
    print(f"{of.helper}: {outcome.sentence}")
    return 0


def _keep_words(clips: Sequence[Clip], folder: Path) -> None:
    """One recording of each word, for read-backs: no synthesiser says it. What the game recorded stays."""
    for clip in clips:
        of_word = folder / " ".join(clip.words)
        if not any(of_word.glob("*.flac")):
            keep(clip.sound, of_word / "1.flac")


def _enrolment(arguments: argparse.Namespace, home: Path) -> Enrolment:
    """From the language's own number model, or, for a language that has none, from the sounds of another's."""
    language = arguments.language
    if arguments.words is not None:
        take_words(home, arguments.words, language, arguments.like)
    known = bring_all(home)
    own = helper_folder(home, arguments.helper, language)
    if language in LANGUAGES:
        shared = number_model(language)
        return Enrolment(arguments.helper, language, lambda _clips, _draft: shared, own, language)
    if language not in known:
        raise ValueError(
            f"language {language!r} has no words; give them with --words, or choose {', '.join((*LANGUAGES, *known))}"
        )
    among = (arguments.like,) if arguments.like else LANGUAGES
    return Enrolment(arguments.helper, language, _lender(language, among), own, sentences_in(language))


def _lender(language: str, among: tuple[str, ...]) -> Base:
    """Begins from the model among these whose sounds fit the first recordings best."""
    chosen: list[Sounds] = []

    def base(clips: Sequence[Clip], draft: Path) -> Path:
        if not chosen:
            chosen.append(nearest(language, clips, among))
        return lend(chosen[0], language, clips, draft)

    return base


def clips_in(folder: Path, words: frozenset[str]) -> list[Clip]:
    """The recordings of a folder, each with its word or words: those of its name, else of the folder it is in.

    Raises ValueError naming the first file whose word is not in `words`; SpeechError for one that is no sound.
    """
    if not folder.is_dir():
        raise ValueError(f"{folder}: there is no such folder")
    clips = []
    for path in sorted(folder.rglob("*")):
        if path.suffix.lower() in SOUNDS and not path.name.startswith("."):
            clips.append(Clip(read_sound(path), _said(path, words)))
    return clips


def _said(path: Path, words: frozenset[str]) -> tuple[str, ...]:
    for name in (_TAKE.sub("", path.stem), path.parent.name):
        said = tuple(unicodedata.normalize("NFC", name).lower().split())
        if said and words.issuperset(said):
            return said
    raise ValueError(f"{path}: neither the file nor its folder is named for a word of the model")


def _at_the_microphone(of: Enrolment, home: Path, plain: bool) -> str:
    studio = Studio(synthesiser(home), Pack(home / "recordings"), of.prompts)
    lesson = Lesson(of, studio, lambda folder: clips_in(folder, vocabulary(of.language)))
    try:
        if plain:
            return lesson.give(PlainView(sys.stdin, sys.stdout))
        app = GameApp(lesson.give, detect(os.environ, sys.stdout.encoding))
        with kept_for_the_screen():
            told = app.run()
        if app.failure is not None:
            raise app.failure
        return told or ""
    finally:
        studio.synthesiser.close()
        if studio.trouble:
            print(f"assistant voice: without sound from the speaker: {studio.trouble}", file=sys.stderr)


def _progress(done: int, of: int) -> None:
    if sys.stderr.isatty():
        print(f"\rround {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)

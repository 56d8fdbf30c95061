"""`assistant voice models`: which number models there are and which is in use; fetching, importing, choosing one."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from assistant.commands import UNUSABLE, unusable
from assistant.language.lexicon import LANGUAGES
from assistant.speech.fetching import ADDRESS, KNOWN, FetchError, fetch
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.model_folder import number_model, pronunciations
from assistant.speech.model_zip import import_zip
from assistant.speech.other_models import (
    FOLDER,
    NAME,
    OWN,
    Make,
    choose,
    in_use,
    installed,
    make_of,
    model_named,
)
from assistant.speech.transitions import count_transitions
from assistant.speech.trial import trial


def add_arguments(parser: argparse.ArgumentParser) -> None:
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--fetch", metavar="NAME", help="fetch one of Vosk's official models from the internet")
    what.add_argument(
        "--import", dest="zip", type=Path, metavar="FILE.zip", help="take in a model from a file"
    )
    what.add_argument("--use", metavar="NAME", help=f"listen with this model; {OWN!r} for the program's own")
    parser.add_argument("--language", metavar="CODE", choices=LANGUAGES, help="the language it is for")
    parser.add_argument("--address", default=ADDRESS, metavar="URL", help="fetch from another place")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where models are kept")


def run(arguments: argparse.Namespace, home: Path) -> int:
    """0 when all is well; 2 for a model that is damaged, or cannot be had or used."""
    if arguments.fetch is not None:
        return _fetch(arguments, home)
    if arguments.zip is not None:
        return _taken_in(import_zip(arguments.zip, home, _progress), arguments.language)
    if arguments.use is not None:
        return _use(arguments, home)
    return _list(home)


def _fetch(arguments: argparse.Namespace, home: Path) -> int:
    name = arguments.fetch
    if not NAME.fullmatch(name):
        raise ModelFormatError(f"model {name!r} cannot be fetched; allowed are letters, digits, . _ and -")
    if name in {folder.name for folder in installed(home)}:
        print(f"{name} is here already")
        return 0
    try:
        fetched = fetch(name, home / FOLDER, _progress, arguments.address.rstrip("/"))
    except FetchError as error:
        print(file=sys.stderr)  # after the line that told how far it was
        return unusable("voice", error)
    print(f"{name}: {'MD5 sum right' if fetched.sum_compared else 'no MD5 sum to compare with'}")
    try:
        folder = import_zip(fetched.path, home, _progress)
    finally:
        fetched.path.unlink(missing_ok=True)
    return _taken_in(folder, arguments.language or _language_of(name))


def _taken_in(folder: Path, language: str | None) -> int:
    """Say what it is and whether it will do; it is not in use yet."""
    print(f"{folder.name} is in {folder}")
    if language is not None:
        _tried(folder, language)
    print(f"to listen with it: assistant voice models --use {folder.name} --language {language or 'CODE'}")
    return 0


def _use(arguments: argparse.Namespace, home: Path) -> int:
    language, name = arguments.language, arguments.use
    if language is None:
        raise ModelFormatError("--use needs --language as well: which language is to be heard with it")
    if name != OWN:
        _tried(model_named(home, name), language)
    choose(home, language, name)
    print(f"{language} listens with {'its own number model' if name == OWN else name}")
    return 0


def _tried(folder: Path, language: str) -> None:
    """Load it and look for the words of the steps. Raises ModelFormatError when it will not do."""
    if make_of(folder) is Make.NUMBERS:
        print(_own_form(language, folder))
        return
    found = trial(folder, language)
    if found.unsayable:
        raise ModelFormatError(
            f"{folder.name} has no word for {', '.join(found.unsayable)} in {language}, so it cannot be used"
        )
    lacking = f"lacks {', '.join(found.missing)}" if found.missing else "has all words of the steps"
    print(f"{folder.name} can be loaded and {lacking}")


def _list(home: Path) -> int:
    """One line a model; a damaged one is told on its line and makes the status 2."""
    damaged = 0
    for language in LANGUAGES:
        try:
            chosen = in_use(home, language)
            print(f"{language}: {_own_form(language, number_model(language))}{'' if chosen else ', in use'}")
            if chosen is not None:
                print(f"{language}: {chosen.name}, in use in its place")
        except (ModelFormatError, OSError) as error:
            damaged += 1
            print(f"{language}: cannot be used: {error}")
    for line in (*_taken_in_before(home), *_fitted(home), *_to_be_had(home)):
        print(line)
    return UNUSABLE if damaged else 0


def _taken_in_before(home: Path) -> Iterator[str]:
    for folder in installed(home):
        try:
            form = {Make.NUMBERS: "number model", Make.RUN_TIME: "phrases given at run time"}[make_of(folder)]
            yield f"here: {folder.name}, {form}, {_megabytes(folder):.1f} MB, {folder}"
        except ModelFormatError as error:
            yield f"here, of no use: {error}"


def _fitted(home: Path) -> Iterator[str]:
    for path in sorted((home / "helpers").glob("*/*/am/final.mdl")):
        yield f"{path.parents[1].name}: fitted to {path.parents[2].name}, {path.parents[1]}"


def _to_be_had(home: Path) -> Iterator[str]:
    here = {folder.name for folder in installed(home)}
    for language, models in KNOWN.items():
        for name, size_mb in models:
            if name not in here:
                yield f"{language}: {name}, about {size_mb} MB, not here; --fetch gets it from the internet"


def _own_form(language: str, folder: Path) -> str:
    path = folder / "am" / "final.mdl"
    data = path.read_bytes()
    count_transitions(data, str(path))
    words = pronunciations(language, folder)
    return f"{len(data) / 1e6:.1f} MB, all {len(words)} words of the steps, {folder}"


def _megabytes(folder: Path) -> float:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()) / 1e6


def _language_of(name: str) -> str | None:
    known = {model: language for language, models in KNOWN.items() for model, _ in models}
    return known.get(name)


def _progress(done: int, whole: int | None) -> None:
    """How far it is, on one line of a terminal; nothing in a pipe."""
    if sys.stderr.isatty():
        of = "" if whole is None else f" of {whole / 1e6:.1f}"
        print(f"\r{done / 1e6:.1f}{of} MB", end="\n" if done == whole else "", file=sys.stderr, flush=True)

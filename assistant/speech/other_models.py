"""Models from elsewhere, in the home folder: what each is, and which one each language listens with."""

import re
import tomllib
from collections.abc import Iterator
from enum import StrEnum
from pathlib import Path

import tomlkit

from assistant.language.lexicon import LANGUAGES
from assistant.speech.kaldi_binary import ModelFormatError

FOLDER = "models"
IN_USE = "in-use.toml"
OWN = "own"
"""What stands for the program's own number model where a model is named."""
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,80}")


class Make(StrEnum):
    NUMBERS = "numbers"
    """A number model in this project's form: a graph is made for each context."""
    RUN_TIME = "run time"
    """A model of Vosk's that takes its phrases at run time."""


FILES = {
    Make.NUMBERS: (
        ("am/final.mdl", "conf/mfcc.conf", "conf/model.conf", "units.txt", "lexicon.tsv"),
    ),
    Make.RUN_TIME: (
        ("am/final.mdl", "conf/mfcc.conf", "conf/model.conf", "graph/HCLr.fst", "graph/Gr.fst"),
        ("final.mdl", "mfcc.conf", "HCLr.fst", "Gr.fst"),  # as older ones are laid out
    ),
}  # fmt: skip
FIXED = ("graph/HCLG.fst", "HCLG.fst")


def make_of(folder: Path) -> Make:
    """Which form a model folder has. Raises ModelFormatError, in one sentence, when it has none that can be used."""
    for make, layouts in FILES.items():
        if any(all((folder / name).is_file() for name in layout) for layout in layouts):
            return make
    if any((folder / name).is_file() for name in FIXED):
        raise ModelFormatError(
            f"{folder.name} has one fixed graph of all words, so a step cannot say what it listens for;"
            " allowed are models with HCLr.fst and Gr.fst (Vosk's small ones)"
        )
    nearest = min(
        ([name for name in layout if not (folder / name).is_file()] for layout in FILES[Make.RUN_TIME]),
        key=len,
    )
    raise ModelFormatError(f"{folder.name} is no model that can be used: it has no file {', '.join(nearest)}")


def installed(home: Path) -> Iterator[Path]:
    """The folders of the models that were fetched or imported."""
    folder = home / FOLDER
    if folder.is_dir():
        yield from (path for path in sorted(folder.iterdir()) if path.is_dir() and NAME.fullmatch(path.name))


def model_named(home: Path, name: str) -> Path:
    """An installed model's folder. Raises ModelFormatError naming those there are."""
    there = {path.name: path for path in installed(home)}
    if name not in there:
        raise ModelFormatError(
            f"there is no model {name!r} in {home / FOLDER}; there is {', '.join(there) or 'none'}"
        )
    return there[name]


def in_use(home: Path, language: str) -> Path | None:
    """The folder of the model a language listens with; None: the program's own.

    Raises ModelFormatError where the choice cannot be read or its model is not there any more.
    """
    name = choices(home).get(language, OWN)
    return None if name == OWN else model_named(home, name)


def choices(home: Path) -> dict[str, str]:
    """Language to the name of the model that was chosen for it. Raises ModelFormatError for a torn file."""
    path = home / FOLDER / IN_USE
    try:
        raw = tomllib.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise ModelFormatError(f"{path} cannot be read ({error}); delete it and choose again") from error
    wrong = [key for key, name in raw.items() if not isinstance(name, str)]
    if wrong:
        raise ModelFormatError(f"{path}, {wrong[0]}: must be the name of a model")
    return raw


def choose(home: Path, language: str, name: str) -> None:
    """Listen with this model from now on; OWN for the program's own. Raises ModelFormatError or OSError."""
    if language not in LANGUAGES:
        raise ModelFormatError(f"language {language!r} is not known; allowed is {', '.join(LANGUAGES)}")
    if name != OWN:
        make_of(model_named(home, name))
    chosen = {key: value for key, value in choices(home).items() if key != language}
    if name != OWN:
        chosen[language] = name
    path = home / FOLDER / IN_USE
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_suffix(".part")
    draft.write_text(tomlkit.dumps(dict(sorted(chosen.items()))), "utf-8")
    draft.replace(path)

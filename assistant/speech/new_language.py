"""A language that has no number model: its words from a file, their sounds from recordings and another's model."""

import shutil
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.language.lexicon import LANGUAGES, bring
from assistant.language.lexicon_file import LanguageError, Lexicon, read_digit_words
from assistant.language.phrases import vocabulary
from assistant.speech import acoustic_file
from assistant.speech.cepstra import cepstra
from assistant.speech.enrolment import Clip
from assistant.speech.kaldi_binary import Floats
from assistant.speech.lexicon import read_lexicon
from assistant.speech.model_folder import SHARED_FILES, number_model
from assistant.speech.number_net import Net, forward, net_of
from assistant.speech.word_learning import Row, confusion, learn, likely

FOLDER = "languages"


def bring_all(home: Path) -> tuple[str, ...]:
    """Know every language whose words are in the home folder; their codes. Raises LanguageError naming a file."""
    return tuple(_brought(path).code for path in sorted((home / FOLDER).glob("*.toml")))


def take_words(home: Path, file: Path, code: str) -> None:
    """Copy a file of words into the home folder and know its language. Raises LanguageError or OSError."""
    words = _read(file)
    if words.code != code:
        raise LanguageError(f"{file}, code: is {words.code!r}; with --language {code} it must be {code!r}")
    bring(words)
    target = home / FOLDER / f"{code}.toml"
    if not (target.is_file() and target.samefile(file)):
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(file, target)


def _brought(path: Path) -> Lexicon:
    words = _read(path)
    bring(words)
    return words


def _read(path: Path) -> Lexicon:
    try:
        return read_digit_words(path.read_text("utf-8"), path.name)
    except (OSError, UnicodeDecodeError) as error:
        raise LanguageError(f"{path}: cannot be read ({error})") from error


@dataclass(frozen=True, slots=True)
class Sounds:
    """A number model whose sounds are lent to another language."""

    folder: Path
    net: Net
    priors: Floats
    units: tuple[str, ...]

    def heard(self, clip: Clip) -> Floats:
        return likely(forward(self.net, cepstra(clip.sound)).scores, self.priors)


def sounds_of(language: str) -> Sounds:
    """Raises ModelFormatError where the language has no model."""
    folder = number_model(language)
    path = folder / "am" / "final.mdl"
    model = acoustic_file.read(path.read_bytes(), str(path))
    return Sounds(folder, net_of(model), model.priors, read_lexicon(folder).units)


def nearest(language: str, clips: Sequence[Clip], among: Iterable[str] = LANGUAGES) -> Sounds:
    """The model whose sounds tell the words of `language` apart best. Raises ValueError, naming words, where clips
    are missing for a word, or a clip holds more than one."""
    of_word = _by_word(language, clips)
    lenders = [sounds_of(code) for code in among]
    return (
        min(lenders, key=lambda sounds: confusion(*_learnt(sounds, of_word))) if lenders[1:] else lenders[0]
    )


def lend(sounds: Sounds, language: str, clips: Sequence[Clip], folder: Path) -> Path:
    """Write a model folder for `language`: the other's network, the words as learnt from `clips`."""
    _, rows = _learnt(sounds, _by_word(language, clips))
    for name in (*SHARED_FILES, "units.txt"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(sounds.folder / name, folder / name)
    lines = (
        f"{word}\t{' '.join(sounds.units[unit] for unit in row)}\n" for word, row in sorted(rows.items())
    )
    (folder / "lexicon.tsv").write_text("".join(lines), "utf-8")
    return folder


def _learnt(sounds: Sounds, of_word: dict[str, list[Clip]]) -> tuple[dict[str, list[Floats]], dict[str, Row]]:
    """What is heard in the recordings of each word, and the word's units."""
    heard = {word: [sounds.heard(clip) for clip in clips] for word, clips in of_word.items()}
    return heard, learn(heard)


def _by_word(language: str, clips: Sequence[Clip]) -> dict[str, list[Clip]]:
    found: dict[str, list[Clip]] = {word: [] for word in sorted(vocabulary(language))}
    for clip in clips:
        if len(clip.words) != 1:
            raise ValueError(
                f"a recording says {' '.join(clip.words)!r}; in a new language each says one word"
            )
        found[clip.words[0]].append(clip)
    if missing := [word for word, said in found.items() if not said]:
        raise ValueError(f"there are no recordings of {', '.join(missing)}")
    return found

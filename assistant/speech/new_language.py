"""A language that has no number model: its words from a file, their sounds from recordings and another's model."""

import shutil
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.language.lexicon import LANGUAGES, bring, sentences_in
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
from assistant.workflow.checks_day import MOST_BROUGHT

FOLDER = "languages"


def bring_all(home: Path) -> tuple[str, ...]:
    """Know every language whose words are in the home folder; their codes. Raises LanguageError naming a file."""
    return tuple(_brought(path).code for path in _files(home))


def choosable(home: Path) -> tuple[dict[str, str], tuple[str, ...]]:
    """The languages of the home folder that a bench can offer, each with the one it then speaks; and, in a sentence
    each, what is wrong with the others."""
    found: dict[str, str] = {}
    wrong: list[str] = []
    for path in _files(home):
        try:
            code = _brought(path).code
        except LanguageError as error:
            wrong.append(f"a language is passed over: {error}")
            continue
        if len(found) < MOST_BROUGHT:
            found[code] = sentences_in(code)
        else:
            wrong.append(
                f"language {code!r} has no digit left to be chosen by; at most {MOST_BROUGHT} can be brought"
            )
    return found, tuple(wrong)


def take_words(home: Path, file: Path, code: str, prompts: str | None = None) -> None:
    """Copy a file of words into the home folder and know its language. Raises LanguageError or OSError.

    `prompts`: the language that is spoken beside it, where the file names none; else it stays the one it was.
    """
    text = _text(file)
    words = read_digit_words(text, file.name)
    if words.code != code:
        raise LanguageError(f"{file}, code: is {words.code!r}; with --language {code} it must be {code!r}")
    target = home / FOLDER / f"{code}.toml"
    spoken = words.prompts or prompts or _prompts_before(target)
    if spoken and not words.prompts:
        text = f'prompts = "{spoken}"\n{text}'
    bring(read_digit_words(text, file.name))
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_suffix(".part")
    draft.write_text(text, "utf-8")
    draft.replace(target)


def _prompts_before(target: Path) -> str:
    try:
        return read_digit_words(_text(target), target.name).prompts
    except LanguageError:
        return ""  # there was no file yet, or one that could not be used and is replaced now


def _files(home: Path) -> list[Path]:
    return sorted((home / FOLDER).glob("*.toml"))


def _brought(path: Path) -> Lexicon:
    words = read_digit_words(_text(path), path.name)
    bring(words)
    return words


def _text(path: Path) -> str:
    try:
        return path.read_text("utf-8")
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

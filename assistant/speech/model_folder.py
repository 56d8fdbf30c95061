"""From a language's number model to the folder that vosk loads for one listening context.

A number model (models/<language>) holds `am/final.mdl`, `conf/`, `units.txt` and `lexicon.tsv`. What may be said
in a context comes from assistant.language, so the graph is made when it is first needed and kept in a cache folder
whose name changes with everything that it was made from.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from assistant.language.listening import Listening
from assistant.language.phrases import graph, vocabulary
from assistant.speech import fst_file
from assistant.speech.decoding_graph import Costs, decoding_graph, word_labels
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.lexicon import read_lexicon
from assistant.speech.validate import check_folder

NETWORK, SECOND_NETWORK = "am/final.mdl", "am/second.mdl"
"""A folder may hold a second network of the same units, which hears what the first does not hear surely."""
CONFS = ("conf/mfcc.conf", "conf/model.conf")
SHARED_FILES = (NETWORK, *CONFS)
SECOND = "second"
"""The folder that vosk loads for it, within that of the first."""
COSTS = Costs()


def number_model(language: str) -> Path:
    """The folder of the language's own number model: beside the package, or where ASSISTANT_MODELS points.

    Raises ModelFormatError when there is none.
    """
    home = os.environ.get("ASSISTANT_MODELS")
    folder = (Path(home) if home else Path(__file__).parents[2] / "models") / language
    if not (folder / "am" / "final.mdl").is_file():
        raise ModelFormatError(f"there is no number model for {language!r} in {folder.parent}")
    return folder


def pronunciations(language: str, model: Path) -> Mapping[str, tuple[int, ...]]:
    """Every word of the language as units of the model. Raises ModelFormatError for a word that its lexicon
    does not list: models.training.lexicons adds it, or a line written by hand."""
    lexicon = read_lexicon(model)
    missing = sorted(vocabulary(language) - lexicon.words.keys())
    if missing:
        raise ModelFormatError(
            f"{model / 'lexicon.tsv'} does not say how these are spoken: {', '.join(missing)}"
        )
    return {word: lexicon.words[word] for word in sorted(vocabulary(language))}


def model_dir(
    language: str,
    context: Listening,
    cache: Path,
    digits: int | None = None,
    model: Path | None = None,
    costs: Costs = COSTS,
) -> Path:
    """A folder for `vosk.Model` that hears the phrases of `context` and nothing else, made if it is not there yet.

    `digits` fixes the count for Listening.DIGITS. `model` is a person's own folder, else the language's. Anything
    else that is said comes out as `[unk]`. Raises ModelFormatError when the model is damaged or lacks a word.
    """
    source = model or number_model(language)
    words = pronunciations(language, source)
    labels = word_labels(words)
    built = fst_file.write(decoding_graph(graph(context, language, digits), words, labels, costs))
    listing = "".join(f"{word} {number}\n" for word, number in labels.items()).encode()
    networks = [name for name in (NETWORK, SECOND_NETWORK) if (source / name).is_file() or name == NETWORK]
    shared = (_sum(source / name) for name in (*networks, *CONFS))
    mark = hashlib.sha256(b"\0".join([built, listing, *shared])).hexdigest()[:16]
    folder = cache / f"{language}-{context.value}{digits or ''}-{mark}"
    if not folder.is_dir():
        _lay_out(folder, source, networks, {"graph/HCLG.fst": built, "graph/words.txt": listing})
    return folder


def _sum(path: Path) -> bytes:
    """What is in a file, in short; it is read again only when it has changed, for this is asked at every hearing."""
    try:
        found = path.stat()
        return _sum_of(path, found.st_mtime_ns, found.st_size)
    except OSError as error:
        raise ModelFormatError(f"{path} cannot be read: {error.strerror}") from error


@lru_cache
def _sum_of(path: Path, _changed_ns: int, _size: int) -> bytes:
    return hashlib.sha256(path.read_bytes()).digest()


def _lay_out(folder: Path, source: Path, networks: Sequence[str], graph_files: Mapping[str, bytes]) -> None:
    """Fill a folder beside the final one, check it, then move it into place in one step."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent) as name:
        draft = Path(name) / "model"
        for network in networks:
            part = draft if network == NETWORK else draft / SECOND
            _fill(part, source, network, graph_files)
            check_folder(part)
        try:
            draft.rename(folder)
        except OSError:
            if not folder.is_dir():  # another process may have been quicker: then its folder is as good
                raise


def _fill(folder: Path, source: Path, network: str, graph_files: Mapping[str, bytes]) -> None:
    """What vosk loads for one network."""
    for name, origin in ((NETWORK, network), *((conf, conf) for conf in CONFS)):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        _link(source / origin, folder / name)
    for name, data in graph_files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


def _link(source: Path, target: Path) -> None:
    """A second name for the file, or a copy where the file system has none."""
    try:
        os.link(source, target)
    except OSError:
        shutil.copyfile(source, target)

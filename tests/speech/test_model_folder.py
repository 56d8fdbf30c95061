"""A folder for vosk is laid out once, checked, and refused with its reason when something in it is wrong."""

import shutil
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.language.listening import CONTEXTS, Listening
from assistant.speech import fst_file
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.model_folder import model_dir, number_model
from assistant.speech.recogniser import sample_rate
from assistant.speech.validate import check_folder

LANGUAGES = ("en", "pt", "fr", "sw")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A good one, of files of its own: nothing in it is shared with the project's model."""
    made = model_dir("sw", Listening.YES_NO, tmp_path / "cache")
    return Path(shutil.copytree(made, tmp_path / "own"))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_context_of_every_language_is_laid_out_and_good(language: str, tmp_path: Path) -> None:
    folders = {model_dir(language, context, tmp_path) for context in CONTEXTS}
    assert len({folder.name.split("-")[0] for folder in folders}) == 1
    for made in folders:
        check_folder(made)


def test_the_same_folder_is_given_again_and_not_made_again(tmp_path: Path) -> None:
    first = model_dir("en", Listening.AXIS, tmp_path)
    before = (first / "graph/HCLG.fst").stat().st_mtime_ns
    assert model_dir("en", Listening.AXIS, tmp_path) == first
    assert (first / "graph/HCLG.fst").stat().st_mtime_ns == before
    assert model_dir("en", Listening.DIGITS, tmp_path, digits=2) != model_dir(
        "en", Listening.DIGITS, tmp_path, digits=3
    )


def test_a_network_that_has_changed_is_laid_out_anew(tmp_path: Path) -> None:
    """Also one of the same length, as a helper's own is after another fit."""
    own = Path(shutil.copytree(number_model("en"), tmp_path / "en"))
    made = {model_dir("en", Listening.AXIS, tmp_path / "cache", model=own)}
    for name in ("am/final.mdl", "am/second.mdl"):
        data = bytearray((own / name).read_bytes())
        data[-1] ^= 1
        (own / name).unlink()
        (own / name).write_bytes(data)
        made.add(model_dir("en", Listening.AXIS, tmp_path / "cache", model=own))
    assert len(made) == 3


def test_a_language_without_a_model_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSISTANT_MODELS", str(tmp_path))
    with pytest.raises(ModelFormatError, match="no number model for 'en'"):
        number_model("en")


def test_a_word_that_the_lexicon_lacks_is_named(tmp_path: Path) -> None:
    own = Path(shutil.copytree(number_model("en"), tmp_path / "en"))
    listing = (own / "lexicon.tsv").read_text("utf-8").splitlines()
    kept = "\n".join(line for line in listing if not line.startswith("seven\t"))
    (own / "lexicon.tsv").write_text(kept + "\n", "utf-8")
    with pytest.raises(ModelFormatError, match="how these are spoken: seven"):
        model_dir("en", Listening.AXIS, tmp_path / "cache", model=own)


def _remove(name: str) -> Callable[[Path], None]:
    return lambda folder: (folder / name).unlink()


def _cut(name: str) -> Callable[[Path], None]:
    def cut(folder: Path) -> None:
        data = (folder / name).read_bytes()
        (folder / name).write_bytes(data[: len(data) // 2])

    return cut


def _append(name: str, line: str) -> Callable[[Path], None]:
    def append(folder: Path) -> None:
        path = folder / name
        path.write_text(path.read_text("utf-8") + line + "\n", "utf-8")

    return append


def _replace(name: str, old: str, new: str) -> Callable[[Path], None]:
    def replace(folder: Path) -> None:
        path = folder / name
        assert old in path.read_text("utf-8")
        path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")

    return replace


def _transition_beyond_the_model(folder: Path) -> None:
    path = folder / "graph/HCLG.fst"
    graph = fst_file.read(path.read_bytes(), path.name)
    graph.add_arc(0, 9999, 0, 0.0, 0)
    path.write_bytes(fst_file.write(graph))


def _word_beyond_the_list(folder: Path) -> None:
    path = folder / "graph/HCLG.fst"
    graph = fst_file.read(path.read_bytes(), path.name)
    graph.add_arc(0, 1, 9999, 0.0, 0)
    path.write_bytes(fst_file.write(graph))


def _no_end(folder: Path) -> None:
    path = folder / "graph/HCLG.fst"
    graph = fst_file.read(path.read_bytes(), path.name)
    graph.final.clear()
    path.write_bytes(fst_file.write(graph))


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        (_remove("conf/model.conf"), "no file conf/model.conf"),
        (_remove("conf/mfcc.conf"), "no file conf/mfcc.conf"),
        (_remove("am/final.mdl"), "no file am/final.mdl"),
        (_remove("graph/words.txt"), "no file graph/words.txt"),
        (_cut("am/final.mdl"), "cut short"),
        (_cut("graph/HCLG.fst"), "cut short"),
        (_append("conf/model.conf", "--no-such-option=1"), "not an option that vosk knows"),
        (_replace("conf/mfcc.conf", "--num-ceps=40", "--num-ceps=13"), "takes 40 values a frame"),
        (_transition_beyond_the_model, "uses transition 9999"),
        (_word_beyond_the_list, "prints word 9999"),
        (_no_end, "no phrase ever ends"),
    ],
)
def test_each_fault_is_found_before_vosk_sees_it(
    folder: Path, harm: Callable[[Path], None], said: str
) -> None:
    harm(folder)
    with pytest.raises(ModelFormatError, match=said):
        check_folder(folder)


def test_a_good_folder_passes(folder: Path) -> None:
    check_folder(folder)
    assert struct.unpack("<i", (folder / "graph/HCLG.fst").read_bytes()[:4])[0] == fst_file.MAGIC


def test_a_configuration_that_is_no_text_is_a_damaged_model(tmp_path: Path) -> None:
    (tmp_path / "mfcc.conf").write_bytes(b"--sample-frequency=\xff\xfe")
    with pytest.raises(SpeechError, match=r"mfcc\.conf cannot be read") as caught:
        sample_rate(tmp_path)
    assert caught.value.code is Trouble.MODEL_DAMAGED

"""A language without a number model: its words from a file, their sounds learnt from recordings.

The language of these tests has Swahili's words under a code of its own.
"""

import json
import tomllib
from functools import partial
from pathlib import Path

import numpy as np
import pytest

from assistant.cli import main
from assistant.language import lexicon as languages
from assistant.language.lexicon import bring
from assistant.language.lexicon_file import LanguageError, read_digit_words
from assistant.language.listening import Listening
from assistant.language.parse import parse
from assistant.language.phrases import vocabulary
from assistant.language.spell import spell_number
from assistant.speech import own_model
from assistant.speech.enrolment import Clip, Fit
from assistant.speech.enrolment_game import turns
from assistant.speech.kaldi_binary import Floats
from assistant.speech.new_language import lend, nearest, sounds_of
from assistant.speech.sound import Sound, write_sound
from assistant.speech.synth import Pace, Synthesiser
from assistant.speech.word_learning import NEVER, confusion, learn

WORDS = """
code = "tq"
name = "Test"
decimal_point = ["nukta"]
[digits]
0 = ["sifuri"]
1 = ["moja"]
2 = ["mbili"]
3 = ["tatu"]
4 = ["nne"]
5 = ["tano"]
6 = ["sita"]
7 = ["saba"]
8 = ["nane"]
9 = ["tisa"]
[signs]
minus = ["hasi"]
plus = ["chanya"]
[commands]
yes = ["ndiyo"]
no = ["hapana"]
again = ["tena"]
back = ["nyuma"]
help = ["msaada"]
stop = ["simama"]
"""


@pytest.fixture
def brought(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(languages, "_brought", {})
    bring(read_digit_words(WORDS, "tq.toml"))


@pytest.fixture(scope="module")
def spoken(synthesiser: Synthesiser, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Each word twice, at two paces."""
    folder = tmp_path_factory.mktemp("clips")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(languages, "_brought", {})
        bring(read_digit_words(WORDS, "tq.toml"))
        words = sorted(vocabulary("tq"))
    for word in words:
        (folder / word).mkdir()
        for take, pace in enumerate((Pace.USUAL, Pace.SLOW)):
            sound = synthesiser.render(word, "sw", pace)
            write_sound(folder / word / f"{take}.flac", Sound(sound.samples, sound.rate + 500 * take))
    return folder


def test_numbers_are_said_digit_by_digit(brought: None) -> None:
    assert len(vocabulary("tq")) == 19
    for value, kind, words in (
        ("175", Listening.AXIS, "moja saba tano"),
        ("-2.25", Listening.POWER, "hasi mbili nukta mbili tano"),
        ("58", Listening.LENGTH, "tano nane"),
        ("07", Listening.CHECK_NUMBER, "sifuri saba"),
    ):
        assert spell_number(value, kind, "tq") == words
        assert str(parse(words, kind, "tq").value) == value


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("moja mbili", Listening.LENGTH),  # twelve, or one point two whose point was lost
        ("hasi mbili tano", Listening.POWER),
        ("hasi tano sifuri", Listening.POWER),
    ],
)
def test_a_point_that_was_lost_does_not_make_another_number(
    brought: None, words: str, kind: Listening
) -> None:
    assert not parse(words, kind, "tq").accepted


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('minus = ["hasi"]', "", r"tq.toml, \[signs\]: must hold exactly minus, plus"),
        ('back = ["nyuma"]', 'back = ["rudi nyuma"]', "tq.toml, 'rudi nyuma': must be written as one word"),
        ('3 = ["tatu"]', '3 = ["3"]', "tq.toml, digits.3: '3' must be words"),
    ],
)
def test_a_fault_in_the_words_is_named(old: str, new: str, message: str) -> None:
    assert old in WORDS
    with pytest.raises(LanguageError, match=message):
        read_digit_words(WORDS.replace(old, new), "tq.toml")


def test_the_programs_own_languages_cannot_be_brought_anew(brought: None) -> None:
    with pytest.raises(LanguageError, match="'sw' is one of the program's own"):
        bring(read_digit_words(WORDS.replace('"tq"', '"sw"'), "sw.toml"))
    with pytest.raises(LanguageError, match="known already, with other words"):
        bring(read_digit_words(WORDS.replace("tena", "rudia"), "tq.toml"))


def heard(*units: int) -> Floats:
    """Scores of a recording in which these units are heard, three frames each with blank between."""
    frames = [unit for said in units for unit in (said, said, said, 0)]
    scores = np.full((len(frames), 8), -4.0, np.float32)
    scores[np.arange(len(frames)), frames] = 0.0
    scores[:, 1] = NEVER
    return scores


def test_the_units_of_a_word_are_found() -> None:
    recordings = {
        "first": [heard(2, 3, 4), heard(2, 3, 4)],
        "second": [heard(5, 4), heard(5, 4)],
    }
    found = learn(recordings)
    assert found == {"first": (2, 3, 4), "second": (5, 4)}
    assert confusion(recordings, found) < confusion(recordings, {"first": (2, 4), "second": (2, 3, 4)})


def test_two_words_that_sound_alike_get_different_units() -> None:
    found = learn({"first": [heard(2, 3)], "second": [heard(2, 3)]})
    assert found["first"] == (2, 3)
    assert found["second"] != (2, 3)


def test_a_recording_that_is_too_short_is_named() -> None:
    with pytest.raises(ValueError, match="'first': its recordings are too short"):
        learn({"first": [heard(2)[:1]]})


def test_every_word_of_a_new_language_comes_in_the_game(brought: None, tmp_path: Path) -> None:
    assert {turn.word for turn in turns("tq", tmp_path)} == vocabulary("tq")


def test_a_word_without_recordings_is_named(brought: None) -> None:
    clip = Clip(Sound(np.zeros(8000, np.int16), 8000), ("moja",))
    with pytest.raises(ValueError, match="there are no recordings of chanya, hapana"):
        nearest("tq", [clip])
    with pytest.raises(ValueError, match="says 'moja mbili'"):
        lend(sounds_of("en"), "tq", [Clip(clip.sound, ("moja", "mbili"))], Path("never"))


def test_enrolled_and_heard(
    spoken: Path,
    tmp_path: Path,
    synthesiser: Synthesiser,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The command with a file of words and a folder of recordings, on Swahili's own sounds; the fit is cut short."""
    monkeypatch.setattr(languages, "_brought", {})
    quick = partial(own_model.enrol, how=Fit(rounds=3, each_round=4))
    monkeypatch.setattr("assistant.commands.voice.enrol.enrol", quick)
    monkeypatch.setattr("assistant.speech.comparison.STRINGS", 2)
    monkeypatch.setattr("assistant.speech.word_learning.SOUNDS_TRIED", 8)
    words = tmp_path / "words.toml"
    words.write_text(WORDS, "utf-8")
    home = ["--home", str(tmp_path / "home")]
    options = ["--helper", "amina", "--language", "tq", "--from", str(spoken), *home]
    assert main(["voice", "enrol", *options]) == 2
    assert "language 'tq' has no words; give them with --words" in capsys.readouterr().err
    assert main(["voice", "enrol", *options, "--words", str(words), "--like", "sw"]) == 0
    assert "is kept, fitted to 38 recordings" in capsys.readouterr().out
    monkeypatch.setattr(languages, "_brought", {})  # as another process begins
    digits = [said for (said,) in tomllib.loads(WORDS)["digits"].values()]
    files = [str(spoken / word / "0.flac") for word in digits]
    hear = ["hear", *files, "--listen-for", "digit", "--language", "tq", "--helper", "amina", "--json"]
    assert main([*hear, *home]) == 0
    results = json.loads(capsys.readouterr().out)
    right = sum(result["value"] == str(digit) for digit, result in enumerate(results))
    assert right >= 9, results
    assert main([*hear[:-1], "--language", "qq", *home]) == 2
    assert "allowed is en, pt, fr, sw, tq" in capsys.readouterr().err

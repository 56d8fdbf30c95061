"""A language without a number model: its words from a file, their sounds learnt from recordings."""

import json
import tomllib
from pathlib import Path

import numpy as np
import pytest
from new_words import WORDS, Enrolled, enrolling, forgotten, known

from assistant.cli import main
from assistant.language.lexicon import bring, sentences_in
from assistant.language.lexicon_file import LanguageError, read_digit_words
from assistant.language.listening import Listening
from assistant.language.parse import parse
from assistant.language.phrases import vocabulary
from assistant.language.spell import spell_number
from assistant.speech.enrolment import Clip
from assistant.speech.enrolment_game import turns
from assistant.speech.kaldi_binary import Floats
from assistant.speech.new_language import choosable, lend, nearest, sounds_of, take_words
from assistant.speech.sound import Sound
from assistant.speech.word_learning import NEVER, confusion, learn
from assistant.workflow.checks_day import MOST_BROUGHT


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
        ('code = "tq"', 'code = "../tq"', "tq.toml, code: '../tq' must be small letters"),
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


def test_sentences_are_those_that_the_file_names_else_english() -> None:
    with forgotten():
        bring(read_digit_words(WORDS, "tq.toml"))
        assert sentences_in("tq") == "en"
    with forgotten():
        bring(read_digit_words(f'prompts = "fr"\n{WORDS}', "tq.toml"))
        assert (sentences_in("tq"), sentences_in("pt")) == ("fr", "pt")
        with pytest.raises(LanguageError, match="'qq' is not known"):
            sentences_in("qq")
    with (
        forgotten(),
        pytest.raises(LanguageError, match=r"tq\.toml, prompts: is 'qq'; allowed is en, pt, fr, sw"),
    ):
        bring(read_digit_words(f'prompts = "qq"\n{WORDS}', "tq.toml"))


@pytest.mark.parametrize(
    ("given", "like", "kept"), [("", "sw", "sw"), ('prompts = "fr"\n', "sw", "fr"), ("", None, "en")]
)
def test_sentences_are_taken_from_the_file_or_from_the_language_whose_sounds_are_lent(
    tmp_path: Path, given: str, like: str | None, kept: str
) -> None:
    words = tmp_path / "words.toml"
    words.write_text(given + WORDS, "utf-8")
    with forgotten():
        take_words(tmp_path / "home", words, "tq", like)
    with forgotten():
        assert choosable(tmp_path / "home") == ({"tq": kept}, ())
        take_words(tmp_path / "home", words, "tq")
        assert sentences_in("tq") == kept, "another helper is enrolled in it"
    with forgotten():
        take_words(tmp_path / "home", tmp_path / "home" / "languages" / "tq.toml", "tq", "pt")
        assert sentences_in("tq") == (kept if like or given else "pt")


def test_a_bench_goes_on_without_a_language_whose_file_is_wrong_or_that_has_no_digit_left(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "languages"
    folder.mkdir()
    (folder / "a0.toml").write_text("digits = 3", "utf-8")
    for number in range(MOST_BROUGHT + 1):
        (folder / f"b{number}.toml").write_text(WORDS.replace('"tq"', f'"b{number}"'), "utf-8")
    with forgotten():
        found, wrong = choosable(tmp_path)
    assert list(found) == [f"b{number}" for number in range(MOST_BROUGHT)]
    assert [sentence.split(":")[0] for sentence in wrong] == [
        "a language is passed over",
        f"language 'b{MOST_BROUGHT}' has no digit left to be chosen by; at most {MOST_BROUGHT} can be brought",
    ]
    assert "a0.toml" in wrong[0]


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


def test_without_words_the_command_says_what_to_give(
    spoken: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with forgotten():
        assert main(enrolling(tmp_path, spoken)) == 2
    assert "language 'tq' has no words; give them with --words" in capsys.readouterr().err


def test_enrolled_and_heard(
    enrolled: Enrolled, spoken: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The command with a file of words and a folder of recordings, on Swahili's own sounds."""
    assert "is kept, fitted to 38 recordings" in enrolled.told
    digits = [said for (said,) in tomllib.loads(WORDS)["digits"].values()]
    files = [str(spoken / word / "0.flac") for word in digits]
    hear = ["hear", *files, "--listen-for", "digit", "--language", "tq", "--helper", "amina", "--json"]
    home = ["--home", str(enrolled.home)]
    with forgotten():
        assert main([*hear, *home]) == 0
        results = json.loads(capsys.readouterr().out)
        right = sum(result["value"] == str(digit) for digit, result in enumerate(results))
        assert right >= 9, results
        assert main([*hear[:-1], "--language", "qq", *home]) == 2
        assert "allowed is en, pt, fr, sw, tq" in capsys.readouterr().err


def test_one_recording_of_each_word_is_kept_for_read_backs(enrolled: Enrolled) -> None:
    kept = (enrolled.home / "helpers" / "amina" / "tq" / "clips").glob("*/1.flac")
    with known():
        assert {path.parent.name for path in kept} == vocabulary("tq")

"""Recordings in place of the synthesiser, phrase by phrase; making them; level, clips and cache."""

import os
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from scripted_sound import ScriptedMicrophone

from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.prompts import NONE, Spoken, say
from assistant.speech.clips import Clips
from assistant.speech.errors import SpeechError
from assistant.speech.level import EDGE_S, Face, face_of_room, face_of_speech, measure, trimmed
from assistant.speech.pack import GAP_S, Args, Pack, phrases_of
from assistant.speech.recording import (
    WHOLE_SENTENCES,
    Choice,
    Line,
    lines,
    record_lines,
    until_silence,
)
from assistant.speech.segment import Segmenter, loudness_detector
from assistant.speech.sound import Sound, read_sound, write_sound
from assistant.speech.synth import Synthesiser, trim_cache

RATE_HZ = 22050
POCKET: Args = {"eye": "right", "pocket": Spoken(Listening.COUNT, 74)}


def tone(seconds: float, height: int = 8000) -> Sound:
    at = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    return Sound((height * np.sin(2 * np.pi * 300 * at)).astype(np.int16), RATE_HZ)


def record_at(path: Path, seconds: float) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    write_sound(path, tone(seconds))


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_phrases_of_a_prompt_make_up_its_words(language: str) -> None:
    phrases = phrases_of("step-fetch", language, POCKET)
    letters = [c for c in say("step-fetch", language, **POCKET) if c.isalnum()]
    assert [c for phrase in phrases for c in phrase.text if c.isalnum()] == letters
    assert phrases_of("step-fetch", language, {**POCKET, "eye": "left"}) != phrases


def test_a_recording_replaces_its_phrase_and_the_rest_is_synthesised(tmp_path: Path) -> None:
    pack, asked = Pack(tmp_path), []

    def synthesise(text: str) -> Sound:
        asked.append(text)
        return tone(1.0)

    assert pack.sound("step-fetch", "en", POCKET, synthesise) is None
    record_at(pack.path("en", "step-fetch@right.1"), 0.5)
    mixed = pack.sound("step-fetch", "en", POCKET, synthesise)
    assert mixed is not None
    assert mixed.seconds == pytest.approx(0.5 + 2 * 1.0 + 2 * GAP_S, abs=0.01)
    assert asked == [phrase.text for phrase in phrases_of("step-fetch", "en", POCKET)[1:]]


def test_a_figure_is_recorded_word_by_word_or_not_at_all(tmp_path: Path) -> None:
    pack, figure = Pack(tmp_path), {"value": Spoken(Listening.POWER, Decimal("-2.25"))}
    for word in ("minus", "two", "point"):
        record_at(pack.word_path("en", word), 0.25)
    assert pack.sound("read-back", "en", figure, lambda _: tone(1.0)) is None  # "five" is missing
    record_at(pack.word_path("en", "five"), 0.25)
    sound = pack.sound("read-back", "en", figure, lambda _: tone(1.0))
    assert sound is not None
    assert sound.seconds == pytest.approx(5 * 0.25 + 4 * GAP_S + GAP_S + 1.0, abs=0.01)


AXIS: Args = {"value": Spoken(Listening.AXIS, Decimal(175))}


def test_who_speaks_a_language_without_sentences_hears_its_recordings_first(
    brought: None, tmp_path: Path
) -> None:
    pack, asked = Pack(tmp_path), []

    def synthesise(text: str) -> Sound:
        asked.append(text)
        return tone(1.0)

    record_at(pack.path("sw", "taken-back"), 0.25)
    record_at(pack.path("tq", "say-again"), 0.5)
    for text_id, seconds in (("taken-back", 0.25), ("say-again", 0.5)):
        sound = pack.sound(text_id, "sw", {}, synthesise, own="tq")
        assert sound is not None
        assert sound.seconds == pytest.approx(seconds, abs=0.01)
    assert asked == []
    assert pack.sound("say-again", "sw", {}, synthesise) is None, "who speaks Swahili hears Swahili"


def test_a_figure_is_said_in_the_helper_s_own_takes_where_all_of_them_are_there(
    brought: None, tmp_path: Path
) -> None:
    takes = tmp_path / "helper"
    pack = Pack(tmp_path / "pack", lambda language: takes if language == "tq" else None)
    for word, seconds in (("moja", 0.2), ("saba", 0.3)):
        record_at(takes / word / "1.flac", seconds)
        record_at(takes / word / "2.flac", 3.0)
    assert pack.sound("read-back", "sw", AXIS, lambda _: tone(1.0), own="tq") is None  # "tano" is missing
    record_at(takes / "tano" / "2.flac", 0.4)
    record_at(pack.word_path("tq", "saba"), 0.5)
    sound = pack.sound("read-back", "sw", AXIS, lambda _: tone(1.0), own="tq")
    assert sound is not None
    assert sound.seconds == pytest.approx(0.2 + 0.5 + 0.4 + 3 * GAP_S + 1.0, abs=0.01)
    assert pack.sound("read-back", "sw", AXIS, lambda _: tone(1.0)) is None


def test_numbers_that_try_the_ear_are_not_said_in_the_helper_s_own_takes(
    brought: None, tmp_path: Path
) -> None:
    """A seven that was kept as eight is learnt as eight: said by the bench, it would be repeated and pass."""
    pack = Pack(tmp_path / "pack", lambda _: tmp_path / "helper")
    number: Args = {"number": Spoken(Listening.DIGITS, "17")}
    for word in ("moja", "saba"):
        record_at(tmp_path / "helper" / word / "1.flac", 0.5)

    def nothing(text: str) -> Sound:
        raise AssertionError(f"{text!r} was said in another language")

    silent = pack.sound("field-first", "sw", number, nothing, own="tq")
    assert silent is not None
    assert not silent.samples.any()
    for word in ("moja", "saba"):
        record_at(pack.word_path("tq", word), 0.25)
    said = pack.sound("field-second", "sw", number, nothing, own="tq")
    assert said is not None
    assert said.seconds == pytest.approx(2 * 0.25 + GAP_S, abs=0.01)


def test_what_is_recorded_for_a_language_without_sentences_is_what_the_pack_plays(
    brought: None, tmp_path: Path
) -> None:
    pack = Pack(tmp_path)
    listed = {line.path: line.text for line in lines(pack, "tq")}
    for word in ("moja", "saba", "tano", "hasi", "nukta"):
        record_at(pack.word_path("tq", word), 0.25)
        assert listed[pack.word_path("tq", word)] == word
    fixed = [phrase for phrase in phrases_of("read-back", "en", AXIS) if phrase.recording is not None]
    for phrase in fixed:
        path = pack.path("tq", str(phrase.recording))
        assert listed[path] == phrase.text, "no sentences are named in its file: they stand in English"
        record_at(path, 0.25)

    def nothing(text: str) -> Sound:
        raise AssertionError(f"{text!r} was left to the synthesiser")

    assert pack.sound("read-back", "en", AXIS, nothing, own="tq") is not None


def test_words_are_played_without_the_pauses_round_them() -> None:
    quiet = Sound(np.random.default_rng(1).integers(-20, 20, RATE_HZ).astype(np.int16), RATE_HZ)
    long = Sound(np.concatenate([quiet.samples, tone(0.5).samples, quiet.samples]), RATE_HZ)
    assert trimmed(long).seconds == pytest.approx(0.5 + 2 * EDGE_S, abs=0.04)
    assert trimmed(tone(0.5)).seconds == tone(0.5).seconds
    loud = Sound((np.random.default_rng(1).standard_normal(RATE_HZ) * 3000).astype(np.int16), RATE_HZ)
    noisy = Sound(np.concatenate([loud.samples, tone(0.5).samples, loud.samples]), RATE_HZ)
    assert trimmed(noisy).seconds == noisy.seconds
    assert trimmed(Sound(np.zeros(10, np.int16), RATE_HZ)).seconds == 10 / RATE_HZ


def test_a_recording_that_is_no_sound_counts_as_missing(tmp_path: Path) -> None:
    pack = Pack(tmp_path)
    path = pack.path("en", "taken-back")
    path.parent.mkdir(parents=True)
    path.write_bytes(b"no sound")
    assert pack.sound("taken-back", "en", {}, lambda _: tone(1.0)) is None


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_line_to_record_is_one_that_the_pack_would_use(language: str, tmp_path: Path) -> None:
    """With everything recorded nothing is left to the synthesiser."""
    pack = Pack(tmp_path)
    listed = {line.path for line in lines(pack, language)}
    said: tuple[tuple[str, Args], ...] = (
        ("step-fetch", POCKET),
        ("read-back", {"value": Spoken(Listening.POWER, Decimal("-12.75"))}),
        ("refused-out_of_range", {"low": NONE, "high": NONE}),
        ("refused-wrong_length", {}),
        ("refused-out_of_range", {"low": Spoken(Listening.LENGTH, 0), "high": Spoken(Listening.LENGTH, 10)}),
        ("say-again", {}),
    )
    for text_id, args in said:
        for phrase in phrases_of(text_id, language, args):
            if phrase.recording is not None:
                assert pack.path(language, phrase.recording) in listed
            else:
                assert {pack.word_path(language, word) for word in phrase.text.split()} <= listed


def test_recording_goes_line_by_line_and_stops_when_told(tmp_path: Path) -> None:
    wanted = tuple(Line(text, tmp_path / f"{text}.flac") for text in ("one", "two", "three", "four"))
    choices = iter((Choice.AGAIN, Choice.KEEP, Choice.SKIP, Choice.STOP))
    played: list[Sound] = []
    taken: list[str] = []

    def take(line: Line) -> Sound:
        taken.append(line.text)
        return tone(0.5)

    assert record_lines(wanted, take, played.append, lambda _line, _face: next(choices)) == 1
    assert taken == ["one", "one", "two", "three"]
    assert len(played) == 4
    assert [line.path.exists() for line in wanted] == [True, False, False, False]


def test_a_sentence_is_taken_until_silence(synthesiser: Synthesiser) -> None:
    sentence = synthesiser.render("fetch the lens for the right eye, and tell me the number", "en")
    microphone = ScriptedMicrophone(sentence)
    taken = until_silence(microphone, Segmenter(loudness_detector(), WHOLE_SENTENCES))
    assert taken.seconds == pytest.approx(sentence.seconds + WHOLE_SENTENCES.long_s, abs=0.8)


def test_levels_have_faces() -> None:
    rng = np.random.default_rng(3)
    hiss = Sound((rng.standard_normal(RATE_HZ) * 30).astype(np.int16), RATE_HZ)
    crowd = Sound((rng.standard_normal(RATE_HZ) * 3000).astype(np.int16), RATE_HZ)
    dead = Sound(np.zeros(RATE_HZ, np.int16), RATE_HZ)
    assert [face_of_room(measure(sound)) for sound in (hiss, crowd, dead)] == [Face.GOOD, Face.BAD, Face.BAD]
    said = tone(0.5)
    clear = Sound(np.concatenate([hiss.samples, said.samples, hiss.samples]), RATE_HZ)
    half = crowd.samples[: len(said.samples)]
    drowned = Sound(np.concatenate([half, half // 2 + said.samples // 2, half]), RATE_HZ)
    square = np.where(said.samples > 0, 32767, -32767).astype(np.int16)
    clipped = Sound(np.concatenate([hiss.samples, square]), RATE_HZ)
    assert face_of_speech(measure(clear)) is Face.GOOD
    assert face_of_speech(measure(drowned)) is Face.BAD
    assert face_of_speech(measure(clipped)) is Face.BAD
    with pytest.raises(ValueError, match="too short"):
        measure(tone(0.01))


def test_clips_are_numbered_on_after_a_restart(tmp_path: Path) -> None:
    assert Clips(tmp_path).keep(tone(0.1)) == "000001.flac"
    assert Clips(tmp_path).keep(tone(0.2)) == "000002.flac"
    kept = read_sound(tmp_path / "clips" / "000002.flac")
    assert np.array_equal(kept.samples, tone(0.2).samples)


def test_clips_that_cannot_be_written_are_given_up_once(tmp_path: Path) -> None:
    (tmp_path / "clips").write_text("a file where the folder should be")
    clips = Clips(tmp_path)
    assert clips.keep(tone(0.1)) is None
    assert "not kept any more" in clips.trouble


def test_a_file_that_is_no_sound_is_named(tmp_path: Path) -> None:
    path = tmp_path / "text.wav"
    path.write_text("text")
    with pytest.raises(SpeechError, match=r"text\.wav"):
        read_sound(path)


def test_the_cache_forgets_what_was_unused_longest(tmp_path: Path) -> None:
    for number in range(3):
        path = tmp_path / f"{number}.flac"
        path.write_bytes(b"x" * 100)
        os.utime(path, (number, number))
    trim_cache(tmp_path, 250)
    assert sorted(path.name for path in tmp_path.glob("*.flac")) == ["1.flac", "2.flac"]

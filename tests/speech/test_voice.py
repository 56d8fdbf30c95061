"""The bench's voice, whole, on the shipped English model; and each thing that can fail, while the keypad goes on."""

import ctypes.util
import os
import queue
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from scripted_sound import ScriptedMicrophone, ScriptedSpeaker

from assistant.language.listening import Listening
from assistant.speech import devices
from assistant.speech.capture import Microphone
from assistant.speech.clips import Clips
from assistant.speech.equipment import recognisers
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.hearing import hear
from assistant.speech.level import DEAD_DB, Face, face_of_room
from assistant.speech.model_folder import number_model
from assistant.speech.pack import Pack
from assistant.speech.player import Player
from assistant.speech.sound import Samples, Sound
from assistant.speech.status import State
from assistant.speech.synth import Synthesiser
from assistant.speech.tones import Chime
from assistant.speech.understanding import Asked
from assistant.speech.voice import Parts, Voice

CHECK_NUMBER = Asked(Listening.CHECK_NUMBER, "en")
PATIENCE_S = 30.0


class Bench:
    """A voice with its devices, and what it told."""

    def __init__(self, parts: Parts, microphone: ScriptedMicrophone, speaker: ScriptedSpeaker) -> None:
        self.microphone, self.speaker = microphone, speaker
        self.voice = Voice(parts)
        microphone.bench_speaks = lambda: self.voice._mouth.speaking
        self.told: queue.Queue[HeardEntry] = queue.Queue()

    def listen(self, asked: Asked = CHECK_NUMBER) -> None:
        self.voice.listen(asked, self.told.put)

    def next(self, *kinds: HeardKind) -> HeardEntry:
        """The next entry of one of these kinds."""
        while (entry := self.told.get(timeout=PATIENCE_S)).kind not in kinds:
            continue
        return entry


Makes = Callable[..., Bench]


@pytest.fixture
def make(tmp_path: Path, synthesiser: Synthesiser) -> Iterator[Makes]:
    made: list[Bench] = []

    def bench(
        *answers: str,
        heard_s: float | None = None,
        unplugged: bool = False,
        speaking: Synthesiser | None = None,
        clips: Clips | None = None,
    ) -> Bench:
        sounds = [synthesiser.render(answer, "en") for answer in answers]
        if heard_s is not None:
            sounds = [Sound(sound.samples[: round(heard_s * sound.rate)], sound.rate) for sound in sounds]
        microphone, speaker = ScriptedMicrophone(*sounds, unplugged_at_end=unplugged), ScriptedSpeaker()
        own = speaking or Synthesiser(tmp_path / "spoken")
        parts = Parts(
            own, recognisers(tmp_path), Pack(tmp_path / "pack"), clips, lambda: speaker, lambda: microphone
        )
        made.append(Bench(parts, microphone, speaker))
        return made[-1]

    yield bench
    for one in made:
        one.voice.close()


def test_a_number_is_heard_read_back_confirmed_and_kept(make: Makes, tmp_path: Path) -> None:
    bench = make("seven four", "yes", clips=Clips(tmp_path))
    bench.listen()
    read_back = bench.next(HeardKind.READ_BACK)
    answer = bench.next(HeardKind.ANSWER)
    assert (read_back.text, answer.text, answer.heard) == ("74", "74", "seven four")
    assert answer.clip is not None
    assert (tmp_path / "clips" / answer.clip).read_bytes()[:4] == b"fLaC"
    assert bench.voice.status().can_listen


def test_enter_confirms_what_is_read_back(make: Makes) -> None:
    bench = make("seven four")
    bench.listen()
    bench.next(HeardKind.READ_BACK)
    assert bench.voice.confirm(True)
    assert bench.next(HeardKind.ANSWER).text == "74"
    assert not bench.voice.confirm(True)


def test_a_microphone_unplugged_in_the_middle_of_a_word_ends_listening_and_nothing_else(make: Makes) -> None:
    bench = make("seven four", heard_s=0.4, unplugged=True)
    bench.listen()
    assert bench.next(HeardKind.TROUBLE).text == Trouble.MICROPHONE_GONE
    assert bench.voice.status().microphone.state is State.FAILED
    before = len(bench.speaker.played)
    bench.voice.say("go on by keypad", "en")
    assert bench.voice._mouth.wait(PATIENCE_S)
    assert len(bench.speaker.played) == before + 1
    bench.listen()  # the next entry tries again
    assert bench.next(HeardKind.TROUBLE).text == Trouble.MICROPHONE_GONE
    assert bench.microphone.opened == 2


def test_without_a_speaker_it_still_listens(make: Makes) -> None:
    bench = make("seven four", "yes")
    bench.speaker.gone = True
    bench.listen()
    assert bench.next(HeardKind.ANSWER).text == "74"
    assert bench.voice.status().speaker.state is State.FAILED
    bench.speaker.gone = False
    bench.voice.tone(Chime.DONE)
    assert bench.voice._mouth.wait(PATIENCE_S)
    assert bench.voice.status().speaker.state is State.OK


def test_a_damaged_model_ends_listening_with_a_reason(
    make: Makes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "models" / "en"
    shutil.copytree(number_model("en"), copy)
    whole = (copy / "am" / "final.mdl").read_bytes()
    (copy / "am" / "final.mdl").write_bytes(whole[: len(whole) // 2])
    monkeypatch.setenv("ASSISTANT_MODELS", str(tmp_path / "models"))
    bench = make("seven four")
    bench.listen()
    assert bench.next(HeardKind.TROUBLE).text in (Trouble.MODEL_DAMAGED, Trouble.MODEL_MISSING)
    status = bench.voice.status()
    assert status.model.state is not State.OK
    assert "final.mdl" in status.model.why
    assert status.can_speak


def test_a_fault_that_nobody_foresaw_ends_listening_with_a_reason_and_the_next_entry_tries_again(
    make: Makes, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = make("seven four", "yes")
    take, faults = bench.microphone.block, [ZeroDivisionError("a block of no length")]

    def block() -> Samples:
        if faults:
            raise faults.pop()
        return take()

    monkeypatch.setattr(bench.microphone, "block", block)
    bench.listen()
    assert bench.next(HeardKind.TROUBLE).text == Trouble.LISTENING_FAILED
    status = bench.voice.status()
    assert not status.can_listen
    assert "ZeroDivisionError: a block of no length" in status.model.why
    bench.listen()
    assert bench.next(HeardKind.ANSWER).text == "74"
    assert bench.voice.status().can_listen


def test_a_microphone_that_cannot_be_closed_does_not_end_the_listening_thread(
    make: Makes, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = make(unplugged=True)

    def stuck() -> None:
        raise OSError("the stream is stuck")

    monkeypatch.setattr(bench.microphone, "close", stuck)
    for _ in range(2):
        bench.listen()
        assert bench.next(HeardKind.TROUBLE).text == Trouble.LISTENING_FAILED


def test_a_fault_in_speaking_that_nobody_foresaw_costs_one_sentence(
    make: Makes, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = make("seven four", "yes")
    play, faults = bench.speaker.play, [MemoryError("no room for the sound")]

    def once_faulty(sound: Sound, wanted: Callable[[], bool]) -> None:
        if faults:
            raise faults.pop()
        play(sound, wanted)

    monkeypatch.setattr(bench.speaker, "play", once_faulty)
    bench.voice.say("the pocket is empty", "en")
    assert bench.voice._mouth.wait(PATIENCE_S)
    assert "MemoryError: no room for the sound" in bench.voice.status().voice.why
    bench.listen()
    assert bench.next(HeardKind.ANSWER).text == "74"
    assert bench.voice.status().can_speak


def test_without_portaudio_both_devices_are_missing_and_nothing_raises(
    synthesiser: Synthesiser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(devices, "_silenced", [None])
    monkeypatch.setattr(ctypes.util, "find_library", lambda _name: None)
    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    own = Synthesiser(tmp_path / "spoken")
    voice = Voice(Parts(own, recognisers(tmp_path), Pack(tmp_path), None, Player, Microphone))
    told: queue.Queue[HeardEntry] = queue.Queue()
    voice.listen(CHECK_NUMBER, told.put)
    assert told.get(timeout=PATIENCE_S) == HeardEntry(HeardKind.TROUBLE, Trouble.NO_PORTAUDIO)
    voice.tone(Chime.DONE)
    assert voice._mouth.wait(PATIENCE_S)
    assert voice.status().speaker.code is Trouble.NO_PORTAUDIO
    assert "libportaudio2" in voice.status().speaker.why
    voice.close()


def test_a_speaker_that_cannot_be_had_says_nothing_of_the_microphone(
    synthesiser: Synthesiser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The microphone of the demonstration is no device: without PortAudio it hears all the same."""
    monkeypatch.setattr(devices, "_silenced", [None])
    monkeypatch.setattr(ctypes.util, "find_library", lambda _name: None)
    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    microphone = ScriptedMicrophone(synthesiser.render("seven four", "en"))
    own = Synthesiser(tmp_path / "spoken")
    voice = Voice(Parts(own, recognisers(tmp_path), Pack(tmp_path), None, Player, lambda: microphone))
    voice.tone(Chime.DONE)
    assert voice._mouth.wait(PATIENCE_S)
    assert (voice.status().can_speak, voice.status().can_listen) == (False, True)
    told: queue.Queue[HeardEntry] = queue.Queue()
    voice.listen(CHECK_NUMBER, told.put)
    assert told.get(timeout=PATIENCE_S).kind is HeardKind.READ_BACK
    assert voice.status().can_listen
    voice.close()


def test_a_microphone_that_is_back_counts_as_back_before_anything_is_said(make: Makes) -> None:
    bench = make(unplugged=True)
    bench.listen()
    assert bench.next(HeardKind.TROUBLE).text == Trouble.MICROPHONE_GONE
    assert not bench.voice.status().can_listen
    bench.microphone.plug_in()
    bench.listen()
    end = time.monotonic() + PATIENCE_S
    while not bench.voice.status().can_listen:
        assert time.monotonic() < end, "it listens, and still counts as deaf"
        time.sleep(0.01)


def test_without_the_synthesiser_it_is_silent_and_says_why(
    make: Makes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "espeakng_loader.py").write_text("raise ImportError('not installed')\n")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
    mute = Synthesiser(tmp_path / "empty")
    with pytest.raises(SpeechError, match="not installed") as caught:
        mute.render("hello", "en")
    assert caught.value.code is Trouble.NO_SYNTHESISER
    bench = make("seven four", "yes", speaking=mute)
    bench.listen()
    assert bench.next(HeardKind.ANSWER).text == "74"
    assert bench.voice.status().voice.code is Trouble.NO_SYNTHESISER


class FullDisk(Clips):
    """Every clip goes to the device that is always full."""

    def _next(self) -> int:
        return 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_a_full_disk_costs_the_clip_and_not_the_answer(make: Makes, tmp_path: Path) -> None:
    (tmp_path / "clips").mkdir()
    (tmp_path / "clips" / "000001.flac").symlink_to("/dev/full")
    bench = make("seven four", "yes", clips=FullDisk(tmp_path))
    bench.listen()
    answer = bench.next(HeardKind.ANSWER)
    assert (answer.text, answer.clip) == ("74", None)
    assert bench.voice.status().clips.code is Trouble.DISK_FULL


def test_text_with_figures_is_not_spoken(make: Makes) -> None:
    bench = make()
    bench.voice.say("minus 2", "en")
    assert bench.voice._mouth.wait(PATIENCE_S)
    assert bench.speaker.played == []
    assert bench.voice.status().voice.code is Trouble.NOT_WORDS


def wait_until(true: Callable[[], object]) -> bool:
    end = time.monotonic() + PATIENCE_S
    while not true() and time.monotonic() < end:
        time.sleep(0.01)
    return bool(true())


def test_a_silent_room_is_measured_and_a_dead_microphone_is_seen(make: Makes) -> None:
    bench = make()
    bench.voice.tone(Chime.DONE)
    bench.voice.hear_room()
    assert wait_until(lambda: bench.voice.room)
    level = bench.voice.room
    assert level is not None
    assert level.speech_db < DEAD_DB, "the scripted microphone gives nothing at all"
    assert face_of_room(level) is Face.BAD


def test_what_is_listened_for_next_ends_the_measuring(make: Makes) -> None:
    bench = make("seven four")
    bench.voice.hear_room()
    bench.listen()
    assert bench.next(HeardKind.READ_BACK).text == "74"
    bench.voice.hear_room()
    bench.voice.stop_listening()
    assert bench.voice.status().can_listen


def test_a_room_that_cannot_be_heard_is_a_missing_microphone(make: Makes) -> None:
    bench = make(unplugged=True)
    bench.microphone._rest = 0
    bench.voice.hear_room()
    assert wait_until(lambda: not bench.voice.status().can_listen)
    assert bench.voice.room is None


def test_where_the_answer_is_known_the_first_hearing_counts(make: Makes) -> None:
    bench = make("seven four")
    bench.listen(Asked(Listening.CHECK_NUMBER, "en", read_back=False))
    assert bench.next(HeardKind.ANSWER, HeardKind.READ_BACK) == HeardEntry(
        HeardKind.ANSWER, "74", "seven four", None
    )


@pytest.mark.parametrize(
    ("language", "words"), [("en", "no"), ("pt", "não"), ("fr", "non"), ("sw", "hapana")]
)
def test_an_empty_pocket_is_heard_in_every_language(
    synthesiser: Synthesiser, tmp_path: Path, language: str, words: str
) -> None:
    asked = Asked(Listening.CHECK_NUMBER, language, may_be_empty=True)
    heard = hear(synthesiser.render(words, language), asked, recognisers(tmp_path))
    assert heard.command == "no", heard
    without = hear(
        synthesiser.render(words, language), replace(asked, may_be_empty=False), recognisers(tmp_path)
    )
    assert without.command is None


def test_an_empty_pocket_is_read_back_and_kept(make: Makes, tmp_path: Path) -> None:
    bench = make("no", "yes", clips=Clips(tmp_path))
    bench.listen(Asked(Listening.CHECK_NUMBER, "en", may_be_empty=True))
    assert bench.next(HeardKind.READ_BACK).text == "-"
    answer = bench.next(HeardKind.ANSWER)
    assert (answer.text, answer.heard) == ("-", "no")
    assert (tmp_path / "clips" / (answer.clip or "none")).exists()


def test_with_push_to_talk_one_answer_is_heard_for_each_push(
    synthesiser: Synthesiser, tmp_path: Path
) -> None:
    said = [synthesiser.render(words, "en") for words in ("seven four", "yes")]
    microphone, speaker = ScriptedMicrophone(*said), ScriptedSpeaker()
    own = Synthesiser(tmp_path / "spoken")
    parts = Parts(
        own, recognisers(tmp_path), Pack(tmp_path / "pack"), None, lambda: speaker, lambda: microphone
    )
    voice = Voice(parts, push_to_talk=True)
    microphone.bench_speaks = lambda: voice.speaking
    told: queue.Queue[HeardEntry] = queue.Queue()
    try:
        voice.talk()  # nothing is wanted yet
        voice.listen(CHECK_NUMBER, told.put)
        with pytest.raises(queue.Empty):
            told.get(timeout=1.0)
        assert microphone.opened == 0
        voice.talk()
        assert told.get(timeout=PATIENCE_S).kind is HeardKind.READ_BACK
        with pytest.raises(queue.Empty):
            told.get(timeout=1.0)
        voice.talk()
        answer = told.get(timeout=PATIENCE_S)
        assert (answer.kind, answer.text) == (HeardKind.ANSWER, "74")
    finally:
        voice.close()

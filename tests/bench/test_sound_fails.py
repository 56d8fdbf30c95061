"""Whatever of sound fails, and whenever: the pair goes on by keypad on the real screen, whole in the record.

One is made to its end; the others go as far as the first lens that is marked.
"""

import asyncio
import ctypes.util
import os
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from benches import careful, key, opened
from hands import hands_on
from scripted_sound import ScriptedMicrophone, ScriptedSpeaker

from assistant.bench.app import BenchApp
from assistant.bench.session import RECORD, Session
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit, demo_orders
from assistant.language.prompts import Talk
from assistant.speech import devices
from assistant.speech.capture import BLOCK, Microphone
from assistant.speech.clips import Clips
from assistant.speech.equipment import recognisers
from assistant.speech.errors import Trouble
from assistant.speech.fed import HISS
from assistant.speech.model_folder import number_model
from assistant.speech.pack import Pack
from assistant.speech.player import Player
from assistant.speech.sound import Samples, Sound
from assistant.speech.synth import Synthesiser
from assistant.speech.voice import Parts, Voice
from assistant.workflow.events import Answered, Source

PATIENCE_S = 60.0


@pytest.fixture
def synthesiser(tmp_path: Path) -> Iterator[Synthesiser]:
    """Renders what the helper says, apart from the bench's own."""
    made = Synthesiser(tmp_path / "helper")
    yield made
    made.close()


def at_order(folder: Path, voice: Voice) -> BenchApp:
    """A bench whose day is open and whose helper is understood; the first order is to be chosen."""
    hands = hands_on(demo_kit(), demo_orders()[0])
    hands.until("order")
    session, _ = Session.open(folder, "heron", demo_kit(), lambda: 1_762_000_000.0)
    with session:
        for event in hands.events:
            session.submit(event)
    return opened(folder, voice=voice, talk=Talk.TERSE)


def voice_of(
    folder: Path,
    microphone: ScriptedMicrophone,
    speaker: ScriptedSpeaker | None = None,
    synthesiser: Synthesiser | None = None,
    clips: Clips | None = None,
) -> Voice:
    played = speaker or ScriptedSpeaker()
    own = synthesiser or Synthesiser(folder / "spoken")
    voice = Voice(
        Parts(own, recognisers(folder), Pack(folder / "pack"), clips, lambda: played, lambda: microphone)
    )
    microphone.bench_speaks = lambda: voice.speaking
    return voice


async def made_by_keypad(
    folder: Path, voice: Voice, failed: Callable[[BenchApp], bool], until: str = "cut"
) -> None:
    """Wait for the failure, then key on; what was keyed is in the record."""
    app = at_order(folder, voice)
    try:
        async with app.run_test(size=(80, 24)) as pilot:
            end = time.monotonic() + PATIENCE_S
            while not failed(app):
                assert time.monotonic() < end, f"it did not fail: {voice.status()}"
                await asyncio.sleep(0.02)
            await pilot.pause()
            await careful(app, pilot, 1, until)
            if until == "hand_over":
                await key(pilot, "")
                assert [done.outcome for done in app.session.bench.closed] == ["handed_over"]
    finally:
        voice.close()
    answers = [e.event for e in read(folder / RECORD, EVENTS).lines if isinstance(e.event, Answered)]
    assert "mark" in {answer.step for answer in answers if answer.source is Source.KEYPAD}


async def test_a_microphone_unplugged_in_the_middle_of_a_word(
    tmp_path: Path, synthesiser: Synthesiser
) -> None:
    whole = synthesiser.render("one", "en")
    word = Sound(whole.samples[: len(whole.samples) // 2], whole.rate)
    voice = voice_of(tmp_path, ScriptedMicrophone(word, unplugged_at_end=True))
    await made_by_keypad(tmp_path, voice, lambda app: "sound is off" in app.caption, until="hand_over")
    assert voice.status().microphone.code is Trouble.MICROPHONE_GONE


class InARoom(ScriptedMicrophone):
    """Silence is never quite silent: a microphone that gives nothing counts as a dead one."""

    chance = np.random.default_rng(1)

    def block(self) -> Samples:
        return super().block() + self.chance.integers(-HISS, HISS, BLOCK).astype(np.int16)


async def test_a_microphone_that_goes_while_numbers_are_said_and_is_back_is_tried_before_the_next_pair(
    tmp_path: Path,
) -> None:
    microphone = InARoom()
    voice = voice_of(tmp_path, microphone)
    app = opened(tmp_path, voice=voice, talk=Talk.TERSE)

    def step() -> str:
        return app.session.bench.current.step

    async def until(true: Callable[[], bool]) -> None:
        end = time.monotonic() + PATIENCE_S
        while not true():
            assert time.monotonic() < end, (
                f"stands at {step()} with {app.session.bench.entries}: {voice.status()}"
            )
            await asyncio.sleep(0.02)

    try:
        async with app.run_test(size=(80, 24)) as pilot:
            await careful(app, pilot, 1, "voice")
            microphone.unplug()
            await until(lambda: step() == "zero")
            assert (app.session.bench.the_day.voice, app.session.bench.the_day.numbers) == (None, ())
            assert not voice.status().can_listen
            await careful(app, pilot, 1, "hand_over")
            microphone.plug_in()
            await pilot.press("asterisk")
            await until(lambda: voice.status().can_listen)
            await key(pilot, "")
            assert step() == "voice"
            assert len(app.session.bench.the_day.numbers) == 4
    finally:
        voice.close()


async def test_a_speaker_that_goes(tmp_path: Path) -> None:
    speaker = ScriptedSpeaker()
    speaker.gone = True
    voice = voice_of(tmp_path, ScriptedMicrophone(), speaker)
    await made_by_keypad(tmp_path, voice, lambda _: not voice.status().can_speak)
    assert voice.status().speaker.code is Trouble.SPEAKER_GONE


async def test_a_damaged_model_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy = tmp_path / "models" / "en"
    shutil.copytree(number_model("en"), copy)
    whole = (copy / "am" / "final.mdl").read_bytes()
    (copy / "am" / "final.mdl").write_bytes(whole[: len(whole) // 2])
    monkeypatch.setenv("ASSISTANT_MODELS", str(tmp_path / "models"))
    voice = voice_of(tmp_path, ScriptedMicrophone())
    await made_by_keypad(tmp_path, voice, lambda app: "sound is off" in app.caption)
    assert not voice.status().can_listen


async def test_no_portaudio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(devices, "_silenced", [None])
    monkeypatch.setattr(ctypes.util, "find_library", lambda _name: None)
    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    own = Synthesiser(tmp_path / "spoken")
    voice = Voice(Parts(own, recognisers(tmp_path), Pack(tmp_path), None, Player, Microphone))
    await made_by_keypad(tmp_path, voice, lambda app: "sound is off" in app.caption)
    assert voice.status().microphone.code is voice.status().speaker.code is Trouble.NO_PORTAUDIO


async def test_no_synthesiser(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "espeakng_loader.py").write_text("raise ImportError('not installed')\n")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
    voice = voice_of(tmp_path, ScriptedMicrophone(), synthesiser=Synthesiser(tmp_path / "empty"))
    await made_by_keypad(tmp_path, voice, lambda _: voice.status().voice.code is Trouble.NO_SYNTHESISER)


class FullDisk(Clips):
    """Every clip goes to the device that is always full."""

    def _next(self) -> int:
        return 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
async def test_a_disk_that_fills_up_while_clips_are_written(tmp_path: Path, synthesiser: Synthesiser) -> None:
    (tmp_path / "clips").mkdir()
    (tmp_path / "clips" / "000001.flac").symlink_to("/dev/full")
    said = [synthesiser.render(word, "en") for word in ("one", "yes")]
    voice = voice_of(tmp_path, ScriptedMicrophone(*said), clips=FullDisk(tmp_path))
    await made_by_keypad(tmp_path, voice, lambda app: app.session.bench.current.step == "plan")
    assert voice.status().clips.code is Trouble.DISK_FULL
    answers = [e.event for e in read(tmp_path / RECORD, EVENTS).lines if isinstance(e.event, Answered)]
    (spoken,) = [answer for answer in answers if answer.source is Source.VOICE]
    assert (spoken.step, spoken.text, spoken.heard, spoken.clip) == ("order", "1", "one", None)


async def test_no_room_for_the_graph_of_a_step(tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file where the cache should be: nothing can be made in it")
    voice = voice_of(tmp_path, ScriptedMicrophone())
    await made_by_keypad(tmp_path, voice, lambda app: "sound is off" in app.caption)
    assert "cannot be made ready" in voice.status().model.why

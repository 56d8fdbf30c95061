"""The bench with a voice that is only a list: what is said, listened for, and done with what is heard."""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from benches import careful, key, opened
from textual.pilot import Pilot

from assistant.bench import spoken
from assistant.bench.app import BenchApp
from assistant.bench.session import RECORD
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.language.listening import Listening
from assistant.language.prompts import Spoken, Talk
from assistant.speech.errors import Trouble
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.level import Level
from assistant.speech.status import Status
from assistant.speech.synth import Pace
from assistant.speech.tones import Chime
from assistant.speech.understanding import Asked
from assistant.ui.picture_view import PictureView
from assistant.workflow.effects import Listen
from assistant.workflow.events import (
    Answered,
    AskedAgain,
    Event,
    HelpAsked,
    Room,
    Source,
    TakenBack,
    VoiceTried,
)
from assistant.workflow.pictures import VoicePicture
from assistant.workflow.steps import STEPS, FieldKind


class ListedVoice:
    """Keeps what it was told; `hear` gives the bench something as the listening thread would."""

    def __init__(self) -> None:
        self.said: list[tuple[str, Pace]] = []
        self.languages: set[tuple[str, str]] = set()
        self.asked: list[Asked] = []
        self.chimes: list[Chime] = []
        self.cuts = 0
        self.confirmed: list[bool] = []
        self.on_heard: Callable[[HeardEntry], None] = lambda _: None
        self.reading_back = False
        self.rooms_heard = self.talks = 0
        self.level: Level | None = None
        self.condition = Status()

    def prompt(
        self,
        text_id: str,
        language: str,
        args: Mapping[str, Spoken | str] | None = None,
        pace: Pace = Pace.USUAL,
        own: str = "",
    ) -> None:
        self.said.append((text_id, pace))
        self.languages.add((language, own))

    def tone(self, kind: Chime) -> None:
        self.chimes.append(kind)

    def cut(self) -> None:
        self.cuts += 1

    def listen(self, asked: Asked, on_heard: Callable[[HeardEntry], None]) -> None:
        self.asked.append(asked)
        self.on_heard = on_heard

    def stop_listening(self) -> None:
        self.reading_back = False

    def confirm(self, yes: bool) -> bool:
        if not self.reading_back:
            return False
        self.confirmed.append(yes)
        self.reading_back = False
        return True

    def talk(self) -> None:
        self.talks += 1

    def hear_room(self) -> None:
        self.rooms_heard += 1

    @property
    def room(self) -> Level | None:
        return self.level

    def status(self) -> Status:
        return self.condition

    def close(self) -> None:
        pass

    def hear(self, kind: HeardKind, text: str = "", heard: str = "", clip: str | None = None) -> None:
        self.reading_back = kind is HeardKind.READ_BACK
        self.on_heard(HeardEntry(kind, text, heard, clip))


def speaking(folder: Path, talk: Talk = Talk.USUAL) -> tuple[BenchApp, ListedVoice]:
    voice = ListedVoice()
    return opened(folder, voice=voice, talk=talk), voice


async def at_read(app: BenchApp, pilot: Pilot[None], voice: ListedVoice) -> None:
    """The start of the day, its four numbers understood, and on to the first lens."""
    await careful(app, pilot, 1, "voice")
    await say_numbers(app, pilot, voice)
    await careful(app, pilot, 1, "read")


async def say_numbers(app: BenchApp, pilot: Pilot[None], voice: ListedVoice, *heard: str) -> None:
    for number in heard or app.session.bench.the_day.numbers:
        voice.hear(HeardKind.ANSWER, number, "said")
        await pilot.pause()


def test_every_field_can_be_listened_for_or_is_keyed_only() -> None:
    for step in STEPS:
        for field in step.fields:
            question = spoken.asked(Listen(step.id, field.name, field.kind), "en")
            assert (question is None) == (step.id in spoken.KEYED_ONLY)
            if question is not None and field.kind is not FieldKind.DONE:
                said = Listening.CHECK_NUMBER if field.kind is FieldKind.SAID else Listening[field.kind.name]
                assert question.listening is said


async def test_a_supervisor_s_code_is_never_listened_for(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        before = len(voice.asked)
        await pilot.press("slash")
        assert app.session.bench.current.step == "supervisor"
        assert len(voice.asked) == before


async def test_a_spoken_answer_is_read_back_shown_and_kept_with_its_clip(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        assert voice.asked[-1].listening is Listening.POWER
        voice.hear(HeardKind.READ_BACK, "-2.25", "minus two point two five", "0001.flac")
        await pilot.pause()
        assert not app.session.bench.entries
        voice.hear(HeardKind.ANSWER, "-2.25", "minus two point two five", "0001.flac")
        await pilot.pause()
        assert app.session.bench.entries == (("sphere", -2.25),)


async def test_enter_confirms_and_backspace_denies_a_read_back(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        for key, yes in (("enter", True), ("backspace", False)):
            voice.hear(HeardKind.READ_BACK, "-2.25")
            await pilot.pause()
            await pilot.press(key)
            assert voice.confirmed[-1] is yes
        assert app.session.bench.current.step == "read"
        assert app.session.bench.entries == ()


async def test_an_answer_to_an_entry_that_was_keyed_meanwhile_is_dropped(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        late = voice.on_heard
        await pilot.press("minus", "2", "enter")
        late(HeardEntry(HeardKind.ANSWER, "-1.5"))
        await pilot.pause()
        assert app.session.bench.entries == (("sphere", -2.0),)


async def test_a_key_cuts_the_prompt_off(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1")
        assert voice.cuts == 1


async def test_again_is_slower_and_in_full(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path, Talk.TERSE)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        assert "short-step-read" in [text_id for text_id, _ in voice.said]
        await pilot.press("asterisk")
        assert ("learner-step-read", Pace.SLOW) in voice.said


@pytest.mark.parametrize(
    ("entry", "kind"),
    [
        (HeardEntry(HeardKind.COMMAND, "again"), AskedAgain),
        (HeardEntry(HeardKind.COMMAND, "back"), TakenBack),
        (HeardEntry(HeardKind.COMMAND, "help"), HelpAsked),
        (HeardEntry(HeardKind.ANSWER, "-2"), Answered),
    ],
)
def test_what_was_heard_becomes_an_event(entry: HeardEntry, kind: type) -> None:
    event = spoken.event_of(entry, Listen("read", "sphere", FieldKind.POWER), 1.0)
    assert isinstance(event, kind)
    if isinstance(event, Answered):
        assert event.source is Source.VOICE


@pytest.mark.parametrize(
    "kind", [HeardKind.READ_BACK, HeardKind.REFUSED, HeardKind.KEYPAD, HeardKind.TROUBLE]
)
def test_what_is_no_answer_is_no_event(kind: HeardKind) -> None:
    assert spoken.event_of(HeardEntry(kind, "x"), Listen("read", "sphere", FieldKind.POWER), 1.0) is None


async def test_the_room_is_measured_while_sound_is_asked_about(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "sound")
        assert voice.rooms_heard == 1
        voice.level = Level(-60.0, -55.0, 0.0)
        await careful(app, pilot, 1, "voice")
        tried = written(tmp_path)[-1]
        assert isinstance(tried, VoiceTried)
        assert (tried.room, tried.noise_db) == (Room.GOOD, -55.0)
        assert len({digit for number in tried.numbers for digit in number}) == 8
        assert not voice.asked[-1].read_back


async def test_who_is_understood_goes_on_by_voice(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        assert app.session.bench.the_day.voice
        assert not app.screen.query_one("#keys").display
        assert voice.asked[-1].listening is Listening.POWER


async def test_who_is_not_understood_goes_on_by_keypad_with_a_sign(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "voice")
        for _ in range(4):
            voice.hear(HeardKind.KEYPAD)
            await pilot.pause()
        assert app.session.bench.the_day.voice is False
        assert ("voice-keypad-first", Pace.USUAL) in voice.said
        asked = len(voice.asked)
        await careful(app, pilot, 1, "dot")
        assert len(voice.asked) == asked, "nothing is listened for"
        assert ("step-read", Pace.USUAL) in voice.said, "and all is said"
        assert app.screen.query_one("#keys").display


async def test_a_microphone_that_fails_while_numbers_are_said_is_tried_again_before_the_next_pair(
    tmp_path: Path,
) -> None:
    app, voice = speaking(tmp_path)
    gone = Status().troubled(Trouble.MICROPHONE_GONE, "the microphone stopped giving sound")
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "voice")
        voice.condition, voice.level = gone, Level(-60.0, -55.0, 0.0)
        for _ in range(4):
            voice.hear(HeardKind.TROUBLE)
            await pilot.pause()
        assert app.session.bench.the_day.voice is None
        assert ("voice-asked-later", Pace.USUAL) in voice.said
        await careful(app, pilot, 1, "order")
        assert app.session.bench.current.step == "order", "it is still away"
        await careful(app, pilot, 1, "hand_over")
        assert voice.asked[-1].listening is Listening.COMMANDS, "it goes on trying to listen"
        voice.condition = Status()
        await key(pilot, "")
        assert app.session.bench.current.step == "voice"
        assert ("pair-done", Pace.USUAL) in voice.said, "what came of the pair is said first"
        tried = written(tmp_path)[-1]
        assert isinstance(tried, VoiceTried)
        assert (tried.room, tried.noise_db) == (None, None), "the room was measured in the morning, if at all"
        for number in tried.numbers:
            voice.hear(HeardKind.ANSWER, number)
            await pilot.pause()
        assert app.session.bench.the_day.voice is True
        assert app.session.bench.current.step == "order"


async def test_a_room_that_is_too_loud_is_shown_and_keyed_in(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    voice.level = Level(-30.0, -20.0, 0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "voice")
        assert app.screen.query_one(PictureView).picture == VoicePicture(None, Room.BAD, 0, 4)
        await key(pilot, "")
        assert app.session.bench.the_day.voice is False
        assert app.session.bench.current.step == "zero"


async def test_without_a_microphone_nobody_is_asked_to_say_anything(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    voice.condition = Status().troubled(Trouble.MICROPHONE_MISSING, "no microphone")
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "order")
        assert app.session.bench.the_day.voice is None
        assert not any(isinstance(event, VoiceTried) for event in written(tmp_path))


async def test_twice_refused_shows_the_keypad_until_the_entry_is_in(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot, voice)
        voice.hear(HeardKind.KEYPAD)
        await pilot.pause()
        assert app.screen.query_one("#keys").display
        await key(pilot, "-2")
        assert not app.screen.query_one("#keys").display


def written(folder: Path) -> list[Event]:
    return [line.event for line in read(folder / RECORD, EVENTS).lines]


async def test_the_space_bar_or_a_foot_switch_is_push_to_talk(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "order")
        before = app.session.bench
        await pilot.press("space")
        assert voice.talks == 1
        assert app.session.bench is before
        assert app.typed == ""

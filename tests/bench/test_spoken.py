"""The bench with a voice that is only a list: what is said, listened for, and done with what is heard."""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from benches import careful, opened
from textual.pilot import Pilot

from assistant.bench import spoken
from assistant.bench.app import BenchApp
from assistant.language.listening import Listening
from assistant.language.prompts import Spoken, Talk
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.synth import Pace
from assistant.speech.tones import Chime
from assistant.speech.understanding import Asked
from assistant.workflow.effects import Listen
from assistant.workflow.events import Answered, AskedAgain, HelpAsked, Source, TakenBack
from assistant.workflow.steps import STEPS, FieldKind


class ListedVoice:
    """Keeps what it was told; `hear` gives the bench something as the listening thread would."""

    def __init__(self) -> None:
        self.said: list[tuple[str, Pace]] = []
        self.asked: list[Asked] = []
        self.chimes: list[Chime] = []
        self.cuts = 0
        self.confirmed: list[bool] = []
        self.on_heard: Callable[[HeardEntry], None] = lambda _: None
        self.reading_back = False

    def prompt(
        self,
        text_id: str,
        language: str,
        args: Mapping[str, Spoken | str] | None = None,
        pace: Pace = Pace.USUAL,
    ) -> None:
        self.said.append((text_id, pace))

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

    def close(self) -> None:
        pass

    def hear(self, kind: HeardKind, text: str = "", heard: str = "", clip: str | None = None) -> None:
        self.reading_back = kind is HeardKind.READ_BACK
        self.on_heard(HeardEntry(kind, text, heard, clip))


def speaking(folder: Path, talk: Talk = Talk.USUAL) -> tuple[BenchApp, ListedVoice]:
    voice = ListedVoice()
    return opened(folder, voice=voice, talk=talk), voice


async def at_read(app: BenchApp, pilot: Pilot[None]) -> None:
    await careful(app, pilot, 1, "read")


def test_every_field_can_be_listened_for_or_is_keyed_only() -> None:
    for step in STEPS:
        for field in step.fields:
            question = spoken.asked(Listen(step.id, field.name, field.kind), "en")
            assert (question is None) == (step.id in spoken.KEYED_ONLY)
            if question is not None and field.kind is not FieldKind.DONE:
                assert question.listening is Listening[field.kind.name]


async def test_a_supervisor_s_code_is_never_listened_for(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot)
        before = len(voice.asked)
        await pilot.press("slash")
        assert app.session.bench.current.step == "supervisor"
        assert len(voice.asked) == before


async def test_a_spoken_answer_is_read_back_shown_and_kept_with_its_clip(tmp_path: Path) -> None:
    app, voice = speaking(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_read(app, pilot)
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
        await at_read(app, pilot)
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
        await at_read(app, pilot)
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
        await at_read(app, pilot)
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

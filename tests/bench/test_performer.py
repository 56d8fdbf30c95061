"""The helper of the played demonstration: what it says, what it keys and why, and how it answers a read-back."""

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.bench import performer as performing
from assistant.bench.keys import Act, Pressed
from assistant.bench.performer import same
from assistant.bench.session import Session
from assistant.commands.demonstration import performer
from assistant.kit.load import demo_kit, demo_orders
from assistant.practice.helper import VirtualHelper
from assistant.practice.slips import CAREFUL
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.status import Status
from assistant.workflow.entry import NOT_SAID
from assistant.workflow.events import Answered, Source, VoiceTried
from assistant.workflow.fields import listen_for
from assistant.workflow.present import present


class Stage:
    """A screen that read back something else than was said."""

    def __init__(self, session: Session, typed: str) -> None:
        self.session, self.typed, self.reading_back, self.refusals = session, typed, True, 0
        self.pressed: list[Pressed] = []

    def press(self, key: Pressed) -> None:
        self.pressed.append(key)
        self.reading_back = False

    def show_said(self, words: str) -> None:
        """Nothing is shown."""


class QuickLips:
    """Says everything at once."""

    busy = False

    def say(self, words: str, language: str, begun: Callable[[], None]) -> None:
        begun()

    def hush(self) -> None:
        """Nothing waits."""


class FailingLips(QuickLips):
    """Says nothing for as long as its synthesiser fails."""

    def __init__(self, fails: int) -> None:
        self.fails, self.asked = fails, 0

    def say(self, words: str, language: str, begun: Callable[[], None]) -> None:
        self.asked += 1
        if self.asked <= self.fails:
            raise SpeechError(Trouble.VOICE_MISSING, "no two of 6 clips were alike")


class Understanding(Stage):
    """A screen whose bench takes whatever is said, or refuses it as often as it is told to."""

    refuses = 0
    words = ""

    def __init__(self, session: Session) -> None:
        super().__init__(session, "")
        self.reading_back = False

    def press(self, key: Pressed) -> None:
        self.words += key.character
        if key.act is Act.ACCEPT:
            self.enter(self.words)

    def enter(self, text: str, source: Source = Source.KEYPAD) -> None:
        self.words = ""
        wanted = listen_for(self.session.bench)
        assert wanted is not None
        entry = Answered(at=1.0, step=wanted.step, field=wanted.field, text=text, source=source)
        self.session.submit(entry)


def at(session: Session, step: str) -> None:
    """Key the day up to this step."""
    hands = VirtualHelper(demo_kit(), 1, CAREFUL)
    stage = Understanding(session)
    while session.bench.current.step != step:
        stage.enter(hands.answer(present(session.bench)))


@pytest.fixture
def unwatched(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody watches or answers: nothing waits."""
    for name in ("KEY_S", "READING_S", "HEARD_S", "READ_BACK_S", "PROMPT_S", "MOVED_S"):
        monkeypatch.setattr(performing, name, 0.0)


class Listens:
    """The bench's voice, which hears what it is given; the test says what becomes of it."""

    room, speaking = None, False

    def __init__(self) -> None:
        self.condition = Status()

    def status(self) -> Status:
        return self.condition


def with_voice(folder: Path, lips: QuickLips) -> tuple[performing.Performer, Listens]:
    helper = performer(demo_kit(), folder, "en", None, False, None)
    voice = Listens()
    helper.began = time.monotonic()
    helper.lips, helper.voice = lips, voice  # type: ignore[assignment]
    return helper, voice


async def entries(helper: performing.Performer, stage: Stage, count: int) -> None:
    for _ in range(count):
        await helper._enter(stage, stage.session.bench)


async def test_a_voice_that_fails_is_tried_again_and_the_end_tells_of_it(
    tmp_path: Path, unwatched: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Session.open(tmp_path, "heron", demo_kit(), time.time)[0] as session:
        session.begin_day("2026-11-02", demo_orders())
        at(session, "order")
        lips = FailingLips(fails=1)
        helper, _ = with_voice(tmp_path, lips)
        stage = Understanding(session)
        await entries(helper, stage, 4)
        assert lips.asked == 1, "not at every entry: it may take its time to fail"
        assert "4 entries, 0 of them spoken. Keyed: 4 while the helper's voice failed." in helper.told
        assert "no two of 6 clips were alike" in helper.told
        await entries(helper, stage, 1)
        assert lips.asked >= 2
        assert "no two of 6 clips" not in helper.told, "it speaks again"


async def test_a_bench_that_cannot_listen_is_keyed_at_and_the_end_tells_of_it(
    tmp_path: Path, unwatched: None
) -> None:
    with Session.open(tmp_path, "heron", demo_kit(), time.time)[0] as session:
        session.begin_day("2026-11-02", demo_orders())
        at(session, "order")
        helper, voice = with_voice(tmp_path, QuickLips())
        voice.condition = Status().troubled(Trouble.MODEL_DAMAGED, "the model cannot be used")
        await entries(helper, Understanding(session), 3)
        assert "Keyed: 3 while the bench could not listen. the model cannot be used" in helper.told


async def test_what_cannot_be_begun_is_keyed_and_not_said_later(
    tmp_path: Path, unwatched: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Waiting(QuickLips):
        """The bench never falls silent."""

        busy, waits = False, 0

        def say(self, words: str, language: str, begun: Callable[[], None]) -> None:
            self.busy, self.waits = True, self.waits + 1

        def hush(self) -> None:
            self.busy, self.waits = False, 0

    monkeypatch.setattr(performing, "PROMPT_MOST_S", 0.0)
    with Session.open(tmp_path, "heron", demo_kit(), time.time)[0] as session:
        session.begin_day("2026-11-02", demo_orders())
        at(session, "order")
        lips = Waiting()
        helper, _ = with_voice(tmp_path, lips)
        assert not await helper._said(Understanding(session), session.bench, "one", "1")
        assert lips.waits == 0


async def test_numbers_that_are_not_understood_do_not_count_as_spoken_and_the_rest_is_keyed_with_a_reason(
    tmp_path: Path, unwatched: None
) -> None:
    with Session.open(tmp_path, "heron", demo_kit(), time.time)[0] as session:
        session.begin_day("2026-11-02", demo_orders())
        at(session, "zero")
        session.submit(VoiceTried(at=1.0, numbers=("12", "34", "56", "78")))
        stage = Understanding(session)

        class Unheard(QuickLips):
            """Every second thing that it says is the last that the bench takes for this number."""

            said = 0

            def say(self, words: str, language: str, begun: Callable[[], None]) -> None:
                self.said += 1
                stage.refusals += 1
                if self.said % 2 == 0:
                    stage.enter(NOT_SAID, Source.VOICE)

        lips = Unheard()
        helper, _ = with_voice(tmp_path, lips)
        await entries(helper, stage, 4)
        assert (session.bench.current.step, session.bench.the_day.voice) == ("zero", False)
        assert lips.said == 8
        at(session, "order")
        await entries(helper, stage, 2)
        assert helper.told == (
            "6 entries, 0 of them spoken. "
            "Keyed: 4 not understood, 2 since too few of the four numbers were understood."
        )


@pytest.mark.parametrize(
    ("heard", "act"), [("-2.5", Act.BACK), ("-2.25", Act.ACCEPT), ("-2.250", Act.ACCEPT)]
)
async def test_a_wrong_read_back_gets_a_no(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, heard: str, act: Act
) -> None:
    for name in ("HEARD_S", "READ_BACK_S"):
        monkeypatch.setattr(performing, name, 0.0)
    helper = performer(demo_kit(), tmp_path, "en", None, False, None)
    helper.lips = QuickLips()  # type: ignore[assignment]
    with Session.open(tmp_path, "heron", demo_kit(), time.time)[0] as session:
        session.begin_day("2026-11-02")
        stage = Stage(session, heard)
        assert not await helper._said(stage, session.bench, "minus two point two five", "-2.25")
    assert stage.pressed == [Pressed(act)]


def test_the_same_figure_however_written() -> None:
    assert same("+2.00", "2")
    assert same("", "")
    assert not same("+2", "-2")
    assert not same("+", "")

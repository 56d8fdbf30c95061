"""The played demonstration: a whole pair by itself, a key hands it over, and it hears with the real ear."""

import asyncio
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from benches import key
from real_terminal import LEFT, needs_tmux, terminal

from assistant.bench import performer as performing
from assistant.bench.demonstration import Demonstration
from assistant.bench.keys import Act, Pressed
from assistant.bench.performer import same
from assistant.bench.session import RECORD, Session
from assistant.commands.demonstration import Table, idle_hands, performer, record_name
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit, demo_orders
from assistant.language.prompts import Talk
from assistant.practice.helper import VirtualHelper
from assistant.practice.slips import CAREFUL
from assistant.speech import player
from assistant.speech.capture import BLOCK
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.fed import BREATH_BLOCKS, FedMicrophone
from assistant.speech.sound import Samples, Sound
from assistant.speech.status import Status
from assistant.ui.glyphs import Glyphs
from assistant.ui.picture_view import SceneView
from assistant.ui.shapes import Numeral
from assistant.workflow.entry import NOT_SAID
from assistant.workflow.events import Answered, Source, VoiceTried
from assistant.workflow.fields import listen_for
from assistant.workflow.present import present
from assistant.workflow.state import Bench

PATIENCE_S = 120.0


@pytest.fixture
def hurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody watches: nothing waits to be read."""
    for name in ("KEY_S", "FIRST_LOOK_S", "READING_S"):
        monkeypatch.setattr(performing, name, 0.0)


def played(folder: Path, sound: bool = False) -> Demonstration:
    session, _ = Session.open(folder, "heron-demo", demo_kit(), time.time)
    opening = session.begin_day("2026-11-02", demo_orders())
    helper = performer(demo_kit(), folder, "en", folder, sound, None)
    app = Demonstration(session, opening, Glyphs.SIXTEEN, helper.voice, Talk.TERSE)
    app.performer, app.beside = helper, Table(helper, session)
    return app


def note(app: Demonstration) -> str:
    return str(app.screen.query_one("#demo").render())


async def wait(app: Demonstration, true: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < end, f"stands at {app.session.bench.current}"
        await asyncio.sleep(0.02)


async def test_without_sound_a_whole_pair_is_keyed_and_then_handed_over(
    tmp_path: Path, hurried: None
) -> None:
    app = played(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait(app, lambda: not app.playing)
        assert [done.outcome for done in app.session.bench.closed] == ["handed_over"]
        assert "A whole pair in" in note(app)
        assert "0 of them spoken" in note(app)
        await key(pilot, "1")
        assert app.session.bench.current.step == "plan"


async def test_the_first_key_takes_over_and_is_no_entry(
    tmp_path: Path, hurried: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def look(_: performing.Performer, bench: Bench) -> None:
        """At the first reading it looks for ever, so that the key comes just then."""
        if bench.current.step == "read":
            await asyncio.Event().wait()

    monkeypatch.setattr(performing.Performer, "_look", look)
    app = played(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait(app, lambda: app.session.bench.current.step == "read")
        assert app.playing
        await pilot.press("7")
        stands = app.session.bench
        assert not app.playing
        assert app.typed == ""
        assert note(app).startswith("Your turn")
        assert app.screen.query_one("#beside", SceneView).scene is not None, "what lies there can be read"
        await pilot.pause(0.3)
        assert app.session.bench is stands, "nobody keys but the person"
        assert app.performer is not None
        await key(pilot, app.performer.found(stands))
        assert app.session.bench is not stands


@pytest.mark.parametrize("by", ["ctrl+c", "ctrl+q"])
async def test_it_can_be_left_at_any_time(tmp_path: Path, by: str) -> None:
    app = played(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait(app, lambda: app.playing)
        await pilot.press(by)
        await pilot.pause()
    assert not app.is_running


def by_hand(folder: Path) -> Demonstration:
    session, _ = Session.open(folder, "heron-demo", demo_kit(), time.time)
    opening = session.begin_day("2026-11-02", demo_orders())
    app = Demonstration(session, opening, Glyphs.SIXTEEN, None, Talk.USUAL)
    app.beside = Table(idle_hands(demo_kit()), session)
    return app


def read_off(app: Demonstration) -> str:
    """The figure on what lies beside the picture; Enter alone where none is shown."""
    scene = app.screen.query_one("#beside", SceneView).scene
    figures = (
        [shape.text for shape in scene.shapes if isinstance(shape, Numeral)] if scene is not None else []
    )
    return figures[0] if figures else ""


async def test_by_hand_nothing_plays(tmp_path: Path) -> None:
    app = by_hand(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        assert not app.playing
        await key(pilot, "3")
        assert app.session.bench.the_day.helper == 3


async def test_by_hand_the_instruments_stand_beside_from_the_first_reading(tmp_path: Path) -> None:
    app = by_hand(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        for entry in ("3", "1", "+"):
            await key(pilot, entry)
        for step in ("zero", "reference", "reference", "reference"):
            assert app.session.bench.current.step == step
            await key(pilot, read_off(app))
        assert app.session.bench.current.step == "index"
        for entry in ("180", "+", "1", ""):
            await key(pilot, entry)
        await key(pilot, "99")
        assert app.session.bench.refusal is not None
        await key(pilot, read_off(app))
        for _ in range(2):
            assert app.session.bench.current.step == "read"
            await key(pilot, read_off(app))
        assert app.session.bench.current.step == "dot"


async def test_in_a_pair_begun_before_nothing_lies_beside(tmp_path: Path) -> None:
    app = by_hand(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        for entry in ("3", "1", "+", "+0", "-3", "-1", "90", "180", "+", "1", ""):
            await key(pilot, entry)
        assert app.session.bench.current.step == "fetch"
    app.session.close()
    again = by_hand(tmp_path)
    async with again.run_test(size=(80, 24)):
        assert again.session.bench.current.step == "fetch"
        assert again.screen.query_one("#beside", SceneView).scene is None


@pytest.mark.parametrize("lacks", [Trouble.SPEAKER_MISSING, Trouble.NO_PORTAUDIO])
async def test_without_a_sound_card_it_is_heard_by_the_real_ear(
    tmp_path: Path, hurried: None, monkeypatch: pytest.MonkeyPatch, lacks: Trouble
) -> None:
    def no_speaker(*_: object) -> None:
        raise SpeechError(lacks, "no speaker")

    monkeypatch.setattr(player.Player, "play", no_speaker)
    monkeypatch.setattr(performing, "LATE_S", PATIENCE_S)
    app = played(tmp_path, sound=True)
    assert app.performer is not None
    voice = app.performer.voice
    assert voice is not None
    try:
        async with app.run_test(size=(80, 24)):
            await wait(app, lambda: app.session.bench.current.step == "plan")
    finally:
        app.performer.step_down()
        voice.close()
    assert app.session.bench.the_day.voice is True
    lines = read(tmp_path / RECORD, EVENTS).lines
    spoken = [e.event for e in lines if isinstance(e.event, Answered) and e.event.source is Source.VOICE]
    assert sum(bool(event.heard) for event in spoken) >= 3
    assert "order" in {event.step for event in spoken}
    assert all(
        (tmp_path / "clips" / (event.clip or "none")).exists() for event in spoken if event.step == "order"
    )


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
def unwatched(hurried: None, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("HEARD_S", "READ_BACK_S", "PROMPT_S", "MOVED_S"):
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


def test_each_play_has_a_record_of_its_own_and_by_hand_the_last_goes_on(tmp_path: Path) -> None:
    assert record_name(tmp_path, "heron", True, demo_kit()) == "heron-demo"
    for name in ("heron-demo", "heron-demo-2"):
        (tmp_path / name).mkdir()
        (tmp_path / name / RECORD).touch()
    assert record_name(tmp_path, "heron", True, demo_kit()) == "heron-demo-3"
    assert record_name(tmp_path, "heron", False, demo_kit()) == "heron-demo-2"
    assert record_name(tmp_path, "crab", False, demo_kit()) == "crab-demo"


class Own:
    """The room's own microphone."""

    def __init__(self, missing: bool = False) -> None:
        self.missing, self.opened, self.closed = missing, 0, 0

    def open(self) -> None:
        if self.missing:
            raise SpeechError(Trouble.MICROPHONE_MISSING, "no microphone")
        self.opened += 1

    def block(self) -> Samples:
        return np.full(BLOCK, 7, np.int16)

    def forget(self) -> None:
        """Nothing waits."""

    def close(self) -> None:
        self.closed += 1


def blocks(microphone: FedMicrophone, count: int) -> Iterator[Samples]:
    for _ in range(count):
        yield microphone.block()


def test_what_is_fed_waits_until_the_bench_is_silent() -> None:
    speaking, begun = [True], []
    microphone = FedMicrophone(lambda: speaking[0], Own)
    microphone.open()
    microphone.feed(Sound(np.full(2 * BLOCK, 1000, np.int16), 16000), lambda: begun.append(True))
    assert all(abs(int(block.max())) < 100 for block in blocks(microphone, 4))
    assert not begun
    speaking[0] = False
    heard = list(blocks(microphone, BREATH_BLOCKS + 3))
    assert begun == [True]
    assert sum(int(block.max()) == 1000 for block in heard) == 2
    assert not microphone.busy


def test_handed_over_the_room_s_own_microphone_is_heard() -> None:
    own = Own()
    microphone = FedMicrophone(lambda: False, lambda: own)
    microphone.open()
    microphone.block()
    microphone.feed(Sound(np.full(BLOCK, 1000, np.int16), 16000), lambda: None)
    microphone.hand_over()
    assert int(microphone.block()[0]) == 7
    assert not microphone.busy
    microphone.close()
    assert (own.opened, own.closed) == (1, 1)


def test_handed_over_where_there_is_no_microphone_it_says_so() -> None:
    microphone = FedMicrophone(lambda: False, lambda: Own(missing=True))
    microphone.open()
    microphone.hand_over()
    with pytest.raises(SpeechError, match="no microphone"):
        microphone.block()


@needs_tmux
def test_in_a_real_terminal_it_plays_hands_over_and_is_left(tmp_path: Path) -> None:
    options = ("bench", "--demo", "--no-sound", "--home", str(tmp_path))
    with terminal(*options, columns=80, rows=24) as screen:
        screen.shown("The program plays the helper.")
        screen.shown("Choose the next order")
        screen.press("7")
        screen.shown("Your turn")
        screen.press("C-c")
        screen.shown(LEFT)
    assert (tmp_path / "heron-demo" / RECORD).stat().st_size

"""The played demonstration: a whole pair by itself, a key hands it over, and it hears with the real ear."""

import asyncio
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from benches import key
from real_terminal import LEFT, needs_tmux, terminal

from assistant.bench import performer as performing
from assistant.bench.demonstration import Demonstration
from assistant.bench.session import RECORD, Session
from assistant.commands.demonstration import Table, idle_hands, performer, record_name
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit, demo_orders
from assistant.language.prompts import Talk
from assistant.speech import player
from assistant.speech.errors import SpeechError, Trouble
from assistant.ui.glyphs import Glyphs
from assistant.ui.picture_view import SceneView
from assistant.ui.shapes import Numeral
from assistant.workflow.events import Answered, Source
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


def test_each_play_has_a_record_of_its_own_and_by_hand_the_last_goes_on(tmp_path: Path) -> None:
    assert record_name(tmp_path, "heron", True, demo_kit()) == "heron-demo"
    for name in ("heron-demo", "heron-demo-2"):
        (tmp_path / name).mkdir()
        (tmp_path / name / RECORD).touch()
    assert record_name(tmp_path, "heron", True, demo_kit()) == "heron-demo-3"
    assert record_name(tmp_path, "heron", False, demo_kit()) == "heron-demo-2"
    assert record_name(tmp_path, "crab", False, demo_kit()) == "crab-demo"


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

"""The replay screen under Textual's pilot."""

import shutil
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from recorded import a_pair, written
from textual.pilot import Pilot
from textual.widgets import DataTable, Input, Static

from assistant.kit.profile import Kit
from assistant.practice.slips import Slip
from assistant.replay.app import ReplayApp
from assistant.replay.list_screen import ListScreen
from assistant.replay.listing import read_rows, session_files
from assistant.replay.moments import Moment
from assistant.replay.notes import notes_path
from assistant.replay.rehear import Reheard
from assistant.replay.session_screen import SessionScreen
from assistant.replay.shelf import Outside, Shelf
from assistant.replay.viewing import Other
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Sound
from assistant.ui.glyphs import Glyphs
from assistant.ui.picture_view import PictureView
from assistant.workflow.show import picture

SHIPPED = Path(__file__).parents[2] / "demo_sessions"


class Speaker:
    """Keeps what it was given, or has no device."""

    def __init__(self, there: bool = True) -> None:
        self.there, self.played = there, list[Sound]()
        self.used = threading.Event()

    def play(self, sound: Sound, wanted: object) -> None:
        self.used.set()
        if not self.there:
            raise SpeechError(Trouble.SPEAKER_MISSING, "there is no speaker")
        self.played.append(sound)

    def cut(self) -> None:
        pass


def hears(session: Path, moment: Moment) -> Reheard | None:
    entry = moment.entry
    if entry is None or entry.clip is None:
        return None
    return Reheard(moment.line, entry.clip, entry.heard or "", entry.text, "fifteen", "15", differs=True)


def opened(
    folder: Path,
    number: int | None = None,
    speaker: Speaker | None = None,
    other: Other | None = None,
    glyphs: Glyphs = Glyphs.SIXTEEN,
) -> ReplayApp:
    found = [row for _, rows in read_rows(session_files(folder)) for row in rows]
    outside = Outside(lambda: 1.8e9, lambda _: None, speaker or Speaker(), hears, glyphs)
    return ReplayApp(Shelf(found, outside, None, other), number)


def shown(app: ReplayApp, place: str) -> str:
    return str(app.screen.query_one(f"#{place}", Static).content)


def session(app: ReplayApp) -> SessionScreen:
    assert isinstance(app.screen, SessionScreen)
    return app.screen


async def until(pilot: Pilot[None], true: Callable[[], bool], times: int = 200) -> None:
    for _ in range(times):
        await pilot.pause(0.02)
        if true():
            return
    raise AssertionError("it never came to that")


@pytest.fixture
def folder(tmp_path: Path, demo: Kit) -> Path:
    written(tmp_path / "a-good.jsonl", a_pair(demo))
    written(tmp_path / "b-slot.jsonl", a_pair(demo, Slip.SLOT_ON_CENTRE_LINE), "crab")
    (tmp_path / "c-damaged.jsonl").write_bytes(b"no session at all\n")
    return tmp_path


async def test_the_list_of_the_recorded_sessions_is_not_cut_off_in_80_columns() -> None:
    app = opened(Path(__file__).parents[2] / "demo_sessions")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        table = app.screen.query_one(DataTable)
        assert table.row_count == 17
        assert table.virtual_size.width <= table.size.width


async def test_a_session_is_chosen_from_the_list_and_left_again(folder: Path) -> None:
    app = opened(folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, ListScreen)
        table = app.screen.query_one(DataTable)
        name, bench, _, mistakes, outcome = (str(cell).strip() for cell in table.get_row_at(1))
        assert (name, bench, mistakes, outcome) == ("b-slot", "crab", "1 !", "handed over")
        await pilot.press("down", "enter")
        await pilot.pause()
        assert session(app).viewing.opened.path.name == "b-slot.jsonl"
        await pilot.press("escape")
        assert isinstance(app.screen, ListScreen)
        await pilot.press("down")
        await pilot.pause()
        assert "[!!] line 1" in shown(app, "about")
        await pilot.press("enter")
        assert isinstance(app.screen, ListScreen)
        assert "c-damaged.jsonl: line 1" in shown(app, "about")
        await pilot.press("escape")
    assert not app.is_running


async def test_every_step_shows_the_picture_the_helper_saw(folder: Path) -> None:
    app = opened(folder, 2)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        viewing = session(app).viewing
        view = app.screen.query_one(PictureView)
        last = viewing.day.last
        for place in range(1, last + 1):
            await pilot.press("right")
            assert viewing.place == place
            assert view.picture == picture(viewing.moment.after)
            assert f"{place + 1}/{last + 1}" in shown(app, "head")
        await pilot.press("n")
        assert shown(app, "message") == "That was the last step."
        for place in reversed(range(last)):
            await pilot.press("left")
            assert viewing.place == place
            assert view.picture == picture(viewing.moment.after)


async def test_mistakes_are_jumped_to_and_told_with_the_reading(folder: Path) -> None:
    app = opened(folder, 2)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        assert "[!!] did not pass, right eye: slot cut on the centre line" in shown(app, "told")
        assert "OUT of -3..+3" in shown(app, "gauges").splitlines()[0]
        track, pointer = shown(app, "track").splitlines()
        assert track.index("!") == pointer.index("▲")
        await pilot.press("m")
        assert shown(app, "message") == "No mistake after this."
        await pilot.press("end", "M")
        assert "did not pass" in shown(app, "told")
        await pilot.press("home", "M")
        assert shown(app, "message") == "No mistake before this."


async def test_it_plays_by_the_record_s_times_and_pauses(tmp_path: Path, demo: Kit) -> None:
    """Ten events a second, some at one moment; then stopped in the middle of a long wait."""
    events = [msgspec.structs.replace(event, at=1000.0 + n // 3 / 10) for n, event in enumerate(a_pair(demo))]
    late = [msgspec.structs.replace(event, at=event.at + 50.0) for event in events[10:]]
    written(tmp_path / "quick.jsonl", [*events[:10], *late])
    app = opened(tmp_path, 1)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for _ in range(6):
            await pilot.press("plus")
        assert session(app).speed == 20.0
        await pilot.press("space")
        await until(pilot, lambda: session(app).viewing.place == 9)
        assert session(app).playing
        assert "PLAYING 20x" in shown(app, "head")
        await pilot.press("space")
        assert not session(app).playing
        await pilot.pause(0.1)
        assert session(app).viewing.place == 9
        await pilot.press("right", "space")
        await until(pilot, lambda: session(app).viewing.place == len(events) - 1)
        await until(pilot, lambda: not session(app).playing)
        assert shown(app, "message") == "That was the last step."


async def test_the_line_of_keys_fits_and_names_the_way_back(folder: Path) -> None:
    app = opened(folder, 1)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        keys = shown(app, "keys")
        assert len(keys) <= 78
        assert "Esc list" in keys
        assert "d differs" not in keys, "there is nothing to compare with"


async def test_speeds_stay_within_their_bounds_and_a_step_stops_playing(folder: Path) -> None:
    app = opened(folder, 1)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for _ in range(9):
            await pilot.press("minus")
        assert session(app).speed == 0.5
        await pilot.press("space")
        assert session(app).playing
        await pilot.press("right")
        assert not session(app).playing


async def test_brackets_in_a_session_s_name_are_shown_as_they_are(tmp_path: Path) -> None:
    shutil.copy(SHIPPED / "01-smooth-pair.jsonl", tmp_path / "[b]one[x].jsonl")
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        strips = app.screen._compositor.render_strips()
        # in the list, and in what is told about the row
        assert "\n".join(strip.text for strip in strips).count("[b]one[x]") == 2


async def test_a_note_is_kept_shown_again_and_never_in_the_session(folder: Path) -> None:
    path = folder / "b-slot.jsonl"
    before = path.read_bytes()
    app = opened(folder, 2)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m", "w", *"Mind the pin", "enter")
        assert "NOTE Mind the pin" in shown(app, "told")
        assert "Note kept." in shown(app, "message")
    assert path.read_bytes() == before
    assert notes_path(path).exists()
    again = opened(folder, 2)
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "n" not in shown(again, "track")  # the mistake stands before the note at one place
        await pilot.press("m")
        assert "NOTE Mind the pin" in shown(again, "told")
        await pilot.press("w")
        assert again.screen.query_one(Input).value == "Mind the pin"
        await pilot.press("escape")
        assert "NOTE Mind the pin" in shown(again, "told")
        await pilot.press("left", "w", "x", "enter", "right")
        assert "n" in shown(again, "track")


async def test_what_was_said_is_played_or_its_lack_told() -> None:
    speaker = Speaker()
    app = opened(SHIPPED, 4, speaker)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m", "c")
        await until(pilot, lambda: len(speaker.played) == 1)
        assert "Playing what was said" in shown(app, "message")
        await pilot.press("home", "c")
        assert shown(app, "message") == "Nothing was recorded at this moment."
    silent = opened(SHIPPED, 4, Speaker(there=False))
    async with silent.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m", "c")
        await until(pilot, lambda: shown(silent, "message") == "No sound: there is no speaker.")


async def test_playing_sounds_the_clips_it_comes_to(tmp_path: Path) -> None:
    shutil.copy(SHIPPED / "04-fifteen-for-fifty.jsonl", tmp_path)
    shutil.copytree(SHIPPED / "clips", tmp_path / "clips")
    speaker = Speaker()
    app = opened(tmp_path, 1, speaker)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m", "left", "left", *["plus"] * 6, "space")
        await until(pilot, lambda: len(speaker.played) >= 2, times=400)


async def test_it_is_heard_again_with_the_model_given() -> None:
    app = opened(SHIPPED, 4)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m", "h")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "DIFFERS: then “fifty”, taken as 50; now “fifteen”, taken as 15" in shown(app, "message")
        await pilot.press("H")
        await app.workers.wait_for_complete()
        await pilot.pause()
        recorded = sum(1 for m in session(app).viewing.opened.timeline if m.entry and m.entry.clip)
        assert shown(app, "message").startswith(f"{recorded} recordings: {recorded} differ (line ")
        await pilot.press("home", "h")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert shown(app, "message") == "Nothing was recorded at this moment."


async def test_what_would_be_decided_differently_is_gone_to(folder: Path) -> None:
    def deeper(kit: Kit) -> Kit:
        return replace(kit, slot=replace(kit.slot, least_depth_mm=1.39))

    app = opened(folder, 1, other=Other("a deeper slot", deeper))
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause()
        assert shown(app, "track").count("x") == 2
        assert "2 steps would be decided differently under a deeper slot" in shown(app, "message")
        assert "d differs" in shown(app, "keys")
        await pilot.press("d")
        assert "[<>] under a deeper slot, entry: was accepted; would be not accepted" in shown(app, "told")
        await pilot.press("d", "d")
        assert "Nothing after this would be decided differently" in shown(app, "message")
    alone = opened(folder, 1)
    async with alone.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        assert "start with --kit FOLDER or --standard NAME" in shown(alone, "message")


async def test_what_was_said_is_shown_in_english_when_asked() -> None:
    number = [path.stem for path in session_files(SHIPPED)].index("14-said-in-swahili") + 1
    app = opened(SHIPPED, number)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("end", "left", "left")
        assert "then said (sw):" in shown(app, "told")
        await pilot.press("e")
        assert "then said (en):" in shown(app, "told")


@pytest.mark.parametrize("size", [(80, 24), (120, 36), (40, 12), (20, 6), (200, 60)])
@pytest.mark.parametrize("glyphs", list(Glyphs))
async def test_any_size_of_window_shows_it(folder: Path, size: tuple[int, int], glyphs: Glyphs) -> None:
    app = opened(folder, 2, glyphs=glyphs)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        await pilot.press("m", "question_mark", "down", "up", "escape")
        await pilot.pause()
        assert isinstance(app.screen, ListScreen)


async def test_an_empty_folder_says_so(tmp_path: Path) -> None:
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert shown(app, "about") == "There is no session here."
        await pilot.press("enter", "escape")
    assert not app.is_running

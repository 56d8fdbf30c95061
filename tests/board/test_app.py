"""The board's screen under Textual's pilot: questions, pairing, counting, the day, the chime."""

from pathlib import Path

import pytest
from full_board import CODE, Boat, called, morning, session
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from assistant.board.app import BoardApp
from assistant.board.asked import AskedScreen
from assistant.board.day import DayScreen
from assistant.board.pairing import PairingScreen
from assistant.hub.protocol import Answer, Counted, Pair
from assistant.speech.errors import SpeechError, Trouble
from assistant.ui.glyphs import Glyphs
from assistant.ui.one_line import OneLine


def board(boat: Boat, folder: Path, glyphs: Glyphs = Glyphs.SIXTEEN) -> BoardApp:
    return BoardApp(boat.desk, glyphs, folder / "reports", None)


async def typed(pilot: Pilot[None], text: str) -> None:
    """Into the line that is asked for."""
    assert isinstance(pilot.app.screen, OneLine)
    pilot.app.screen.query_one(Input).value = text
    await pilot.press("enter")
    await pilot.pause()


def shown(app: BoardApp) -> str:
    """Everything that stands on the screen."""
    return "\n".join(
        "".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips()
    )


@pytest.mark.parametrize("size", [(80, 24), (140, 40)])
@pytest.mark.parametrize("glyphs", list(Glyphs))
async def test_every_bench_is_shown_with_what_matters(
    tmp_path: Path, size: tuple[int, int], glyphs: Glyphs
) -> None:
    app = board(morning(tmp_path, 8), tmp_path, glyphs)
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.3)
        text = shown(app)
        for name in ("crab", "egret", "gecko", "heron", "otter", "ray", "tern", "turtle"):
            assert name in text
        for part in (
            "case 234, right eye: marking the lens",
            "5:00 of 0:30 LATE",
            "moon (5)",
            "AWAY since",
            "case 221 FAILED, left axis +63",
            "case 208 passed",
            "2 questions",
            "1. egret, case 218: The helper calls for help",
            "waits for you 1:35",
        ):
            assert part in text, part
        if glyphs is Glyphs.ASCII:
            assert text.isascii()


@pytest.mark.parametrize("glyphs", list(Glyphs))
async def test_the_marked_question_stands_out_by_its_ground(tmp_path: Path, glyphs: Glyphs) -> None:
    """Bold letters alone are not seen in the sun."""
    app = board(morning(tmp_path, 8), tmp_path, glyphs)

    def grounds(line: int) -> set[str]:
        (strip,) = list(app.screen._compositor.render_strips())[line : line + 1]
        styles = [segment.style for segment in strip if segment.text.strip() and segment.style]
        return {str(style.bgcolor.get_truecolor()) for style in styles if style.bgcolor is not None}

    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        head, first, second = grounds(0), grounds(2), grounds(3)
        assert first == head
        assert second != head
        await pilot.press("down")
        await pilot.pause(0.1)
        assert (grounds(2), grounds(3)) == (second, first)


@pytest.mark.parametrize("size", [(80, 24), (140, 40)])
@pytest.mark.parametrize("glyphs", list(Glyphs))
async def test_question_day_and_pairing_are_shown_on_every_terminal(
    tmp_path: Path, size: tuple[int, int], glyphs: Glyphs
) -> None:
    boat = morning(tmp_path, 8)
    app = board(boat, tmp_path, glyphs)
    wanted = {
        "enter": ("The plan", "right: ordered -2.25/-1.50x30", "What was read", "yes: go on with the step"),
        "t": ("5 pairs done", "Right at the first try", "To count", "the finished pair's check"),
        "p": (f"--board 192.168.8.2:8750 --pair {boat.desk.door.code}", "No bench is paired yet"),
    }
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.3)
        for key, parts in wanted.items():
            await pilot.press(key)
            await pilot.pause(0.3)
            text = shown(app)
            assert [part for part in parts if part not in text] == []
            assert text.isascii() or glyphs is not Glyphs.ASCII
            await pilot.press("escape")
            await pilot.pause()


async def test_the_day_stands_beside_the_benches_where_there_is_room(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    minutes = f"{boat.hub.view().today.pair_minutes:.1f}"
    app = board(boat, tmp_path)
    async with app.run_test(size=(140, 40)) as pilot:
        await pilot.pause(0.3)
        assert f"5 pairs done, {minutes} minutes each" in shown(app)
        await pilot.resize_terminal(80, 24)
        await pilot.pause(0.3)
        assert "5 pairs done" not in shown(app)
        await pilot.press("t")
        await pilot.pause()
        assert isinstance(app.screen, DayScreen)
        assert "5 pairs done" in shown(app)
        await pilot.press("escape")


async def test_a_question_is_answered_with_a_reason_and_the_code_is_asked_once(tmp_path: Path) -> None:
    boat = morning(tmp_path, 8)
    app = board(boat, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        await pilot.press("enter")
        await pilot.pause(0.3)
        assert "What was read and measured" in shown(app)
        await pilot.press("y")
        await pilot.pause()
        await typed(pilot, "1111")
        await typed(pilot, CODE)
        await typed(pilot, "try once more")
        assert boat.mail["egret"] == [
            Answer(
                question=boat.hub.stories["egret"].question_line, yes=True, code=CODE, reason="try once more"
            )
        ]
        await pilot.pause(0.3)
        assert "answer is on its way" in shown(app)
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(app.screen, AskedScreen), "a second answer is not asked for"
        boat.take_up("egret")
        await pilot.pause(0.5)
        assert not isinstance(app.screen, AskedScreen), "the question is over and its screen leaves"
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("n")
        await pilot.pause()
        await typed(pilot, "")
        assert [answer.yes for answer in boat.mail["heron"] if isinstance(answer, Answer)] == [False]


async def test_turning_back_sends_nothing(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    app = board(boat, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        await pilot.press("enter", "y")
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, AskedScreen)
        await pilot.press("y")
        await pilot.pause()
        await typed(pilot, CODE)
        await pilot.press("escape")
        await pilot.pause()
        assert boat.mail["heron"] == []


async def test_the_chime_rings_once_for_a_question(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    rings: list[None] = []
    app = BoardApp(boat.desk, Glyphs.SIXTEEN, tmp_path, lambda: rings.append(None))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        await app.workers.wait_for_complete()
        assert len(rings) == 1
        for _ in range(8):
            boat.now += 30.0
            await pilot.pause(0.2)
        assert len(rings) == 1, "it does not ring for what still waits"
        events = session("05-pin-too-short", boat.kit, lambda bench: bench.pair is not None)
        boat.send("egret", called(events))
        await pilot.pause(0.5)
        await app.workers.wait_for_complete()
        assert len(rings) == 2


async def test_without_sound_there_is_a_sign(tmp_path: Path) -> None:
    def silent() -> None:
        raise SpeechError(Trouble.SPEAKER_MISSING, "no speaker")

    app = BoardApp(morning(tmp_path).desk, Glyphs.SIXTEEN, tmp_path, silent)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        await app.workers.wait_for_complete()
        await pilot.pause(1.2)
        assert "no sound" in shown(app)


async def test_pairing_shows_the_code_and_lets_a_bench_go(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    app = board(boat, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p")
        await pilot.pause()
        assert isinstance(app.screen, PairingScreen)
        code = boat.desk.door.code
        assert f"--pair {code}" in shown(app)
        boat.desk.door.pair(Pair(bench="heron", code=code, kit=boat.hub.mark))
        await pilot.pause(0.5)
        assert code not in shown(app), "each code pairs one bench"
        assert [option.id for option in app.screen.query_one("#paired", OptionList).options] == ["heron"]
        await pilot.press("x")
        await pilot.pause()
        await typed(pilot, CODE)
        await typed(pilot, "no")
        assert "heron" in boat.desk.door.paired
        await pilot.press("x")
        await pilot.pause()
        await typed(pilot, "y")
        assert "heron" not in boat.desk.door.paired
        assert boat.mail["heron"] == [None], "its mail ends"


async def test_a_count_is_sent_and_a_bad_one_is_named(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    app = board(boat, tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.press("c")
        await pilot.pause()
        await typed(pilot, CODE)
        await typed(pilot, "[b]170[/x]")
        assert "give a pocket and how many lenses are in it" in next(iter(app._notifications)).message
        await pilot.pause()
        assert "[b]170[/x]" in shown(app)
        await pilot.press("c")
        await pilot.pause()
        await typed(pilot, "170 3")
        sent = [mail for box in boat.mail.values() for mail in box if isinstance(mail, Counted)]
        assert {(mail.pocket, mail.count) for mail in sent} == {(170, 3)}


async def test_the_report_is_written_by_a_key(tmp_path: Path) -> None:
    app = board(morning(tmp_path), tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r")
        await pilot.pause()
        assert len(list((tmp_path / "reports").iterdir())) == 2


async def test_ending_is_asked_twice(tmp_path: Path) -> None:
    app = board(morning(tmp_path), tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("q")
        await pilot.pause()
        await typed(pilot, "")
        assert app.is_running
        await pilot.press("ctrl+c")
        await pilot.pause()
        await typed(pilot, "y")
    assert not app.is_running


async def test_an_empty_board_says_how_to_begin(tmp_path: Path) -> None:
    app = board(Boat(tmp_path), tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        assert "No bench yet" in shown(app)


async def test_two_hundred_benches_are_there_to_scroll_to(tmp_path: Path) -> None:
    boat = Boat(tmp_path)
    events = session("12-taken-back", boat.kit, lambda bench: bench.pair is not None)
    for number in range(200):
        boat.send(f"bench-{number:03d}", events)
    app = board(boat, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.5)
        assert "bench-000" in shown(app)
        app.board_screen.query_one("#benches").scroll_end(animate=False)
        await pilot.pause(0.3)
        assert "bench-199" in shown(app)

"""What does not work is named with what to do, and the rest is still checked."""

from pathlib import Path

import pytest
from real_terminal import needs_tmux, terminal
from textual.pilot import Pilot

from assistant.bench.keypad_check import KEYS, KeypadCheck, Tried
from assistant.bench.keys import pressed
from assistant.bench.screen import LEAST_COLUMNS, LEAST_ROWS
from assistant.cli import main
from assistant.commands import doctor
from assistant.commands.doctor import keypad_verdict, samples
from assistant.ui.glyphs import Glyphs

NAMES = {
    "/": "slash", "*": "asterisk", "-": "minus", "+": "plus", ".": "full_stop",
    "Enter": "enter", "Backspace": "backspace",
}  # fmt: skip


def test_a_missing_model_fails_and_the_rest_is_checked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("ASSISTANT_MODELS", str(tmp_path / "none"))
    assert main(["doctor", "--home", str(tmp_path)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert any(line.startswith("model sw: FAILS: there is no number model for 'sw'") for line in lines)
    assert any(line.startswith("voice en: well") for line in lines)
    assert any(line.startswith("terminal: skipped: this is not a terminal") for line in lines)
    assert any(line.startswith("keypad: skipped: this is not a terminal") for line in lines)


async def test_every_key_pressed_once_is_all_well() -> None:
    app = KeypadCheck()
    async with app.run_test() as pilot:
        await press(pilot, *KEYS)
        await pilot.pause()
    assert app.return_value == Tried(frozenset(KEYS))
    assert keypad_verdict(app.return_value) == "well, all 17 keys came"


async def press(pilot: Pilot[Tried], *caps: str) -> None:
    for cap in caps:
        await pilot.press(NAMES.get(cap, cap))


async def test_what_came_is_shown_and_what_did_not_is_named() -> None:
    app = KeypadCheck()
    async with app.run_test() as pilot:
        await press(pilot, *(cap for cap in KEYS if cap not in "7."))
        assert "[8]" in app.tried.picture
        assert " 7 " in app.tried.picture
        await pilot.press("escape")
        await pilot.pause()
    with pytest.raises(OSError, match=r"these keys did not come: 7 \.; "):
        keypad_verdict(app.return_value)


async def test_where_nobody_presses_a_key_it_ends_by_itself() -> None:
    app = KeypadCheck(patience_s=0.05)
    async with app.run_test() as pilot:
        await pilot.pause(0.3)
    assert keypad_verdict(app.return_value) == "skipped: no key was pressed"


@pytest.mark.parametrize("name", ["kp_7", "decimal", "kp_enter", "ctrl+j", "kp_subtract"])
def test_a_key_counts_under_each_name_that_terminals_give_it(name: str) -> None:
    assert len(Tried().after(pressed(name, None)).came) == 1


def test_numlock_off_is_what_to_look_at_first() -> None:
    tried = Tried().after(pressed("home", None))
    with pytest.raises(OSError, match="press NumLock once"):
        keypad_verdict(tried)


def test_no_two_inks_of_a_terminal_look_alike_without_colour() -> None:
    plain = [text for text, _ in samples(Glyphs.ASCII)]
    assert len(set(plain)) == len(plain) >= 6
    assert (doctor.LEAST_COLUMNS, doctor.LEAST_ROWS) == (LEAST_COLUMNS, LEAST_ROWS)


@needs_tmux
def test_in_a_real_terminal_keys_are_asked_for_and_a_sample_is_drawn(tmp_path: Path) -> None:
    with terminal("doctor", "--home", str(tmp_path), columns=100, rows=40) as screen:
        screen.shown("Press each key")
        for cap in KEYS:
            screen.press({"Backspace": "BSpace"}.get(cap, cap))
        assert "no two alike" in screen.shown("all 17 keys came")

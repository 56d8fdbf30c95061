"""The real screen under Textual's pilot: whole pairs in four languages, 20,000 random keys, exits."""

import random
from pathlib import Path

import pytest
from benches import careful, key, opened
from textual import events
from textual.pilot import Pilot

from assistant.bench.app import BenchApp
from assistant.language.lexicon import LANGUAGES


@pytest.mark.parametrize("language", range(1, 5))
async def test_a_whole_pair_in_each_language(tmp_path: Path, language: int) -> None:
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, language, "hand_over")
        await key(pilot, "")
        bench = app.session.bench
        assert [done.outcome for done in bench.closed] == ["handed_over"]
        assert bench.the_day.language == LANGUAGES[language - 1]


async def test_random_keys_neither_crash_nor_trap(tmp_path: Path) -> None:
    """20,000 presses, handed to the app as the terminal driver does; afterwards the supervisor gets out."""
    rng = random.Random(20261102)
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(200):
            for _ in range(100):
                app.on_key(random_key(rng, app))
            await pilot.pause()
        assert app.is_running
        await leave(app, pilot)
    assert not app.is_running


def random_key(rng: random.Random, app: BenchApp) -> events.Key:
    """Any key of the pad, some keys that are not on it, and now and then what a careful helper would key."""
    roll = rng.random()
    if roll < 0.03:
        return events.Key(rng.choice(["home", "escape", "tab", "ctrl+q", "f1", "left", "ctrl+z"]), None)
    if roll < 0.30:
        return events.Key("enter", "\r")
    if roll < 0.34:
        return events.Key("backspace", "\x7f")
    character = rng.choice("0123456789.-+*") if roll < 0.99 else "/"
    return events.Key(character, character)


async def leave(app: BenchApp, pilot: Pilot[None]) -> None:
    for _ in range(9):
        await pilot.press("backspace")
    await pilot.press("slash")
    for _ in range(3):
        if app.session.bench.question is not None and not app.session.bench.entries:
            break
        await pilot.press("backspace", "slash")
    await key(pilot, app.session.bench.kit.supervisor_codes[0])
    await key(pilot, "0")


async def test_numlock_off_is_noticed(tmp_path: Path) -> None:
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.session.bench
        await pilot.press("home")
        assert app.session.bench is before
        assert app.caption


async def test_backspace_takes_back_digits_first_then_the_entry(tmp_path: Path) -> None:
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await careful(app, pilot, 1, "read")
        await pilot.press("minus", "2")
        await pilot.press("backspace", "backspace")
        assert app.session.bench.current.step == "read"
        await pilot.press("backspace")
        assert app.session.bench.current.step == "fetch"


async def test_only_the_supervisor_leaves(tmp_path: Path) -> None:
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+q", "ctrl+c", "escape")
        assert app.is_running
        await leave(app, pilot)
    assert not app.is_running

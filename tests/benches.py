"""The real bench screen for tests: opened on the demonstration kit, keyed by a careful helper."""

from collections.abc import Iterable
from pathlib import Path

from hands import Hands
from textual.pilot import Pilot

from assistant.bench.app import BenchApp
from assistant.bench.session import Session
from assistant.bench.spoken import Speaks
from assistant.kit.load import demo_kit, demo_orders
from assistant.language.prompts import Talk
from assistant.ui.glyphs import Glyphs

KEY_NAMES = {"-": "minus", "+": "plus", ".": "full_stop", "*": "asterisk", "/": "slash"}


def clock(start: float = 1_762_000_000.0) -> Iterable[float]:
    while True:
        start += 5.0
        yield start


def opened(
    folder: Path,
    glyphs: Glyphs = Glyphs.SIXTEEN,
    voice: Speaks | None = None,
    talk: Talk = Talk.USUAL,
) -> BenchApp:
    ticks = iter(clock())
    session, _ = Session.open(folder, "heron", demo_kit(), lambda: next(ticks))
    return BenchApp(session, session.begin_day("2026-11-02", demo_orders()), glyphs, voice, talk)


async def key(pilot: Pilot[None], text: str) -> None:
    for character in text:
        await pilot.press(KEY_NAMES.get(character, character))
    await pilot.press("enter")


async def careful(app: BenchApp, pilot: Pilot[None], language: int, until: str) -> None:
    """Key the right answers until a step is reached."""
    for _ in range(200):
        bench = app.session.bench
        if bench.current.step == until:
            return
        hands = Hands(bench)
        name = hands.listening().field
        await key(
            pilot, str(language) if name == "language" else hands.right_answer(bench.current.step, name)
        )
    raise AssertionError(f"never reached {until}; stands at {app.session.bench.current}")

"""A recording really comes out of the speaker, and what comes out is what was said."""

import asyncio
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from virtual_sound import VirtualSound, plugged_in

from assistant.replay.app import ReplayApp
from assistant.replay.listing import read_rows
from assistant.replay.session_screen import SessionScreen
from assistant.replay.shelf import Outside, Shelf, clip_of
from assistant.speech.player import Player
from assistant.speech.sound import Sound, resampled
from assistant.ui.glyphs import Glyphs

SPOKEN = Path(__file__).parents[2] / "demo_sessions" / "04-fifteen-for-fifty.jsonl"


class Played(Player):
    """The real speaker's player; tells when a clip is over."""

    def __init__(self) -> None:
        super().__init__()
        self.over = threading.Event()

    def play(self, sound: Sound, wanted: Callable[[], bool]) -> None:
        super().play(sound, wanted)
        self.over.set()


@pytest.fixture
def card(tmp_path: Path) -> Iterator[VirtualSound]:
    yield from plugged_in(tmp_path)


async def test_the_clip_of_a_moment_is_heard(card: VirtualSound) -> None:
    found = [row for _, rows in read_rows([SPOKEN]) for row in rows]
    player = Played()
    outside = Outside(lambda: 0.0, lambda _: None, player, lambda *_: None, Glyphs.SIXTEEN)
    app = ReplayApp(Shelf(found, outside), 1)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        assert isinstance(app.screen, SessionScreen)
        clip = clip_of(app.screen.viewing)
        with card.recorded() as played:
            await pilot.press("c")
            assert await asyncio.to_thread(player.over.wait, 20.0)
            await pilot.pause(0.5)  # what the card still holds
    said = resampled(clip, played[0].rate).samples.astype(float)
    heard = played[0].samples.astype(float)
    agreement = np.correlate(heard, said, "valid").max() / np.dot(said, said)
    # a busy machine may tear the sound; the other clips of the session agree by 0.27 at most
    assert agreement > 0.4

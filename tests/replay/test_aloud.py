"""A recording really comes out of the speaker, and what comes out is what was said."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from virtual_sound import VirtualSound, plugged_in

from assistant.replay.app import ReplayApp
from assistant.replay.listing import read_rows
from assistant.replay.session_screen import SessionScreen
from assistant.replay.shelf import Outside, Shelf, clip_of
from assistant.speech.player import Player
from assistant.speech.sound import resampled
from assistant.ui.glyphs import Glyphs

SPOKEN = Path(__file__).parents[2] / "demo_sessions" / "04-fifteen-for-fifty.jsonl"


@pytest.fixture
def card(tmp_path: Path) -> Iterator[VirtualSound]:
    yield from plugged_in(tmp_path)


async def test_the_clip_of_a_moment_is_heard(card: VirtualSound) -> None:
    found = [row for _, rows in read_rows([SPOKEN]) for row in rows]
    outside = Outside(lambda: 0.0, lambda _: None, Player(), lambda *_: None, Glyphs.SIXTEEN)
    app = ReplayApp(Shelf(found, outside), 1)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        assert isinstance(app.screen, SessionScreen)
        clip = clip_of(app.screen.viewing)
        with card.recorded() as played:
            await pilot.press("c")
            await pilot.pause(clip.seconds + 0.6)
    said, heard = resampled(clip, played[0].rate).samples, played[0].samples
    # at the right lag they agree; noise of the same length would not
    agreement = np.correlate(heard.astype(float), said.astype(float), "valid").max()
    assert agreement > 0.9 * np.dot(said.astype(float), said.astype(float))

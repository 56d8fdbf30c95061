"""Snapshots of the screen at two sizes: a careful pair stopped at the steps whose pictures matter most."""

from pathlib import Path

import pytest
from benches import careful, key, opened
from textual.pilot import Pilot

from assistant.ui.glyphs import Glyphs

SIZES = [(80, 24), (120, 36)]
STEPS = ["helper", "fetch", "read", "mark", "cut", "trim", "fit", "check", "verdict"]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("step", STEPS)
def test_screen(snap_compare, tmp_path: Path, step: str, size: tuple[int, int]) -> None:  # type: ignore[no-untyped-def]
    app = opened(tmp_path)

    async def until(pilot: Pilot[None]) -> None:
        await careful(app, pilot, 1, step)

    assert snap_compare(app, terminal_size=size, run_before=until)


def test_screen_in_ascii(snap_compare, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    app = opened(tmp_path, Glyphs.ASCII)

    async def until(pilot: Pilot[None]) -> None:
        await careful(app, pilot, 1, "mark")

    assert snap_compare(app, terminal_size=(80, 24), run_before=until)


def test_screen_after_a_refusal(snap_compare, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    app = opened(tmp_path)

    async def until(pilot: Pilot[None]) -> None:
        await careful(app, pilot, 1, "fetch")
        await key(pilot, "99")

    assert snap_compare(app, terminal_size=(80, 24), run_before=until)

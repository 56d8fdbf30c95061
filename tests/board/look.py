"""The board's screens as PNG to look at: `python tests/board/look.py DIR`."""

import asyncio
import sys
import tempfile
from pathlib import Path

import cairosvg

sys.path.insert(0, str(Path(__file__).parent.parent))

from full_board import morning

from assistant.board.app import BoardApp
from assistant.ui.glyphs import Glyphs


async def look(folder: Path) -> None:
    for glyphs in Glyphs:
        for size in ((80, 24), (140, 40)):
            for benches in (4, 9):
                await shots(folder, glyphs, size, benches)


async def shots(folder: Path, glyphs: Glyphs, size: tuple[int, int], benches: int) -> None:
    with tempfile.TemporaryDirectory() as home:
        boat = morning(Path(home), benches)
        app = BoardApp(boat.desk, glyphs, Path(home) / "reports", None)
        async with app.run_test(size=size) as pilot:
            name = f"{glyphs}-{size[0]}x{size[1]}-{benches}"
            await pilot.pause(0.5)
            kept(app, folder / f"{name}-board.png")
            for key, screen in (("enter", "question"), ("t", "day"), ("p", "pairing")):
                await pilot.press(key)
                await pilot.pause(0.3)
                kept(app, folder / f"{name}-{screen}.png")
                await pilot.press("escape")
                await pilot.pause(0.1)


def kept(app: BoardApp, path: Path) -> None:
    cairosvg.svg2png(
        bytestring=app.export_screenshot().replace("Fira Code", "DejaVu Sans Mono").encode(),
        write_to=str(path),
    )
    print(path)


if __name__ == "__main__":
    target = Path(sys.argv[1])
    target.mkdir(parents=True, exist_ok=True)
    asyncio.run(look(target))

"""Milliseconds to work out the board's view and to show it, by the number of benches.

    python tests/benchmarks/board_show.py [--times 20]

Every bench has the learner's morning of six pairs behind it; the screen is 140 by 40. The screen looks for
changes five times a second, so all of it must stay well under 200 ms.
"""

import argparse
import asyncio
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from full_board import Boat, session

from assistant.board.app import BoardApp
from assistant.ui.glyphs import Glyphs


async def measured(benches: int, times: int, folder: Path) -> tuple[float, float]:
    """Milliseconds for a view, and for a view that is shown."""
    boat = Boat(folder)
    events = session("13-learner-s-morning", boat.kit)
    for number in range(benches):
        boat.send(f"bench-{number}", events)
    began = time.perf_counter()
    for _ in range(times):
        boat.desk.view()
    view = time.perf_counter() - began
    app = BoardApp(boat.desk, Glyphs.SIXTEEN, folder, None)
    async with app.run_test(size=(140, 40)) as pilot:
        await pilot.pause(0.5)
        began = time.perf_counter()
        for _ in range(times):
            await app.board_screen.show(boat.desk.view())
        shown = time.perf_counter() - began
    return 1000.0 * view / times, 1000.0 * shown / times


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=20)
    times = parser.parse_args().times
    for benches in (8, 50, 200):
        with tempfile.TemporaryDirectory() as folder:
            view, shown = asyncio.run(measured(benches, times, Path(folder)))
        print(f"{benches} benches: view {view:.1f} ms, view and screen {shown:.1f} ms, mean of {times}")


if __name__ == "__main__":
    main()

"""A board without a screen, in a process of its own: `python tests/board_process.py FOLDER PORT`.

Every code to pair with is printed as it becomes good. It may be killed at any moment and started again.
"""

import asyncio
import contextlib
import sys
import time
from pathlib import Path

from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.server import Server
from assistant.hub.serving import serving
from assistant.hub.store import Store
from assistant.kit.load import demo_kit
from assistant.workflow.steps import BY_ID

DATABASE = "board.sqlite"


async def serve(folder: Path, port: int) -> None:
    kit = demo_kit(BY_ID)
    store = Store(folder / DATABASE)
    hub = Hub(kit, store, time.time)
    door = Door(kit, hub.mark, store, time.time)
    with contextlib.closing(store):
        async with serving(Server(hub, door), "127.0.0.1", port):
            await _tell_codes(door)


async def _tell_codes(door: Door) -> None:
    told = ""
    while True:
        if door.code != told:
            told = door.code
            print(told, flush=True)
        await asyncio.sleep(0.02)


if __name__ == "__main__":
    asyncio.run(serve(Path(sys.argv[1]), int(sys.argv[2])))

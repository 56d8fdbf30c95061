"""Write the demonstration sessions, in the record's own format: `python -m assistant.practice.sessions FOLDER`."""

import sys
from collections.abc import Iterable
from pathlib import Path

from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.events import EVENTS
from assistant.kit.load import demo_kit
from assistant.practice.scenes import Scene, scenes
from assistant.workflow.events import Event
from assistant.workflow.steps import BY_ID

SUFFIX = ".jsonl"


def as_record(events: Iterable[Event], bench: str) -> bytes:
    """A record's bytes: one line an event, chained as a bench writes them."""
    lines: list[bytes] = []
    previous = FIRST_PREVIOUS
    for seq, event in enumerate(events, start=1):
        lines.append(EVENTS.encode(event, seq=seq, bench=bench, previous=previous))
        previous = hash_of(lines[-1])
    return b"".join(lines)


def written(scene: Scene, folder: Path) -> Path:
    """Make one session with the demonstration kit and write it."""
    path = folder / f"{scene.name}{SUFFIX}"
    path.write_bytes(as_record(scene.make(demo_kit(BY_ID)), scene.bench))
    return path


def main(arguments: list[str]) -> int:
    if len(arguments) != 1:
        print("one folder is wanted: python -m assistant.practice.sessions demo_sessions", file=sys.stderr)
        return 2
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    for scene in scenes():
        print(written(scene, folder), "-", scene.shows)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

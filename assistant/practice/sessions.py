"""Write the demonstration sessions, in the record's own format: `python -m assistant.practice.sessions FOLDER`.

What was said in them is spoken by the project's own synthesiser and kept as clips, as a bench keeps them.
"""

import sys
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.events import EVENTS
from assistant.kit.load import demo_kit
from assistant.practice.scenes import Scene, scenes
from assistant.speech.capture import RATE_HZ
from assistant.speech.clips import FOLDER as CLIPS
from assistant.speech.sound import Sound, resampled, write_sound
from assistant.speech.synth import Synthesiser
from assistant.workflow.events import Event
from assistant.workflow.steps import BY_ID

SUFFIX = ".jsonl"
LEAD_S, PAUSE_S = 0.3, 0.8


def as_record(events: Iterable[Event], bench: str) -> bytes:
    """A record's bytes: one line an event, chained as a bench writes them."""
    lines: list[bytes] = []
    previous = FIRST_PREVIOUS
    for seq, event in enumerate(events, start=1):
        lines.append(EVENTS.encode(event, seq=seq, bench=bench, previous=previous))
        previous = hash_of(lines[-1])
    return b"".join(lines)


def written(scene: Scene, folder: Path, synthesiser: Synthesiser) -> Path:
    """Make one session with the demonstration kit and write it with its clips."""
    path, turns = folder / f"{scene.name}{SUFFIX}", scene.make(demo_kit(BY_ID))
    path.write_bytes(as_record(turns.events, scene.bench))
    for clip, words in turns.said.items():
        (folder / CLIPS).mkdir(exist_ok=True)
        write_sound(folder / CLIPS / clip, recorded(synthesiser.render(words, turns.talks)))
    return path


def recorded(said: Sound) -> Sound:
    """As a bench's microphone takes it: at its rate, with the rests that an answer is kept with."""
    rests = [np.zeros(round(seconds * RATE_HZ), np.int16) for seconds in (LEAD_S, PAUSE_S)]
    return Sound(np.concatenate([rests[0], resampled(said, RATE_HZ).samples, rests[1]]), RATE_HZ)


def main(arguments: list[str]) -> int:
    if len(arguments) != 1:
        print("one folder is wanted: python -m assistant.practice.sessions demo_sessions", file=sys.stderr)
        return 2
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as cache:
        synthesiser = Synthesiser(Path(cache))
        try:
            for scene in scenes():
                print(written(scene, folder, synthesiser), "-", scene.shows)
        finally:
            synthesiser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

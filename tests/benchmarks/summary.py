"""How long the summary of many sessions takes: `python tests/benchmarks/summary.py [sessions ...]`.

Some hundred virtual pairs, each a session of its own with its start of day, at a learner's rates of mistakes;
every further session is one of them on another day and at another bench, its lines checked and chained afresh.
Then the command itself is run on folders of 1,000, 3,000 and 10,000 sessions. Prints a Markdown table.
"""

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from random import Random

from msgspec.structs import replace

from assistant.kit.load import demo_kit
from assistant.practice.helper import VirtualHelper
from assistant.practice.people import person
from assistant.practice.run import opened
from assistant.practice.sessions import as_record
from assistant.practice.slips import LEARNER
from assistant.workflow.events import Event
from assistant.workflow.steps import BY_ID

DISTINCT = 300
BENCHES = ("heron", "crab", "turtle")
DAY_S = 86_400.0
BEGAN = 1_750_000_000.0


def distinct(seed: int) -> list[Event]:
    """One helper's start of day and one pair."""
    kit = demo_kit(BY_ID)
    turns = opened(kit, VirtualHelper(kit, seed, LEARNER, sign=seed % 6 + 1), seed, BEGAN, "2026-11-02")
    turns.make(person(kit, Random(seed), str(100 + seed)))
    return turns.events


def fill(folder: Path, sessions: int, made: Sequence[list[Event]]) -> int:
    """Write so many sessions; returns their lines."""
    lines = 0
    for number in range(sessions):
        later = DAY_S * (number // len(BENCHES))
        events = [replace(event, at=event.at + later) for event in made[number % len(made)]]
        lines += len(events)
        record = as_record(events, BENCHES[number % len(BENCHES)])
        (folder / f"{number:06d}.jsonl").write_bytes(record)
    return lines


def measured(folder: Path) -> tuple[float, float]:
    """Seconds by the clock and seconds of processor, of the whole command with its page and its CSV."""
    command = [sys.executable, "-m", "assistant", "replay", "--summary", str(folder)]
    command += ["--csv", str(folder / "summary.csv"), "--html", str(folder / "summary.html")]
    before, began = _processor_s(), time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - began, _processor_s() - before


def _processor_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main(arguments: Sequence[str]) -> None:
    began = time.perf_counter()
    made = [distinct(seed) for seed in range(DISTINCT)]
    print(f"{DISTINCT} distinct sessions in {time.perf_counter() - began:.0f} s; {os.cpu_count()} cores\n")
    print("| sessions | lines | MB | seconds | processor seconds | processor ms a session | MB of memory |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for sessions in [int(word) for word in arguments] or [1_000, 3_000, 10_000]:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            lines = fill(folder, sessions, made)
            size = sum(file.stat().st_size for file in folder.iterdir()) / 1e6
            clock_s, processor_s = measured(folder)
            each = 1000 * processor_s / sessions
            most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1000  # of one process, in kB
            row = f"{sessions} | {lines} | {size:.0f} | {clock_s:.1f} | {processor_s:.1f} | {each:.1f} | {most:.0f}"
            print(f"| {row} |", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])

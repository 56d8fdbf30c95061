"""What replay costs: reading a list of sessions, opening a long record, going through it both ways.

    python tests/benchmarks/replay.py [SESSIONS] [DAYS]

A day is the learner's morning of six pairs; a long record has that many of them, each on fresh stock of a copy of
the kit's bank large enough. Seconds are of the processor: other programs at work do not count.
"""

import resource
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np

from assistant.kit.bank import Bank
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit
from assistant.practice.helper import VirtualHelper
from assistant.practice.people import person
from assistant.practice.run import opened
from assistant.practice.sessions import as_record
from assistant.practice.slips import LEARNER
from assistant.replay.gauge import gauges
from assistant.replay.listing import read_rows
from assistant.replay.opening import open_session
from assistant.replay.recheck import differences, with_standard
from assistant.replay.timeline import Timeline
from assistant.ui.canvas import draw
from assistant.ui.glyphs import Glyphs
from assistant.ui.pictures import scene
from assistant.workflow.events import DayOpened, Event
from assistant.workflow.steps import BY_ID

SHIPPED = Path(__file__).parents[2] / "demo_sessions" / "01-smooth-pair.jsonl"
PAIRS_A_DAY = 6
STEPS = 400
"""Places of the long record that are shown, evenly through it."""


def plentiful(kit: Kit, times: int) -> Kit:
    """The kit with every pocket and frame `times` as full."""
    bank = kit.bank
    fuller = Bank(bank.sphere, bank.cylinder, bank.count * times, bank.pocket, bank.check_number)
    frames = tuple(replace(f, colours={name: n * times for name, n in f.colours.items()}) for f in kit.frames)
    return replace(kit, bank=fuller, frames=frames)


def long_record(kit: Kit, days: int) -> list[Event]:
    turns = opened(kit, VirtualHelper(kit, 35, LEARNER), 35, 1_762_070_400.0, "day 1")
    chance = Random(35)
    for day in range(days):
        if day:
            turns.at += 80_000.0
            turns.send(DayOpened(at=turns.at, date=f"day {day + 1}"))
        for case in range(PAIRS_A_DAY):
            turns.make(person(kit, chance, f"{day * PAIRS_A_DAY + case}"))
    return turns.events


def megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def main(sessions: int, days: int) -> None:
    with tempfile.TemporaryDirectory() as name:
        files = [Path(name) / f"{n:05d}.jsonl" for n in range(sessions)]
        for file in files:
            file.write_bytes(SHIPPED.read_bytes())
        began = time.process_time()
        rows = sum(len(found) for _, found in read_rows(files))
        took = time.process_time() - began
        print(f"a list of {rows} sessions: {took:.2f} s, {1000 * took / rows:.1f} ms each")

    kit = plentiful(demo_kit(BY_ID), days)
    events = long_record(kit, days)
    half = _folded_s(kit, events[: len(events) // 2])
    before = megabytes()
    began = time.process_time()
    timeline = Timeline(kit, events)
    took = time.process_time() - began
    grown = megabytes() - before
    print(
        f"a record of {days} days, {len(events)} lines: folded in {took:.2f} s, at most {grown:.0f} MB more;"
        f" {took / half:.2f} times as long as its first half"
    )

    lines = np.array([len(line) for line in as_record(events, "heron").splitlines()])
    print(f"on disk {lines.sum() / 1e6:.2f} MB")
    some = range(0, len(events), max(1, len(events) // STEPS))
    for name_of, places in (("forwards", some), ("backwards", reversed(some))):
        began = time.process_time()
        for place in places:
            moment = timeline[place]
            gauges(moment)
            draw(scene(moment.picture), 60, 20, Glyphs.SIXTEEN)
        each = (time.process_time() - began) / len(some)
        print(f"a step {name_of}, with its picture drawn: {1000 * each:.2f} ms")
    began = time.process_time()
    found = len(list(differences(timeline.moments, with_standard(kit, "iso_21987_2017"))))
    took = time.process_time() - began
    print(f"decided again under another standard: {took:.2f} s, {found} decisions differ")
    print(f"one session opened from disk: {_open_ms():.1f} ms")


def _folded_s(kit: Kit, events: list[Event]) -> float:
    began = time.process_time()
    Timeline(kit, events)
    return time.process_time() - began


def _open_ms() -> float:
    began = time.process_time()
    for _ in range(20):
        open_session(SHIPPED)
    return (time.process_time() - began) / 20 * 1000


if __name__ == "__main__":
    main(*(int(text) for text in (*sys.argv[1:], *("1000", "20")[len(sys.argv) - 1 :])))

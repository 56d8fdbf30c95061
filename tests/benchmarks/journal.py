"""Milliseconds an event costs, on disk before it is shown: this record beside SQLite.

    python tests/benchmarks/journal.py [--events 2000] [--folder DIR]

SQLite is run as it would have to be to promise the same: write-ahead log, synchronous=FULL, one
transaction an event. The two take turns, event by event, so that a busy disk slows both alike. The
folder must lie on the disk that is meant: on a memory disk a sync costs nothing.
"""

import argparse
import platform
import sqlite3
import statistics
import tempfile
import time
from pathlib import Path

from assistant.journal.events import EVENTS
from assistant.journal.file import Journal, read
from assistant.workflow.events import Answered, Event


def events(count: int) -> list[Event]:
    return [
        Answered(at=1_764_060_000.0 + number, step="read", field="sphere", text=f"-{number % 48 / 4:.2f}")
        for number in range(count)
    ]


def measured(count: int, folder: Path) -> tuple[list[float], list[float], float]:
    """Milliseconds of each append here and in SQLite, and milliseconds to read all back."""
    journal = Journal.open(folder / "record.jsonl", EVENTS, "heron").journal
    database = sqlite3.connect(folder / "record.sqlite", isolation_level=None)
    database.execute("PRAGMA journal_mode=WAL")
    database.execute("PRAGMA synchronous=FULL")
    database.execute("CREATE TABLE record (seq INTEGER PRIMARY KEY, line BLOB NOT NULL)")
    here, sqlite = [], []
    previous = "0" * 32
    for number, event in enumerate(events(count), 1):
        start = time.perf_counter()
        journal.append(event)
        middle = time.perf_counter()
        line = EVENTS.encode(event, seq=number, bench="heron", previous=previous)
        database.execute("INSERT INTO record VALUES (?, ?)", (number, line))
        end = time.perf_counter()
        here.append((middle - start) * 1000)
        sqlite.append((end - middle) * 1000)
    journal.close()
    database.close()
    start = time.perf_counter()
    reading = read(folder / "record.jsonl", EVENTS)
    reading_ms = (time.perf_counter() - start) * 1000
    if len(reading.lines) != count:
        raise SystemExit(f"{len(reading.lines)} lines came back of {count}")
    return here, sqlite, reading_ms


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--events", type=int, default=2000)
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()))
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=options.folder) as folder:
        here, sqlite, reading_ms = measured(options.events, Path(folder))
    print(
        f"{options.events} events in {options.folder}, {platform.platform()}, SQLite {sqlite3.sqlite_version}"
    )
    for name, times in (("record", here), ("SQLite WAL FULL", sqlite)):
        tail = statistics.quantiles(times, n=100)[98]
        print(f"{name:16} median {statistics.median(times):.3f} ms, 99th {tail:.3f}, worst {max(times):.3f}")
    print(f"median ratio record / SQLite: {statistics.median(here) / statistics.median(sqlite):.2f}")
    print(f"reading all back: {reading_ms:.0f} ms ({reading_ms / options.events * 1000:.0f} us a line)")


if __name__ == "__main__":
    main()

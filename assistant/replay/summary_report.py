"""`assistant replay --summary`: a folder of sessions summed up, on the terminal and in files."""

import os
import re
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Final

from rich.box import ASCII, SIMPLE_HEAD
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from assistant.journal.errors import RecordFailed
from assistant.replay.listing import session_files
from assistant.replay.opening import kit_of
from assistant.replay.paper import written
from assistant.replay.summary import summed
from assistant.replay.summary_files import all_told, sorted_out
from assistant.replay.summary_page import summary_page
from assistant.replay.summary_tables import sections
from assistant.ui.glyphs import Glyphs, detect
from assistant.ui.sheets import Section, csv_of

PATIENCE_S: Final = 1.0
"""Work that is done sooner shows no progress."""
_SHORT: Final = 24
"""Columns of cells no longer than this, names mostly, are not broken up."""
_FIGURE: Final = re.compile(r"[\d.]*")


def report(folder: Path, own_kit: Path | None, csv_to: Path | None, html_to: Path | None) -> None:
    """Sum up the sessions in `folder`; print tables, and write the files that are wanted.

    Raises `RecordFailed` for a folder without sessions or a file that cannot be written, `KitError`.
    """
    files = session_files(folder) if folder.is_dir() else []
    if not files:
        raise RecordFailed("no session is there; a folder with sessions (*.jsonl) is wanted", folder)
    kit, _ = kit_of(folder / "any session", own_kit)
    with _progress(len(files)) as told:
        found = sorted_out(all_told(files, own_kit, os.cpu_count() or 1, told))
    summary = summed(found.used)
    patterns = summary.patterns()

    def tables(every_helper: bool) -> tuple[Section, ...]:
        return sections(summary, kit.time_budget_s, patterns, found.troubles, every_helper)

    _print(tables(every_helper=False))
    if csv_to is not None:
        written(csv_to, csv_of(tables(every_helper=True)))
        print(f"written: {csv_to}", file=sys.stderr)
    if html_to is not None:
        made_at = datetime.now().astimezone()
        page = summary_page(
            folder.resolve().name, made_at, summary, tables(every_helper=True), kit.time_budget_s
        )
        written(html_to, page)
        print(f"written: {html_to}", file=sys.stderr)


@contextmanager
def _progress(files: int) -> Iterator[Callable[[int, int], None]]:
    """A bar on the terminal's other channel, from the first second on; nothing where nobody watches."""
    columns = (TextColumn("reading sessions"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    bar = Progress(*columns, console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty())
    task = bar.add_task("", total=files)
    began = time.monotonic()

    def told(done: int, _: int) -> None:
        bar.update(task, completed=done)
        if time.monotonic() - began > PATIENCE_S:
            bar.start()

    try:
        yield told
    finally:
        bar.stop()


def _print(tables: Sequence[Section]) -> None:
    console = Console(highlight=False, markup=False)
    plain = detect(os.environ, console.encoding) is Glyphs.ASCII
    for title, heads, rows in tables:
        console.print(f"\n{title}", style="bold")
        if not rows:
            console.print("none")
            continue
        table = Table(box=ASCII if plain else SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0))
        for head, cells in zip(heads, zip(*rows, strict=True), strict=True):
            figures = all(_FIGURE.fullmatch(str(cell)) for cell in cells)
            short = max(len(cell) for cell in map(str, cells)) <= _SHORT
            table.add_column(
                head, overflow="fold", justify="right" if figures else "left", no_wrap=short and not figures
            )
        for row in rows:
            table.add_row(*(str(cell) for cell in row))
        console.print(table)

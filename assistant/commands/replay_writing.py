"""The part of `assistant replay` that writes: many sessions summed up, and one session as a page."""

import argparse
from pathlib import Path

from assistant.replay.page import write_page
from assistant.replay.summary_report import report
from assistant.replay.viewing import Other


def add_writing(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--summary", action="store_true", help="sum up all sessions of the folder in tables")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="with --summary: the tables as CSV too")
    parser.add_argument("--html", type=Path, metavar="FILE", help="with --summary: a page with plots too")
    parser.add_argument("--page", type=Path, metavar="FILE", help="write the session as one HTML page")
    parser.add_argument("--day", metavar="YYYY-MM-DD", help="with --page: which day of a record of several")


def writes(arguments: argparse.Namespace, where: Path, other: Other | None) -> bool:
    """Write what is wanted; False where nothing is, and the session is to be looked at.

    Raises `RecordError`, `KitError`, and `ValueError` for options that do not go together.
    """
    if not arguments.summary and (arguments.csv or arguments.html):
        raise ValueError("--csv and --html are given without --summary; allowed is both together")
    if arguments.day and not arguments.page:
        raise ValueError("--day is given without --page; allowed is both together")
    if arguments.summary and arguments.page:
        raise ValueError("--summary and --page are given together; allowed is one of them")
    if arguments.summary:
        try:
            report(where, arguments.own_kit, arguments.csv, arguments.html)
        except KeyboardInterrupt:
            raise ValueError("stopped before the end; nothing was written") from None
    elif arguments.page:
        if where.is_dir():
            raise ValueError(f"{where} is a folder; --page wants one session")
        write_page(where, arguments.page, arguments.own_kit, other, arguments.day)
        print(f"written: {arguments.page}")
    return bool(arguments.summary or arguments.page)

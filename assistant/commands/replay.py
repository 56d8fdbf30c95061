"""`assistant replay`: look at recorded sessions step by step."""

import argparse
import os
import shutil
import sys
import time
from pathlib import Path

from assistant.bench.spoken import asked
from assistant.bench.terminal import kept_for_the_screen
from assistant.commands import unusable
from assistant.commands.replay_writing import add_writing, writes
from assistant.config import home_folder
from assistant.journal.errors import RecordError
from assistant.kit.fields import KitError
from assistant.kit.load import load_kit
from assistant.kit.profile import Kit
from assistant.language.lexicon import LANGUAGES
from assistant.replay.listing import Row, bench_files, read_rows, session_files
from assistant.replay.moments import Moment
from assistant.replay.plain import Plain
from assistant.replay.recheck import require_standard, standard_words, with_standard
from assistant.replay.rehear import Reheard, reheard
from assistant.replay.shelf import Outside, Shelf
from assistant.replay.viewing import Other
from assistant.speech.equipment import helper_model, recognisers
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.new_language import choosable
from assistant.speech.other_models import make_of
from assistant.speech.player import Player
from assistant.ui.glyphs import detect
from assistant.workflow.steps import BY_ID

SLOW_S = 1.0
"""After so long the reading of a folder tells how far it has got."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Look at recorded sessions step by step: what the helper saw, said and heard, and where it went wrong."
        " A session is never changed."
    )
    parser.add_argument(
        "where",
        nargs="?",
        type=Path,
        metavar="FOLDER|FILE",
        help="a session, or a folder of them (default: this computer's own benches)",
    )
    parser.add_argument("--plain", action="store_true", help="line by line, without the full screen")
    parser.add_argument(
        "--own-kit",
        type=Path,
        metavar="DIR",
        help="the kit the sessions were made with (default: kit/ beside them, else the demonstration kit)",
    )
    parser.add_argument("--kit", type=Path, metavar="DIR", help="decide each step again with this kit")
    parser.add_argument(
        "--standard", metavar="NAME", help="decide each step again by this tolerance standard"
    )
    parser.add_argument("--helper", metavar="NAME", help="hear recordings again with this helper's model")
    parser.add_argument("--model", type=Path, metavar="DIR", help="hear recordings again with this model")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where records and models are kept")
    add_writing(parser)


def run(arguments: argparse.Namespace) -> int:
    """Exit status 0, or 2 for what cannot be used."""
    try:
        home = home_folder(arguments.home)
        where = arguments.where or home
        files = _files(arguments.where, home)
        if not where.exists():
            raise ValueError(f"{where}: there is no such file or folder")
        if arguments.own_kit is not None:
            load_kit(arguments.own_kit, BY_ID)  # refused here, not once for each session
        other = _other(arguments)
        if writes(arguments, where, other):
            return 0
        _, wrong = choosable(home)  # known from here on, so that it can be heard again
        for sentence in wrong:
            print(f"assistant replay: {sentence}", file=sys.stderr)
        _require_models(arguments, home)
        rows = _read(files, arguments.own_kit)
    except (KitError, RecordError, ModelFormatError, ValueError, OSError) as error:
        return unusable("replay", error)
    shelf = Shelf(rows, _outside(arguments, home), arguments.own_kit, other)
    only = 1 if len(rows) == 1 and not where.is_dir() else None
    if arguments.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        Plain(shelf, sys.stdout).run(sys.stdin, only)
        return 0
    from assistant.replay.app import ReplayApp

    with kept_for_the_screen():
        ReplayApp(shelf, only).run()
    return 0


def _files(where: Path | None, home: Path) -> list[Path]:
    if where is None:
        return bench_files(home)
    return session_files(where) if where.is_dir() else [where]


def _read(files: list[Path], own_kit: Path | None) -> list[Row]:
    """Every row of the list; a long reading tells how far it has got."""
    began, found = time.monotonic(), list[Row]()
    for number, (_, rows) in enumerate(read_rows(files, own_kit), 1):
        found += rows
        if time.monotonic() - began > SLOW_S and sys.stderr.isatty():
            print(f"\rread {number} of {len(files)} sessions", end="", file=sys.stderr)
    if time.monotonic() - began > SLOW_S and sys.stderr.isatty():
        print(file=sys.stderr)
    return found


def _other(arguments: argparse.Namespace) -> Other | None:
    """The kit or standard to decide again by; a standard given with a kit is that kit's."""
    kit = None if arguments.kit is None else load_kit(arguments.kit, BY_ID)
    if kit is not None and arguments.standard is not None:
        kit = with_standard(kit, arguments.standard)
    if kit is not None:
        return Other(f"kit {kit.name}, {standard_words(kit.standard)}", lambda _: kit)
    if arguments.standard is None:
        return None
    require_standard(arguments.standard)

    def under(own: Kit) -> Kit:
        return with_standard(own, arguments.standard)

    return Other(standard_words(arguments.standard), under)


def _require_models(arguments: argparse.Namespace, home: Path) -> None:
    """A model that was asked for is there. Raises `ModelFormatError`, `ValueError`."""
    if arguments.model is not None:
        make_of(arguments.model)
    if arguments.helper is not None and not any(
        helper_model(home, arguments.helper, language) for language in (*LANGUAGES, *choosable(home)[0])
    ):
        raise ValueError(f"helper {arguments.helper!r} has no model of their own in {home / 'helpers'}")


def _outside(arguments: argparse.Namespace, home: Path) -> Outside:
    recogniser_of = recognisers(home, arguments.helper, arguments.model)

    def hears(session: Path, moment: Moment) -> Reheard | None:
        return reheard(session, moment, recogniser_of, asked)

    glyphs = detect(os.environ, sys.stdout.encoding)
    columns = shutil.get_terminal_size().columns
    return Outside(time.time, time.sleep, Player(), hears, glyphs, columns)

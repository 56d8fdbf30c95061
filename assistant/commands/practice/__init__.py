"""`assistant practice`: make a pair on a virtual bench, find the mistake and name it."""

import argparse
import os
import sys
import time
from contextlib import suppress
from itertools import count
from pathlib import Path

from assistant.bench import plain
from assistant.bench.terminal import kept_for_the_screen
from assistant.commands import unusable
from assistant.commands.practice.choosing import chosen
from assistant.commands.practice.session import Practice, begun
from assistant.config import bench_folder, home_folder
from assistant.journal.errors import RecordError
from assistant.kit.kept import keep_beside
from assistant.kit.load import KitError, demo_kit, load_kit
from assistant.language.lexicon import LANGUAGES
from assistant.language.prompts import Talk
from assistant.lesson.progress import ProgressError, keep, kept, practised, table
from assistant.practice.rehearsal import NONE, PLANTED, CannotPractise
from assistant.speech.equipment import parts
from assistant.speech.voice import Voice
from assistant.ui.glyphs import detect
from assistant.workflow.steps import BY_ID

PRACTICE = "practice"
NOTE = "Practice; Ctrl+C leaves. Key what lies at the right, / if something is wrong."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Make a pair on a virtual bench, with a mistake to find and name. Nothing touches real stock"
        " or the bench's record. Ctrl+C leaves."
    )
    what = parser.add_mutually_exclusive_group()
    what.add_argument("session", nargs="?", help="a recorded session: the same pair, the same mistake")
    what.add_argument("--random", action="store_true", help="a pair drawn at random")
    what.add_argument("--progress", action="store_true", help="every helper's practices, for the trainer")
    parser.add_argument("--plant", metavar="MISTAKE", help=f"one of: {', '.join((NONE, *PLANTED))}")
    parser.add_argument("--seed", type=int, metavar="N", help="the same number makes the same practice")
    parser.add_argument("--helper", default="helper", metavar="NAME", help="who practises")
    parser.add_argument("--language", choices=LANGUAGES, default="en")
    parser.add_argument("--kit", type=Path, metavar="DIR", help="folder of a kit (default: demo)")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where practices are kept")
    parser.add_argument("--plain", action="store_true", help="line by line, without the full screen")
    parser.add_argument("--no-sound", action="store_true", help="neither speak nor listen; captions only")
    parser.add_argument("--talk", choices=list(Talk), default=Talk.USUAL, help="how much is said at a step")


def run(arguments: argparse.Namespace) -> int:
    """Exit status 0 when the practice ends or is left, 2 for unusable input."""
    try:
        home = bench_folder(home_folder(arguments.home), PRACTICE)
        if arguments.progress:
            return _progress(home)
        if arguments.session is None and not arguments.random:
            raise ValueError("name a recorded session, or say --random, or --progress")
        return _practise(arguments, home)
    except (KitError, RecordError, CannotPractise, ProgressError, ValueError, OSError) as error:
        return unusable("practice", error)


def _progress(home: Path) -> int:
    lines, troubles = kept(home)
    print(table(lines))
    for trouble in troubles:
        print(f"assistant practice: {trouble}", file=sys.stderr)
    return 0


def _practise(arguments: argparse.Namespace, home: Path) -> int:
    """One practice after another, for as long as one more is wanted."""
    kit = demo_kit(BY_ID) if arguments.kit is None else load_kit(arguments.kit, BY_ID)
    first = arguments.seed if arguments.seed is not None else int(time.time()) % 100_000
    for seed in count(first):
        wanted = chosen(kit, seed, arguments.session, arguments.plant)
        practice = begun(kit, wanted, bench_folder(home, arguments.helper), arguments.language, time.time)
        if arguments.kit is not None:
            keep_beside(practice.folder, arguments.kit)
        began = time.time()
        with practice.session, suppress(KeyboardInterrupt):  # Ctrl+C leaves; what was done until then is kept
            _shown(practice, arguments)
        lesson, pair = practice.lesson, arguments.session or "random"
        keep(home, practised(lesson.score, arguments.helper, pair, seed, began, time.time(), lesson.over))
        if not lesson.again:
            break
    return 0


def _shown(practice: Practice, arguments: argparse.Namespace) -> None:
    """On the bench's own screen, or line by line."""
    session, lesson = practice.session, practice.lesson
    if arguments.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        plain.run(session, practice.opening, sys.stdin, sys.stdout, lesson)
        return
    from assistant.bench.app import BenchApp

    voice = None if arguments.no_sound else Voice(parts(home_folder(arguments.home), None, arguments.helper))
    app = BenchApp(
        session, practice.opening, detect(os.environ, sys.stdout.encoding), voice, Talk(arguments.talk)
    )
    app.beside, app.leavable, app.note = lesson, True, NOTE
    try:
        with kept_for_the_screen():
            app.run()
    finally:
        if voice is not None:
            voice.close()

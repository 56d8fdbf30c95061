"""`assistant bench`: make pairs at this bench."""

import argparse
import os
import sys
import time
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from assistant.bench import plain
from assistant.bench.board_link import ASK, board_of, keyed_codes, linked
from assistant.bench.linked import Arrivals, LinkedSession
from assistant.bench.session import Session
from assistant.bench.terminal import kept_for_the_screen
from assistant.commands import unusable
from assistant.commands.demonstration import Table, idle_hands, performer, record_name
from assistant.commands.own_kit import OwnKitError, kept, require_own
from assistant.config import bench_folder, home_folder
from assistant.journal.errors import RecordError
from assistant.kit.load import KitError, demo_kit, demo_orders, load_kit, load_orders
from assistant.kit.profile import Kit
from assistant.language.lexicon import LANGUAGES
from assistant.language.prompts import Talk
from assistant.optics.order import Order
from assistant.speech.equipment import parts
from assistant.speech.helper_pictures import helper_with
from assistant.speech.new_language import choosable
from assistant.speech.voice import Voice
from assistant.ui.glyphs import detect
from assistant.workflow.effects import Effect
from assistant.workflow.steps import BY_ID

if TYPE_CHECKING:
    from assistant.bench.app import BenchApp


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.description = "Make pairs at this bench, step by step. The record continues where it stopped."
    parser.add_argument(
        "--kit", type=Path, metavar="DIR", help="folder of kit.toml and bank.csv (default: demo)"
    )
    parser.add_argument(
        "--orders", type=Path, metavar="FILE", help="orders handed over by the clinician (TOML)"
    )
    parser.add_argument("--home", type=Path, metavar="DIR", help="where records are kept")
    parser.add_argument("--name", default="heron", help="this bench's name (default: heron)")
    parser.add_argument("--plain", action="store_true", help="line by line, without the full screen")
    parser.add_argument(
        "--demo",
        action="store_true",
        help="the demonstration kit and orders, in a record of their own: the program plays the helper, aloud, "
        "until a key is pressed",
    )
    parser.add_argument(
        "--by-hand", action="store_true", help="with --demo: you are the helper from the start"
    )
    parser.add_argument(
        "--language", choices=LANGUAGES, default="en", help="with --demo: what the played helper speaks"
    )
    parser.add_argument("--no-sound", action="store_true", help="neither speak nor listen; captions only")
    parser.add_argument("--talk", choices=list(Talk), help="how much is said at a step")
    parser.add_argument(
        "--helper",
        metavar="NAME",
        help="listen with the model fitted to this helper, whatever picture is chosen",
    )
    parser.add_argument(
        "--push-to-talk",
        action="store_true",
        help="listen only after the space bar (or a foot switch that sends it), for one answer",
    )
    parser.add_argument("--no-clips", action="store_true", help="do not keep recordings of spoken entries")
    parser.add_argument(
        "--board", metavar="ADDRESS", help="the supervisor's board: host:port, or 'find' on this network"
    )
    parser.add_argument(
        "--pair", metavar="CODE", nargs="?", const=ASK, help="the board's six digits; asked for if left out"
    )


def run(arguments: argparse.Namespace) -> int:
    """Exit status 0 when the supervisor lets the helper leave or the input ends, 2 for unusable input."""
    try:
        kit, orders = _kit(arguments), _orders(arguments)
        home, screen = home_folder(arguments.home), _on_a_screen(arguments)
        playing = arguments.demo and screen and not arguments.by_hand
        name = record_name(home, arguments.name, playing, kit) if arguments.demo else arguments.name
        folder = bench_folder(home, name)
        require_own(folder, kit)
        session, opening = LinkedSession.open(folder, name, kit, time.time)
    except (KitError, OwnKitError, RecordError, ValueError, OSError) as error:
        return unusable("bench", error)
    keyed, arrivals = _own_input(), Arrivals()
    board = board_of(folder, name, kit, arguments.board, _codes(arguments.pair, keyed))
    with session, linked(session, board, arrivals):
        kit_told = kept(folder, arguments.kit)
        brought, wrong = choosable(home)
        for sentence in (*opening.recovery.sentences, *filter(None, [board.told, kit_told]), *wrong):
            print(f"assistant bench: {sentence}", file=sys.stderr)
        today = datetime.fromtimestamp(session.now()).date().isoformat()
        day = session.begin_day(today, orders, brought)
        effects = (*session.taken_up_again(opening), *day)
        session.trouble = f"{session.trouble} {board.told}".strip()
        if not screen:
            source = keyed if board.pairing is None else arrivals.read(keyed)
            plain.run(session, effects, source, sys.stdout)
        else:
            app, voice = _app(arguments, session, effects, folder, playing)
            app.arrivals = arrivals if board.wanted else None
            try:
                with kept_for_the_screen():
                    app.run()
            finally:
                if voice is not None:
                    voice.close()
    return 0


def _on_a_screen(arguments: argparse.Namespace) -> bool:
    return not arguments.plain and sys.stdin.isatty() and sys.stdout.isatty()


def _app(
    arguments: argparse.Namespace, session: Session, effects: Iterable[Effect], folder: Path, playing: bool
) -> tuple["BenchApp", Voice | None]:
    """The screen and its voice. Textual loads only here: plain mode does without it."""
    from assistant.bench.app import BenchApp
    from assistant.bench.demonstration import Demonstration

    glyphs = detect(os.environ, sys.stdout.encoding)
    talk = Talk(arguments.talk or (Talk.TERSE if playing else Talk.USUAL))
    if not playing:
        voice = None if arguments.no_sound else _voice(arguments, session, folder)
        if not arguments.demo:
            return BenchApp(session, effects, glyphs, voice, talk), voice
        by_hand = Demonstration(session, effects, glyphs, voice, talk)
        by_hand.beside = Table(idle_hands(session.bench.kit), session)
        return by_hand, voice
    helper = performer(
        session.bench.kit,
        home_folder(arguments.home),
        arguments.language,
        None if arguments.no_clips else folder,
        not arguments.no_sound,
        arguments.helper,
    )
    app = Demonstration(session, effects, glyphs, helper.voice, talk)
    app.performer, app.beside = helper, Table(helper, session)
    return app, helper.voice


def _voice(arguments: argparse.Namespace, session: Session, folder: Path) -> Voice:
    """Sound as far as this machine has it; what is missing shows in the voice's status, never as an error."""
    home, beside = home_folder(arguments.home), None if arguments.no_clips else folder

    def helper() -> str | None:
        day = session.bench.day
        return arguments.helper or helper_with(home, day.helper if day is not None else None)

    return Voice(parts(home, beside, helper), arguments.push_to_talk)


def _own_input() -> TextIO:
    """The input under a file of its own: a thread waits on it, and the program must be able to end."""
    return open(os.dup(sys.stdin.fileno()), encoding=sys.stdin.encoding, errors="replace")


def _codes(given: str | None, keyed: TextIO) -> Iterable[str] | None:
    """What to pair with: nothing, the code of the command line, or codes as they are keyed."""
    return keyed_codes(keyed, sys.stdout) if given == ASK else None if given is None else (given,)


def _kit(arguments: argparse.Namespace) -> Kit:
    return demo_kit(BY_ID) if arguments.kit is None else load_kit(arguments.kit, BY_ID)


def _orders(arguments: argparse.Namespace) -> tuple[Order, ...]:
    if arguments.orders is not None:
        return load_orders(arguments.orders)
    return demo_orders() if arguments.demo or arguments.kit is None else ()

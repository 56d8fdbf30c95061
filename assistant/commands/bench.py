"""`assistant bench`: make pairs at this bench."""

import argparse
import os
import sys
import time
from datetime import datetime
from pathlib import Path

from assistant.bench import plain
from assistant.bench.session import Session
from assistant.config import bench_folder, home_folder
from assistant.journal.errors import RecordError
from assistant.kit.load import KitError, demo_kit, load_kit
from assistant.kit.load import demo_orders, load_orders
from assistant.kit.profile import Kit
from assistant.optics.order import Order
from assistant.ui.glyphs import detect
from assistant.workflow.steps import BY_ID

UNUSABLE = 2


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
        "--demo", action="store_true", help="the demonstration kit and orders, in a record of their own"
    )


def run(arguments: argparse.Namespace) -> int:
    """Exit status 0 when the supervisor lets the helper leave or the input ends, 2 for unusable input."""
    try:
        kit, orders = _kit(arguments), _orders(arguments)
        name = f"{arguments.name}-demo" if arguments.demo else arguments.name
        folder = bench_folder(home_folder(arguments.home), name)
        session, opening = Session.open(folder, name, kit, time.time)
    except (KitError, RecordError, ValueError, OSError) as error:
        print(f"assistant bench: {error}", file=sys.stderr)
        return UNUSABLE
    with session:
        for sentence in opening.recovery.sentences:
            print(f"assistant bench: {sentence}", file=sys.stderr)
        today = datetime.fromtimestamp(session.now()).date().isoformat()
        day = session.begin_day(today, orders)
        effects = (*session.taken_up_again(opening), *day)
        if arguments.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
            plain.run(session, effects, sys.stdin, sys.stdout)
        else:
            from assistant.bench.app import BenchApp

            BenchApp(session, effects, detect(os.environ, sys.stdout.encoding)).run()
    return 0


def _kit(arguments: argparse.Namespace) -> Kit:
    return demo_kit(BY_ID) if arguments.kit is None else load_kit(arguments.kit, BY_ID)


def _orders(arguments: argparse.Namespace) -> tuple[Order, ...]:
    if arguments.orders is not None:
        return load_orders(arguments.orders)
    return demo_orders() if arguments.demo or arguments.kit is None else ()

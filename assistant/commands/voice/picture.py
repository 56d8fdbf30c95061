"""`assistant voice picture`: which picture of the bench's first screen is which helper."""

import argparse
from pathlib import Path

from assistant.speech.helper_pictures import give_picture


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--helper", required=True, metavar="NAME", help="a helper with a model (voice enrol)")
    parser.add_argument("--number", required=True, type=int, metavar="N", help="the picture's number, 1 to 9")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where helpers' models are kept")


def run(arguments: argparse.Namespace, home: Path) -> int:
    give_picture(home, arguments.helper, arguments.number)
    print(f"picture {arguments.number} is {arguments.helper}: the bench listens with that helper's model")
    return 0

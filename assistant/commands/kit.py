"""`assistant kit DIR`: read a kit as the bench would, and say what is in it or what is wrong with it.

With `--left-in` it writes a kit first: what a record says is left of its own.
"""

import argparse
import sys
from pathlib import Path

from assistant.commands import unusable
from assistant.commands.left_in import LeftError, written
from assistant.commands.own_kit import OwnKitError
from assistant.commands.plan import kit_argument
from assistant.journal.errors import RecordError
from assistant.kit.profile import Kit
from assistant.optics.tolerance import STANDARDS


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", type=Path, nargs="?", metavar="DIR", help="folder of the kit (the demonstration kit)"
    )
    parser.add_argument(
        "--left-in",
        type=Path,
        metavar="RECORD_FOLDER",
        help="write the kit of this bench's record (kit/ beside it, or DIR) with the counts that are left by it",
    )
    parser.add_argument(
        "--out", type=Path, metavar="NEWDIR", help="with --left-in: the folder it is written to"
    )


def run(args: argparse.Namespace) -> int:
    """Print the kit; status 0, 2 for unusable input. Raises `KitError` for a kit that cannot be used."""
    if args.left_in is None and args.out is None:
        sys.stdout.write(as_text(kit_argument(args.folder)))
        return 0
    try:
        if args.left_in is None or args.out is None:
            raise LeftError("--left-in RECORD_FOLDER and --out NEWDIR go together")
        kit, told = written(args.left_in, args.folder, args.out)
    except (LeftError, OwnKitError, RecordError, OSError) as error:
        return unusable("kit", error)
    sys.stdout.write(as_text(kit))
    print(
        *told,
        f"count the case, correct {args.out}, then begin a new record: a bench with another --name",
        sep="\n",
    )
    return 0


def as_text(kit: Kit) -> str:
    """What is in the case, for the person who packs it."""
    bank, standard = kit.bank, STANDARDS[kit.standard]
    frames = ", ".join(f"{f.centre_distance_mm:g} mm x {sum(f.colours.values())}" for f in kit.frames)
    unverified = " (some rows from memory, to be checked against the bought standard)"
    lines = (
        kit.name,
        f"lenses: {bank.count.sum()} in {len(bank)} pockets, {kit.lens.diameter_mm:g} mm across,"
        f" spheres {bank.sphere.min():+.2f} to {bank.sphere.max():+.2f} D,"
        f" cylinders to {bank.cylinder.min():+.2f} D",
        f"pockets with one lens: {(bank.count == 1).sum()}, empty: {(bank.count == 0).sum()}",
        f"frames: {frames}",
        f"pin: {kit.pin.drop_mm:g} mm below the centre line, {kit.pin_depression_deg:.2f} degrees;"
        f" nasal index {kit.protractor.nasal_index.value}",
        f"tolerances: {standard.title}{unverified if standard.unverified else ''}",
    )
    return "\n".join(lines) + "\n"

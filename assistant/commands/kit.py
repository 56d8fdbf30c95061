"""`assistant kit DIR`: read a kit as the bench would, and say what is in it or what is wrong with it."""

import argparse
import sys
from pathlib import Path

from assistant.commands.plan import kit_argument
from assistant.kit.profile import Kit
from assistant.optics.tolerance import STANDARDS


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", type=Path, nargs="?", metavar="DIR", help="folder of the kit (the demonstration kit)"
    )


def run(args: argparse.Namespace) -> int:
    """Print the kit; status 0. Raises `KitError` for a kit that cannot be used."""
    sys.stdout.write(as_text(kit_argument(args.folder)))
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

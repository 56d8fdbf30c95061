"""`bank.csv`: one row a pocket. Every complaint names file, line and column, and what is allowed."""

import csv
import re
from collections.abc import Sequence
from typing import Final

import numpy as np

from assistant.kit.bank import Bank
from assistant.kit.fields import KitError
from assistant.kit.profile import Limits, Tray

COLUMNS: Final = ("sphere", "cylinder", "count", "pocket", "check_number")
MOST_LENSES: Final = 10_000
MOST_POCKETS: Final = 1_000_000
_NUMBER: Final = re.compile(r"[+-]?\d+(\.\d+)?")
_WHOLE: Final = re.compile(r"\d+")
_TWO_DIGITS: Final = re.compile(r"[0-9]{2}")

Row = tuple[float, float, int, int, str]


def read_bank(file: str, text: str, limits: Limits, tray: Tray) -> Bank:
    """The bank of a kit from CSV text; the first line names the columns, in any order.

    Spheres and cylinders in dioptres within the kit's limits, cylinders 0 or minus; counts from 0; pocket
    numbers from 1, each once; check numbers of two digits, never the same in two neighbouring pockets.
    Raises `KitError`.
    """
    table = list(csv.reader(text.splitlines()))
    header = [name.strip() for name in table[0]] if table else []
    if sorted(header) != sorted(COLUMNS):
        raise KitError(file, 1, "columns", f"are {','.join(header)}; allowed are {','.join(COLUMNS)}")
    rows, lines = [], []
    for line, cells in enumerate(table[1:], start=2):
        if cells:
            rows.append(
                _row(file, line, dict(zip(header, _whole_row(file, line, cells), strict=True)), limits)
            )
            lines.append(line)
    if not rows:
        raise KitError(file, 2, "rows", "are missing; allowed is one pocket or more")
    _refuse_shared_pockets(file, rows, lines)
    _refuse_alike_neighbours(file, rows, lines, tray)
    return _bank(rows)


def _whole_row(file: str, line: int, cells: Sequence[str]) -> Sequence[str]:
    if len(cells) != len(COLUMNS):
        raise KitError(file, line, "row", f"has {len(cells)} columns; allowed are {len(COLUMNS)}")
    return [cell.strip().replace("\N{MINUS SIGN}", "-") for cell in cells]


def _row(file: str, line: int, cells: dict[str, str], limits: Limits) -> Row:
    low, high = limits.sphere_range_d
    check_number = cells["check_number"]
    if not _TWO_DIGITS.fullmatch(check_number):
        raise KitError(file, line, "check_number", f"is {check_number!r}; allowed are two digits, 00 to 99")
    return (
        _number(file, line, "sphere", cells["sphere"], low, high),
        _number(file, line, "cylinder", cells["cylinder"], limits.strongest_cylinder_d, 0.0),
        _whole(file, line, "count", cells["count"], 0, MOST_LENSES),
        _whole(file, line, "pocket", cells["pocket"], 1, MOST_POCKETS),
        check_number,
    )


def _number(file: str, line: int, name: str, cell: str, low: float, high: float) -> float:
    if not _NUMBER.fullmatch(cell) or not low <= float(cell) <= high:
        raise KitError(file, line, name, f"is {cell!r}; allowed is {low:g} to {high:g}")
    return float(cell) + 0.0


def _whole(file: str, line: int, name: str, cell: str, low: int, high: int) -> int:
    if not _WHOLE.fullmatch(cell) or not low <= int(cell) <= high:
        raise KitError(file, line, name, f"is {cell!r}; allowed is a whole number from {low} to {high}")
    return int(cell)


def _refuse_shared_pockets(file: str, rows: Sequence[Row], lines: Sequence[int]) -> None:
    first: dict[int, int] = {}
    for row, line in zip(rows, lines, strict=True):
        pocket = row[3]
        if pocket in first:
            raise KitError(
                file, line, "pocket", f"is {pocket}, as on line {first[pocket]}; allowed is each number once"
            )
        first[pocket] = line


def _refuse_alike_neighbours(file: str, rows: Sequence[Row], lines: Sequence[int], tray: Tray) -> None:
    check_numbers = {row[3]: row[4] for row in rows}
    for row, line in zip(rows, lines, strict=True):
        pocket, check_number = row[3], row[4]
        for neighbour in neighbours(pocket, tray):
            if neighbour < pocket and check_numbers.get(neighbour) == check_number:
                raise KitError(
                    file,
                    line,
                    "check_number",
                    f"is {check_number}, as in pocket {neighbour} beside it;"
                    f" allowed is any other for pocket {pocket}",
                )


def neighbours(pocket: int, tray: Tray) -> tuple[int, ...]:
    """Pocket numbers a hand can take by mistake: the numbers before and after, and those above and below.

    Pockets are numbered from 1, row by row, tray after tray.
    """
    place = (pocket - 1) % (tray.columns * tray.rows)
    above = (pocket - tray.columns,) if place >= tray.columns else ()
    below = (pocket + tray.columns,) if place < tray.columns * (tray.rows - 1) else ()
    before = (pocket - 1,) if pocket > 1 else ()
    return (*before, pocket + 1, *above, *below)


def _bank(rows: Sequence[Row]) -> Bank:
    sphere, cylinder, count, pocket, check_number = zip(*rows, strict=True)
    arrays = (
        np.array(sphere, float),
        np.array(cylinder, float),
        np.array(count, np.int64),
        np.array(pocket, np.int64),
    )
    for array in arrays:
        array.flags.writeable = False
    return Bank(*arrays, check_number)

"""Every helper's practices, one line each, in a file that only grows."""

import os
from collections.abc import Iterable
from pathlib import Path
from typing import Final

import msgspec

from assistant.lesson.score import Score

FILE: Final = "progress.jsonl"


class Practised(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One practice. `at` in seconds since 1970-01-01 UTC."""

    at: float
    helper: str
    pair: str
    """The session it was taken from, or random."""
    seed: int
    mistake: str
    found: str
    false_alarms: int
    readings: int
    misread: int
    lenses: int
    seconds: float
    finished: bool


class ProgressError(Exception):
    """The file cannot be written or read; one sentence."""


def practised(
    score: Score, helper: str, pair: str, seed: int, began: float, ended: float, finished: bool
) -> Practised:
    """One practice's line."""
    return Practised(
        at=began,
        helper=helper,
        pair=pair,
        seed=seed,
        mistake=score.mistake,
        found=score.found.value,
        false_alarms=score.false_alarms,
        readings=score.readings,
        misread=score.misread,
        lenses=score.lenses if finished else 0,
        seconds=round(ended - began, 1),
        finished=finished,
    )


def keep(folder: Path, line: Practised) -> None:
    """Add a line and wait until it is on disk. Raises `ProgressError`."""
    path = folder / FILE
    try:
        with path.open("ab") as file:
            torn = file.tell() and not path.read_bytes().endswith(b"\n")
            file.write((b"\n" if torn else b"") + msgspec.json.encode(line) + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise ProgressError(f"{path}: this practice could not be kept ({error.strerror})") from error


def kept(folder: Path) -> tuple[tuple[Practised, ...], tuple[str, ...]]:
    """All lines that can be read, and a sentence for each that cannot. Raises `ProgressError`."""
    path = folder / FILE
    try:
        lines = path.read_bytes().splitlines() if path.exists() else []
    except OSError as error:
        raise ProgressError(f"{path}: cannot be read ({error.strerror})") from error
    found: list[Practised] = []
    troubles: list[str] = []
    for number, line in enumerate(lines, 1):
        try:
            found.append(msgspec.json.decode(line, type=Practised))
        except msgspec.MsgspecError:
            troubles.append(f"{path}, line {number}: this is no practice and is left out")
    return tuple(found), tuple(troubles)


def table(lines: Iterable[Practised]) -> str:
    """For the trainer: each helper's practices, the last five beside the first five, what was missed most."""
    by_helper: dict[str, list[Practised]] = {}
    for line in lines:
        by_helper.setdefault(line.helper, []).append(line)
    if not by_helper:
        return "No practice has been kept yet."
    rows = [_HEAD, *(_row(helper, by_helper[helper]) for helper in sorted(by_helper))]
    return "\n".join(rows)


_HEAD: Final = (
    f"{'helper':<12} {'done':>4} {'left':>4} {'found, first 5':>14} {'found, last 5':>13}"
    f" {'lenses, first 5':>15} {'lenses, last 5':>14} {'misread':>7} {'minutes':>7}  missed most"
)


def _row(helper: str, lines: list[Practised]) -> str:
    done = [line for line in lines if line.finished]
    first, last = done[:5], done[-5:]
    readings = sum(line.readings for line in done)
    misread = f"{sum(line.misread for line in done) / readings:.1%}" if readings else "-"
    minutes = f"{_middle([line.seconds for line in done]) / 60.0:.1f}" if done else "-"
    return (
        f"{helper:<12} {len(done):>4} {len(lines) - len(done):>4} {_found(first):>14} {_found(last):>13}"
        f" {_lenses(first):>15} {_lenses(last):>14} {misread:>7} {minutes:>7}  {_missed(done)}"
    )


def _found(lines: list[Practised]) -> str:
    return f"{sum(line.found != 'missed' for line in lines)} of {len(lines)}"


def _lenses(lines: list[Practised]) -> str:
    return f"{sum(line.lenses for line in lines) / len(lines):.1f}" if lines else "-"


def _middle(values: list[float]) -> float:
    return sorted(values)[len(values) // 2]


def _missed(lines: list[Practised]) -> str:
    """The mistake that was missed most often, with how often of how many."""
    missed: dict[str, int] = {}
    for line in lines:
        missed[line.mistake] = missed.get(line.mistake, 0) + (line.found == "missed")
    worst = max(missed, key=lambda mistake: missed[mistake], default="")
    if not worst or not missed[worst]:
        return "-"
    met = sum(line.mistake == worst for line in lines)
    return f"{worst.replace('_', ' ')} ({missed[worst]} of {met})"

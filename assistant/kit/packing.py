"""The files of a kit with other counts, else as they were written: for a case that is packed anew."""

import csv
from collections.abc import Mapping
from io import StringIO
from typing import cast

import tomlkit

from assistant.kit.profile import FrameSize


def bank_with_counts(text: str, counts: Mapping[int, int]) -> str:
    """`bank.csv`, read as a bank before, with these counts by pocket number; columns and rows as they stand."""
    heading, *rows = csv.reader(text.splitlines())
    names = [name.strip() for name in heading]
    pocket, count = names.index("pocket"), names.index("count")
    for cells in rows:
        if cells:
            cells[count] = str(counts[int(cells[pocket])])
    written = StringIO()
    csv.writer(written, lineterminator="\n").writerows([heading, *rows])
    return written.getvalue()


def kit_with_frames(text: str, sizes: tuple[FrameSize, ...]) -> str:
    """`kit.toml`, read as a kit before, with the colours of these sizes; comments and all else as they stand."""
    document = tomlkit.parse(text)
    for section, size in zip(cast(tomlkit.items.AoT, document["frames"]), sizes, strict=True):
        section["colours"].update(size.colours)
    return tomlkit.dumps(document)


def less_frames(size: FrameSize, left: int) -> FrameSize:
    """The size with so many frames left. A record does not know which colours went: the fullest gives each time."""
    colours = dict(size.colours)
    for _ in range(sum(colours.values()) - left):
        fullest = max(colours, key=lambda colour: colours[colour])
        colours[fullest] -= 1
    return FrameSize(size.centre_distance_mm, colours)

"""From shapes to cells: a pure rasteriser with braille lines, block areas, and an ASCII way of doing both.

Every cell is sampled 2 across by 4 down, which makes samples square on a usual terminal, so that a line
drawn at 30 degrees is seen at 30 degrees. Why it is our own: docs/decisions/0003-drawing.md.
"""

from collections import Counter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from textual.content import Content

from assistant.ui.glyphs import ASCII_AREA, COLOURS, Glyphs
from assistant.ui.raster import ACROSS, DOWN, Raster
from assistant.ui.shapes import Ink, Scene

_BRAILLE = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
_QUADRANTS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
_FULL = 7
"""Area samples in a cell that make it a ground for the line on it; fewer leave the line bare and sharp."""
_SLOPES = "-/|\\"


class Cell(NamedTuple):
    char: str
    ink: Ink | None = None
    ground: Ink | None = None
    """Ink of the area behind the character."""


Cells = tuple[tuple[Cell, ...], ...]
_EMPTY = Cell(" ")


def draw(scene: Scene, columns: int, rows: int, glyphs: Glyphs) -> Cells:
    """Draw a scene as large as it fits, centred, into `rows` rows of `columns` cells.

    Raises:
        ValueError: no room at all.
    """
    if columns < 1 or rows < 1:
        raise ValueError(f"a picture of {columns} by {rows} cells; both must be at least 1")
    raster = Raster(scene, columns, rows, glyphs)
    for shape in scene.shapes:
        raster.add(shape)
    return _cells(raster)


def to_content(cells: Cells, glyphs: Glyphs) -> Content:
    """The cells as Textual content, one line a row."""
    parts: list[tuple[str, str] | str] = []
    for number, row in enumerate(cells):
        if number:
            parts.append("\n")
        parts.extend(_runs(row, glyphs))
    return Content.assemble(*parts)


def _runs(row: tuple[Cell, ...], glyphs: Glyphs) -> list[tuple[str, str]]:
    runs: list[tuple[str, str]] = []
    for cell in row:
        style = _style(cell, glyphs)
        if runs and runs[-1][1] == style:
            runs[-1] = (runs[-1][0] + cell.char, style)
        else:
            runs.append((cell.char, style))
    return runs


def _style(cell: Cell, glyphs: Glyphs) -> str:
    colours = COLOURS[glyphs]
    ink = colours[cell.ink] if cell.ink else ""
    return f"{ink} on {colours[cell.ground]}".strip() if cell.ground else ink


def _cells(raster: Raster) -> Cells:
    read = _ascii_cell if raster.glyphs is Glyphs.ASCII else _fine_cell
    painted = raster.lines | raster.areas
    by_cell = painted.reshape(raster.rows, DOWN, raster.columns, ACROSS)
    drawn: NDArray[np.bool_] = np.asarray(by_cell.any(axis=(1, 3)))
    for place in raster.labels:
        drawn[place] = True
    busy = drawn.tolist()
    return tuple(
        tuple(read(raster, row, column) if busy[row][column] else _EMPTY for column in range(raster.columns))
        for row in range(raster.rows)
    )


def _fine_cell(raster: Raster, row: int, column: int) -> Cell:
    here = _window_of(row, column)
    areas, lines = raster.areas[here], raster.lines[here]
    if (row, column) in raster.labels:
        char, ink = raster.labels[row, column]
        return Cell(char, ink, _most(areas, at_least=4))
    if lines.any():
        return _line_cell(areas, lines)
    return _block(areas) if areas.any() else _EMPTY


def _line_cell(areas: NDArray[np.uint8], lines: NDArray[np.uint8]) -> Cell:
    """Lines as braille. An area that fills the cell is their ground; a part of one that is of the same ink,
    or stands on dim lines, is drawn in braille with them, so that arrowheads keep their shape."""
    ink, ground = _line_ink(lines), _most(areas, at_least=_FULL)
    drawn = lines > 0
    part = _most(areas, at_least=1)
    if (
        part is not None
        and ground in (None, ink)
        and (part is ink or (ink is Ink.DIM and part is not Ink.GLASS))
    ):
        drawn, ink, ground = drawn | (areas == part), part, None
    return Cell(chr(0x2800 + int(_BRAILLE[drawn].sum())), ink, ground)


def _ascii_cell(raster: Raster, row: int, column: int) -> Cell:
    here = _window_of(row, column)
    if (row, column) in raster.labels:
        return Cell(*raster.labels[row, column])
    lines = raster.lines[here]
    if np.count_nonzero(lines) >= 2:
        return Cell(_ascii_line(raster.slopes[here], lines > 0), _line_ink(lines))
    ink = _most(raster.areas[here], at_least=3)
    return Cell(ASCII_AREA[ink], ink) if ink else _EMPTY


def _ascii_line(slopes: NDArray[np.uint8], drawn: NDArray[np.bool_]) -> str:
    slope = _SLOPES[Counter(slopes[drawn].tolist()).most_common(1)[0][0]]
    low = slope == "-" and not drawn[: DOWN - 1].any()
    return "_" if low else slope


def _window_of(row: int, column: int) -> tuple[slice, slice]:
    return (slice(row * DOWN, (row + 1) * DOWN), slice(column * ACROSS, (column + 1) * ACROSS))


def _most(samples: NDArray[np.uint8], at_least: int) -> Ink | None:
    """The ink most samples have, None where fewer than `at_least` have any."""
    inked = samples[samples > 0].tolist()
    return Ink(Counter(inked).most_common(1)[0][0]) if len(inked) >= at_least else None


def _line_ink(lines: NDArray[np.uint8]) -> Ink | None:
    """The ink most of the lines have; a dim one only where there is no other."""
    bright = np.where(lines == Ink.DIM, 0, lines)
    return _most(bright, at_least=1) or _most(lines, at_least=1)


def _block(areas: NDArray[np.uint8]) -> Cell:
    """A cell of areas alone: quarters of the front ink over the ink, or nothing, behind."""
    quarters = areas.reshape(2, 2, 2).max(axis=1).ravel()
    inks = [ink for ink, _ in Counter(quarters.tolist()).most_common()]
    front = next(ink for ink in inks if ink)
    behind = next((ink for ink in inks if ink and ink != front), 0) if 0 not in quarters else 0
    bits = sum(1 << place for place, ink in enumerate(quarters.tolist()) if ink and ink != behind)
    return Cell(_QUADRANTS[bits], Ink(front), Ink(behind) if behind else None)

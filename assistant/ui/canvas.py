"""From shapes to cells: a pure rasteriser with braille lines, block areas, and an ASCII way of doing both.

Every cell is sampled 2 across by 4 down, which makes samples square on a usual terminal, so that a line
drawn at 30 degrees is seen at 30 degrees. Why it is our own: docs/decisions/0003-drawing.md.
"""

import math
from collections import Counter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from textual.content import Content

from assistant.ui import numerals
from assistant.ui.glyphs import ASCII_AREA, COLOURS, Glyphs
from assistant.ui.shapes import Area, Ink, Label, Numeral, Point, Scene, Stroke

ACROSS, DOWN = 2, 4
"""Samples in a cell."""
_DASH_ON, _DASH_PERIOD = 4.0, 8.0
"""Samples, along the line."""
_AREA_FROM = 2.0
"""A stroke this many samples wide is an area."""
_TIE = 1e-4
"""Moves every sample a little, so that a line midway between two rows of samples takes one of them."""
_BRAILLE = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
_QUADRANTS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
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
    raster = _Raster(scene, columns, rows, glyphs)
    for shape in scene.shapes:
        raster.add(shape)
    return raster.cells()


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


def slope_of(start: Point, end: Point) -> int:
    """Which of - / | \\ a line most looks like; y upwards. Cells are twice as tall as wide."""
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])) % 180.0
    if 75.0 <= angle <= 105.0:
        return 2
    if angle < 25.0 or angle > 155.0:
        return 0
    return 1 if angle < 90.0 else 3


class _Raster:
    def __init__(self, scene: Scene, columns: int, rows: int, glyphs: Glyphs) -> None:
        self.columns, self.rows, self.glyphs = columns, rows, glyphs
        self.width, self.height = columns * ACROSS, rows * DOWN
        self.scale = min(self.width / scene.width, self.height / scene.height)
        self.areas: NDArray[np.uint8] = np.zeros((self.height, self.width), np.uint8)
        self.lines: NDArray[np.uint8] = np.zeros((self.height, self.width), np.uint8)
        self.slopes: NDArray[np.uint8] = np.zeros((self.height, self.width), np.uint8)
        self.labels: dict[tuple[int, int], tuple[str, Ink]] = {}

    def add(self, shape: Stroke | Area | Label | Numeral) -> None:
        if isinstance(shape, Stroke):
            self._stroke(shape)
        elif isinstance(shape, Area):
            self._area(shape)
        elif isinstance(shape, Label):
            self._label(shape)
        else:
            self._numeral(shape)

    # placing

    def _place(self, point: Point) -> Point:
        """World to samples; y downwards."""
        return (self.width / 2.0 + point[0] * self.scale, self.height / 2.0 - point[1] * self.scale)

    def _window(self, points: list[Point], margin: float) -> tuple[slice, slice] | None:
        """The samples around some points, None when they are all outside."""
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        left, right = max(0, math.floor(min(xs) - margin)), min(self.width, math.ceil(max(xs) + margin))
        top, bottom = max(0, math.floor(min(ys) - margin)), min(self.height, math.ceil(max(ys) + margin))
        return (slice(top, bottom), slice(left, right)) if left < right and top < bottom else None

    @staticmethod
    def _grid(window: tuple[slice, slice]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        rows, columns = window
        y = np.arange(rows.start, rows.stop)[:, None] + 0.5 + _TIE
        x = np.arange(columns.start, columns.stop)[None, :] + 0.5 + _TIE
        return x, y

    # shapes

    def _stroke(self, stroke: Stroke) -> None:
        placed = [self._place(point) for point in stroke.points]
        wide = stroke.width * self.scale
        run = 0.0
        for start, end in zip(placed, placed[1:], strict=False):
            self._segment(stroke, start, end, max(1.0, wide) / 2.0, run if stroke.dashed else None)
            run += math.dist(start, end)

    def _segment(self, stroke: Stroke, start: Point, end: Point, half: float, run: float | None) -> None:
        window = self._window([start, end], half + 1.0)
        if window is None:
            return
        x, y = self._grid(window)
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = math.hypot(dx, dy)
        along = np.clip(((x - start[0]) * dx + (y - start[1]) * dy) / max(length * length, 1e-12), 0.0, 1.0)
        inside = np.hypot(x - start[0] - along * dx, y - start[1] - along * dy) <= half
        if run is not None:
            inside &= (run + along * length) % _DASH_PERIOD < _DASH_ON
        if 2.0 * half >= _AREA_FROM:
            self._fill(window, inside, stroke.ink)
            return
        self.lines[window][inside] = stroke.ink
        self.slopes[window][inside] = slope_of(start, (end[0], 2 * start[1] - end[1]))

    def _area(self, area: Area) -> None:
        placed = [self._place(point) for point in area.points]
        window = self._window(placed, 1.0)
        if window is None:
            return
        x, y = self._grid(window)
        inside = np.zeros(np.broadcast_shapes(x.shape, y.shape), np.bool_)
        for (ax, ay), (bx, by) in zip(placed, placed[1:] + placed[:1], strict=True):
            if ay != by:
                inside ^= ((ay > y) != (by > y)) & (x < (bx - ax) * (y - ay) / (by - ay) + ax)
        if not inside.any():
            inside = self._nearest(placed, x, y)
        self._fill(window, inside, area.ink)

    @staticmethod
    def _nearest(placed: list[Point], x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        """An area too small for any sample still shows as one."""
        middle_x = sum(p[0] for p in placed) / len(placed)
        middle_y = sum(p[1] for p in placed) / len(placed)
        away = np.hypot(x - middle_x, y - middle_y)
        nearest: NDArray[np.bool_] = away == away.min()
        return nearest

    def _fill(self, window: tuple[slice, slice], inside: NDArray[np.bool_], ink: Ink) -> None:
        self.areas[window][inside] = ink
        self.lines[window][inside] = 0

    def _label(self, label: Label) -> None:
        x, y = self._place((label.x, label.y))
        row = min(self.rows - 1, max(0, math.floor(y / DOWN)))
        first = round(x / ACROSS - len(label.text) * (label.anchor + 1) / 2.0)
        for offset, char in enumerate(label.text):
            if 0 <= first + offset < self.columns:
                self.labels[row, first + offset] = (char, label.ink)

    def _numeral(self, numeral: Numeral) -> None:
        unit = DOWN if self.glyphs is Glyphs.ASCII else ACROSS
        dot = int(numeral.height * self.scale / numerals.HEIGHT / unit + 1e-6) * unit
        if dot == 0:
            self._label(Label(numeral.x, numeral.y, numeral.text, numeral.ink))
            return
        dots = np.kron(numerals.dots(numeral.text), np.ones((dot, dot), np.bool_))
        x, y = self._place((numeral.x, numeral.y))
        left = round((x - dots.shape[1] / 2.0) / ACROSS) * ACROSS
        top = round((y - dots.shape[0] / 2.0) / unit) * unit
        inside = np.zeros((self.height, self.width), np.bool_)
        seen = dots[max(0, -top) : self.height - top, max(0, -left) : self.width - left]
        inside[max(0, top) :, max(0, left) :][: seen.shape[0], : seen.shape[1]] = seen
        self._fill((slice(0, self.height), slice(0, self.width)), inside, numeral.ink)

    # cells

    def cells(self) -> Cells:
        read = self._ascii_cell if self.glyphs is Glyphs.ASCII else self._fine_cell
        drawn = (self.lines | self.areas).reshape(self.rows, DOWN, self.columns, ACROSS).any(axis=(1, 3))
        for place in self.labels:
            drawn[place] = True
        busy = drawn.tolist()
        return tuple(
            tuple(read(row, column) if busy[row][column] else _EMPTY for column in range(self.columns))
            for row in range(self.rows)
        )

    def _fine_cell(self, row: int, column: int) -> Cell:
        here = _window_of(row, column)
        areas, lines = self.areas[here], self.lines[here]
        ground = _most(areas, at_least=4)
        if (row, column) in self.labels:
            char, ink = self.labels[row, column]
            return Cell(char, ink, ground)
        if lines.any():
            bits = int(_BRAILLE[lines > 0].sum())
            return Cell(chr(0x2800 + bits), _most(lines, at_least=1), ground)
        return _block(areas) if areas.any() else Cell(" ")

    def _ascii_cell(self, row: int, column: int) -> Cell:
        here = _window_of(row, column)
        if (row, column) in self.labels:
            return Cell(*self.labels[row, column])
        lines = self.lines[here]
        if np.count_nonzero(lines) >= 2:
            return Cell(self._ascii_line(here, lines), _most(lines, at_least=1))
        ink = _most(self.areas[here], at_least=3)
        return Cell(ASCII_AREA[ink], ink) if ink else Cell(" ")

    def _ascii_line(self, here: tuple[slice, slice], lines: NDArray[np.uint8]) -> str:
        drawn = lines > 0
        slope = _SLOPES[Counter(self.slopes[here][drawn].tolist()).most_common(1)[0][0]]
        low = slope == "-" and not drawn[: DOWN - 1].any()
        return "_" if low else slope


def _window_of(row: int, column: int) -> tuple[slice, slice]:
    return (slice(row * DOWN, (row + 1) * DOWN), slice(column * ACROSS, (column + 1) * ACROSS))


def _most(samples: NDArray[np.uint8], at_least: int) -> Ink | None:
    """The ink most samples have, None below `at_least` of them."""
    counted = Counter(samples[samples > 0].tolist()).most_common(1)
    return Ink(counted[0][0]) if counted and counted[0][1] >= at_least else None


def _block(areas: NDArray[np.uint8]) -> Cell:
    """A cell of areas alone: quarters of the front ink over the ink, or nothing, behind."""
    quarters = areas.reshape(2, 2, 2).max(axis=1).ravel()
    inks = [ink for ink, _ in Counter(quarters.tolist()).most_common()]
    front = next(ink for ink in inks if ink)
    behind = next((ink for ink in inks if ink and ink != front), 0) if 0 not in quarters else 0
    bits = sum(1 << place for place, ink in enumerate(quarters.tolist()) if ink and ink != behind)
    return Cell(_QUADRANTS[bits], Ink(front), Ink(behind) if behind else None)

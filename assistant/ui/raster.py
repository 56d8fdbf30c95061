"""Shapes to samples: 2 across by 4 down in every cell, square on a usual terminal, painted in order."""

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from assistant.ui import numerals
from assistant.ui.glyphs import Glyphs
from assistant.ui.shapes import Area, Ink, Label, Numeral, Point, Scene, Stroke

ACROSS, DOWN = 2, 4
"""Samples in a cell."""
_DASH_ON, _DASH_PERIOD = 4.0, 8.0
"""Samples, along the line."""
_AREA_FROM = 2.0
"""A stroke this many samples wide is an area."""
_TIE = 1e-4
"""Moves every sample a little, so that a line midway between two rows of samples takes one of them."""


def slope_of(start: Point, end: Point) -> int:
    """Which of - / | \\ a line most looks like; y upwards. Cells are twice as tall as wide."""
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])) % 180.0
    if 75.0 <= angle <= 105.0:
        return 2
    if angle < 25.0 or angle > 155.0:
        return 0
    return 1 if angle < 90.0 else 3


class Raster:
    """The samples of a scene as they are painted: areas, the lines over them, and labels by cell."""

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
        for start, end in pairwise(placed):
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
        inside: NDArray[np.bool_] = np.zeros(np.broadcast_shapes(x.shape, y.shape), np.bool_)
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
        # Moved in whole: a number that loses a figure at the edge is another number.
        first = max(0, min(first, self.columns - len(label.text)))
        for offset, char in enumerate(label.text):
            if 0 <= first + offset < self.columns:
                self.labels[row, first + offset] = (char, label.ink)

    def _numeral(self, numeral: Numeral) -> None:
        unit = DOWN if self.glyphs is Glyphs.ASCII else ACROSS
        dot = int(numeral.height * self.scale / numerals.HEIGHT / unit + 0.25) * unit
        if dot == 0:
            self._label(Label(numeral.x, numeral.y, numeral.text, numeral.ink))
            return
        dots = numerals.dots(numeral.text).repeat(dot, axis=0).repeat(dot, axis=1)
        x, y = self._place((numeral.x, numeral.y))
        left = round((x - dots.shape[1] / 2.0) / ACROSS) * ACROSS
        top = round((y - dots.shape[0] / 2.0) / unit) * unit
        inside: NDArray[np.bool_] = np.zeros((self.height, self.width), np.bool_)
        seen = dots[max(0, -top) : self.height - top, max(0, -left) : self.width - left]
        inside[max(0, top) :, max(0, left) :][: seen.shape[0], : seen.shape[1]] = seen
        self._fill((slice(0, self.height), slice(0, self.width)), inside, numeral.ink)

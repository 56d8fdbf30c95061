"""Rows of bars under each other over one scale, as a scene: names at the left, figures at the right. Pure.

Why no plotting library: docs/decisions/0005-plots.md.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.ui.shapes import Area, Ink, Label, Scene, Shape, Stroke, block, line

ROW: Final = 9.0
SHORT_NAMES: Final = 88.0
LONG_NAMES: Final = 124.0
PLOT: Final = 130.0
FIGURES: Final = 56.0


@dataclass(frozen=True, slots=True)
class RowsPlot:
    """`low` to `high` is what the scale shows, `rows` how many bars lie over it."""

    rows: int
    low: float
    high: float
    names: float = SHORT_NAMES
    """How wide the column of names is."""

    @property
    def width(self) -> float:
        return self.names + PLOT + FIGURES

    @property
    def height(self) -> float:
        return (self.rows + 2) * ROW

    def x(self, value: float) -> float:
        """Where a value of the scale lies."""
        share = (value - self.low) / (self.high - self.low)
        return -self.width / 2.0 + self.names + share * PLOT

    def y(self, row: int) -> float:
        return self.height / 2.0 - (row + 0.75) * ROW

    def name(self, row: int, text: str) -> Label:
        return Label(-self.width / 2.0 + self.names - 3.0, self.y(row), text, Ink.LINE, 1)

    def figure(self, row: int, text: str) -> Label:
        return Label(self.width / 2.0 - FIGURES + 3.0, self.y(row), text, Ink.LINE, -1)

    def scale(self, every: float, unit: str) -> list[Shape]:
        """Thin lines down the plot with their figures below, the unit after the last."""
        count = math.floor((self.high - self.low) / every + 1e-9)
        top, foot = self.y(0) + ROW * 0.6, self.y(self.rows - 1) - ROW * 0.6
        shapes: list[Shape] = []
        for value in (self.low + n * every for n in range(count + 1)):
            shapes.append(line((self.x(value), top), (self.x(value), foot), Ink.DIM, 0.3))
            shapes.append(Label(self.x(value), foot - ROW * 0.5, f"{value:g}"))
        return [*shapes, Label(self.width / 2.0 - FIGURES + 6.0, foot - ROW * 0.5, unit, Ink.LINE, -1)]

    def scene(self, shapes: Sequence[Shape]) -> Scene:
        return Scene(tuple(shapes), self.width, self.height)

    def bar(self, row: int, low: float, high: float, ink: Ink = Ink.METAL) -> Area:
        """From one value to another; never too thin to see."""
        left, right = self.x(low), self.x(high)
        return block(((left + right) / 2.0, self.y(row)), max(right - left, 0.8), ROW * 0.55, ink)

    def mark(self, row: int, value: float) -> Stroke:
        """A black bar across the row."""
        x, y = self.x(value), self.y(row)
        return line((x, y - ROW * 0.4), (x, y + ROW * 0.4), Ink.LINE, 1.6)

    def peg(self, row: int, value: float) -> Area:
        """A small triangle that points down to a value: where a budget ends."""
        x, y = self.x(value), self.y(row)
        return Area(((x - 2.0, y + 4.5), (x + 2.0, y + 4.5), (x, y - 0.5)), Ink.LIT)


def round_step(least: float) -> float:
    """1, 2 or 5 times a power of ten, at least as much as this."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= least - 1e-9)


def seconds_plot(rows: int, most_s: float, names: float = SHORT_NAMES) -> RowsPlot:
    """A scale from 0 to at least so many seconds, in round figures."""
    every = round_step(max(most_s, 60.0) / 6.0)
    return RowsPlot(rows, 0.0, math.ceil(max(most_s, 60.0) / every) * every, names)

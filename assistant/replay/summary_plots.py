"""A summary as plots: scenes of the same shapes as the helper's pictures. Pure.

One row a step, in the order of the work, so that a row is compared with its budget and not by colour.
Why no plotting library: docs/decisions/0005-plots.md.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.optics.power import Floats
from assistant.replay.pace import Spread
from assistant.replay.summary import Share, Summary
from assistant.replay.summary_facts import WAITING
from assistant.replay.wording import doing
from assistant.ui.shapes import Area, Ink, Label, Scene, Shape, block, line
from assistant.workflow.state import Item

ROW: Final = 9.0
NAMES: Final = 82.0
PLOT: Final = 130.0
FIGURES: Final = 40.0
WIDTH: Final = NAMES + PLOT + FIGURES
AXIS_MOST_DEG: Final = 12
"""Errors beyond are single mistakes; they are counted at the edge."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Rows under each other with a scale below: names at the left, figures at the right."""

    rows: int
    low: float
    high: float

    @property
    def height(self) -> float:
        return (self.rows + 2) * ROW

    def x(self, value: float) -> float:
        """Where a value of the scale lies."""
        share = (value - self.low) / (self.high - self.low)
        return -WIDTH / 2.0 + NAMES + share * PLOT

    def y(self, row: int) -> float:
        return self.height / 2.0 - (row + 0.75) * ROW

    def name(self, row: int, text: str) -> Label:
        return Label(-WIDTH / 2.0 + NAMES - 3.0, self.y(row), text, Ink.LINE, 1)

    def figure(self, row: int, text: str) -> Label:
        return Label(WIDTH / 2.0 - FIGURES + 3.0, self.y(row), text, Ink.LINE, -1)

    def scale(self, every: float, unit: str) -> list[Shape]:
        """Thin lines down the plot with their figures below, the unit after the last."""
        count = math.floor((self.high - self.low) / every + 1e-9)
        top, foot = self.y(0) + ROW * 0.6, self.y(self.rows - 1) - ROW * 0.6
        shapes: list[Shape] = []
        for value in (self.low + n * every for n in range(count + 1)):
            shapes.append(line((self.x(value), top), (self.x(value), foot), Ink.DIM, 0.3))
            shapes.append(Label(self.x(value), foot - ROW * 0.5, f"{value:g}"))
        return [*shapes, Label(WIDTH / 2.0 - FIGURES + 6.0, foot - ROW * 0.5, unit, Ink.LINE, -1)]

    def scene(self, shapes: Sequence[Shape]) -> Scene:
        return Scene(tuple(shapes), WIDTH, self.height)


def step_times(times: Mapping[str, Spread], budget_s: Mapping[str, float]) -> Scene:
    """For each step a box from quartile to quartile, a bar at the median, and a peg where its budget ends."""
    most = max(
        [60.0, *(time.high_s for time in times.values()), *(budget_s.get(step, 0.0) for step in times)]
    )
    every = _round_step(most / 6.0)
    frame = _Frame(len(times), 0.0, math.ceil(most / every) * every)
    shapes = frame.scale(every, "s")
    for row, (step, time) in enumerate(times.items()):
        y = frame.y(row)
        low, middle, high = frame.x(time.low_s), frame.x(time.median_s), frame.x(time.high_s)
        shapes.append(frame.name(row, doing(Item(step))))
        shapes.append(block(((low + high) / 2.0, y), max(high - low, 0.8), ROW * 0.55, Ink.METAL))
        shapes.append(line((middle, y - ROW * 0.4), (middle, y + ROW * 0.4), Ink.LINE, 1.6))
        if step in budget_s:
            shapes.append(_peg(frame.x(budget_s[step]), y))
        over = step in budget_s and time.median_s > budget_s[step]
        shapes.append(frame.figure(row, f"{time.median_s:.0f} s{' > budget' if over else ''}"))
    return frame.scene(shapes)


def first_tries(shares: Mapping[str, Share]) -> Scene:
    """For each step a bar as long as the share that went right at the first try."""
    frame = _Frame(len(shares), 0.0, 100.0)
    shapes = frame.scale(25.0, "%")
    for row, (step, share) in enumerate(shares.items()):
        shapes.append(frame.name(row, doing(Item(step))))
        length = frame.x(100.0 * share.part) - frame.x(0.0)
        if length > 0.0:
            shapes.append(block((frame.x(0.0) + length / 2.0, frame.y(row)), length, ROW * 0.55, Ink.METAL))
        shapes.append(frame.figure(row, f"{share.first_try} of {share.done}"))
    return frame.scene(shapes)


def axis_errors(errors: Sequence[AxisError]) -> Scene:
    """For each bench and eye how many lenses lay so many degrees off, and their mean as a bar.

    Right and left off in opposite ways is the kit's fault, alike an instrument's.
    """
    rows = [(bench, eye) for bench in sorted({error.bench for error in errors}) for eye in Eye]
    frame = _Frame(len(rows), -float(AXIS_MOST_DEG), float(AXIS_MOST_DEG))
    shapes = frame.scale(4.0, "degrees")
    for row, (bench, eye) in enumerate(rows):
        own = np.array([e.error_deg for e in errors if e.bench == bench and e.eye is eye], float)
        shapes.append(frame.name(row, f"{bench}, {eye.value}"))
        if own.size:
            shapes += _histogram(frame, row, own)
            shapes.append(frame.figure(row, f"{own.size} lenses"))
    return frame.scene(shapes)


def _histogram(frame: _Frame, row: int, errors: Floats) -> list[Shape]:
    """A bar for every whole degree, the tallest as tall as the row; the mean of all but single mistakes."""
    inside = np.clip(np.rint(errors), -AXIS_MOST_DEG, AXIS_MOST_DEG).astype(int)
    values, counts = np.unique(inside, return_counts=True)
    foot, wide = frame.y(row) - ROW * 0.45, frame.x(0.8) - frame.x(0.0)
    shapes: list[Shape] = []
    for value, count in zip(values.tolist(), counts.tolist(), strict=True):
        tall = ROW * 0.9 * count / int(counts.max())
        shapes.append(block((frame.x(value), foot + tall / 2.0), wide, tall, Ink.METAL))
    usual = errors[np.abs(errors) <= AXIS_MOST_DEG]
    if usual.size:
        x = frame.x(float(usual.mean()))
        shapes.append(line((x, foot), (x, foot + ROW * 0.9), Ink.LINE, 1.6))
    return shapes


def plots(summary: Summary, budget_s: Mapping[str, float]) -> tuple[tuple[str, Scene], ...]:
    """Every plot with what it shows in a sentence; those without anything to show are left out."""
    worked = [step for step in summary.steps if step != WAITING]
    found = []
    if worked:
        times = {step: summary.step_time(step) for step in worked}
        shares = {step: summary.share(step) for step in worked}
        found.append((_TIMES, step_times(times, budget_s)))
        found.append((_TRIES, first_tries(shares)))
    if summary.axis_errors:
        found.append((_AXES, axis_errors(summary.axis_errors)))
    return tuple(found)


_TIMES: Final = "Seconds on each step: grey from quartile to quartile, black bar the median, peg the budget"
_TRIES: Final = "Share of each step that went right at the first try"
_AXES: Final = "How far finished axes lay off, for each bench and eye: the black bar is the mean"


def _peg(x: float, y: float) -> Area:
    """A small triangle that points down to the end of the budget."""
    return Area(((x - 2.0, y + 4.5), (x + 2.0, y + 4.5), (x, y - 0.5)), Ink.LIT)


def _round_step(least: float) -> float:
    """1, 2 or 5 times a power of ten, at least as much as this."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= least - 1e-9)

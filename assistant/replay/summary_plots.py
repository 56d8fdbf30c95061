"""A summary as plots: scenes of the same shapes as the helper's pictures. Pure.

One row a step, in the order of the work, so that a row is compared with its budget and not by colour.
"""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.optics.power import Floats
from assistant.replay.pace import Spread, against
from assistant.replay.rows_plot import ROW, RowsPlot, seconds_plot
from assistant.replay.summary import Share, Summary
from assistant.replay.summary_facts import WAITING
from assistant.replay.wording import doing
from assistant.ui.shapes import Ink, Scene, Shape, block, line
from assistant.workflow.state import Item

AXIS_MOST_DEG: Final = 12
"""Errors beyond are single mistakes; they are counted at the edge."""


def step_times(times: Mapping[str, Spread], budget_s: Mapping[str, float]) -> Scene:
    """For each step a box from quartile to quartile, a bar at the median, and a peg where its budget ends."""
    ends = [time.high_s for time in times.values()] + [budget_s.get(step, 0.0) for step in times]
    plot = seconds_plot(len(times), max(ends))
    shapes = plot.scale(plot.high / 5.0, "s")
    for row, (step, time) in enumerate(times.items()):
        shapes += [plot.name(row, doing(Item(step))), plot.bar(row, time.low_s, time.high_s)]
        shapes.append(plot.mark(row, time.median_s))
        if step in budget_s:
            shapes.append(plot.peg(row, budget_s[step]))
        shapes.append(plot.figure(row, against(time.median_s, budget_s.get(step))))
    return plot.scene(shapes)


def first_tries(shares: Mapping[str, Share]) -> Scene:
    """For each step a bar as long as the share that went right at the first try."""
    plot = RowsPlot(len(shares), 0.0, 100.0)
    shapes = plot.scale(25.0, "%")
    for row, (step, share) in enumerate(shares.items()):
        shapes.append(plot.name(row, doing(Item(step))))
        if share.first_try:
            shapes.append(plot.bar(row, 0.0, 100.0 * share.part))
        shapes.append(plot.figure(row, f"{share.first_try} of {share.done}"))
    return plot.scene(shapes)


def axis_errors(errors: Sequence[AxisError]) -> Scene:
    """For each bench and eye how many lenses lay so many degrees off, and their mean as a bar.

    Right and left off in opposite ways is the kit's fault, alike an instrument's.
    """
    rows = [(bench, eye) for bench in sorted({error.bench for error in errors}) for eye in Eye]
    plot = RowsPlot(len(rows), -float(AXIS_MOST_DEG), float(AXIS_MOST_DEG))
    shapes = plot.scale(4.0, "degrees")
    for row, (bench, eye) in enumerate(rows):
        own = np.array([e.error_deg for e in errors if e.bench == bench and e.eye is eye], float)
        shapes.append(plot.name(row, f"{bench}, {eye.value}"))
        if own.size:
            shapes += _histogram(plot, row, own)
            shapes.append(plot.figure(row, f"{own.size} lenses"))
    return plot.scene(shapes)


def _histogram(plot: RowsPlot, row: int, errors: Floats) -> list[Shape]:
    """A bar for every whole degree, the tallest as tall as the row; the mean of all but single mistakes."""
    inside = np.clip(np.rint(errors), -AXIS_MOST_DEG, AXIS_MOST_DEG).astype(int)
    values, counts = np.unique(inside, return_counts=True)
    foot, wide = plot.y(row) - ROW * 0.45, plot.x(0.8) - plot.x(0.0)
    shapes: list[Shape] = []
    for value, count in zip(values.tolist(), counts.tolist(), strict=True):
        tall = ROW * 0.9 * count / int(counts.max())
        shapes.append(block((plot.x(value), foot + tall / 2.0), wide, tall, Ink.METAL))
    usual = errors[np.abs(errors) <= AXIS_MOST_DEG]
    if usual.size:
        x = plot.x(float(usual.mean()))
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
_AXES: Final = (
    "How far finished axes lay off, for each bench and eye: the black bar is the mean; "
    f"what is further out stands at {AXIS_MOST_DEG} and is left out of the mean"
)

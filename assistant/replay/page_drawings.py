"""Drawings of one session's page: readings against their windows, and the time on each step. Pure."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from assistant.replay.gauge import Gauge
from assistant.replay.gauge_bar import figure, scale
from assistant.replay.pace import against
from assistant.replay.rows_plot import LONG_NAMES, seconds_plot
from assistant.ui.shapes import Area, Ink, Label, Scene, Shape, block, line, outline

WIDTH: Final = 120.0
HEIGHT: Final = 30.0
_EDGE: Final = 4.0
_BAR_Y: Final = 1.0
_TALL: Final = 7.0


class Spent(NamedTuple):
    """One visit to a step."""

    title: str
    seconds: float | None
    """None where the bench's clock was set back."""
    budget_s: float | None
    wrong: bool


def gauge_drawing(gauge: Gauge) -> Scene:
    """The window as a box, what was aimed at as a line across it, the reading as a dot within or a cross outside."""
    first, span = scale(gauge)

    def x(value: float) -> float:
        return -WIDTH / 2.0 + _EDGE + (value - first) / span * (WIDTH - 2.0 * _EDGE)

    low, high = x(first if gauge.low is None else gauge.low), x(gauge.high)
    top, foot = _BAR_Y + _TALL / 2.0, _BAR_Y - _TALL / 2.0
    middle, wide = ((low + high) / 2.0, _BAR_Y), high - low
    shapes: list[Shape] = [
        line((-WIDTH / 2.0, _BAR_Y), (WIDTH / 2.0, _BAR_Y), Ink.DIM),
        block(middle, wide, _TALL, Ink.GLASS),
        outline(middle, wide, _TALL),
    ]
    if gauge.aim is not None:
        shapes.append(line((x(gauge.aim), foot - 1.5), (x(gauge.aim), top + 1.5), Ink.LINE))
    shapes += _dot(x(gauge.value)) if gauge.within else _cross(x(gauge.value))
    read = f"{figure(gauge.value, gauge)} {gauge.unit}".strip()
    verdict = "within" if gauge.within else "OUTSIDE"
    window = (
        figure(gauge.high, gauge)
        if gauge.low is None
        else f"{figure(gauge.low, gauge)} to {figure(gauge.high, gauge)}"
    )
    ink = Ink.LINE if gauge.within else Ink.WRONG
    shapes.append(Label(-WIDTH / 2.0, HEIGHT / 2.0 - 4.0, f"{gauge.name}: {read}", ink, -1))
    shapes.append(Label(-WIDTH / 2.0, -HEIGHT / 2.0 + 4.0, f"{verdict} {window}", ink, -1))
    return Scene(tuple(shapes), WIDTH, HEIGHT)


def _dot(x: float) -> list[Shape]:
    corners = ((x - 3.0, _BAR_Y), (x, _BAR_Y + 3.5), (x + 3.0, _BAR_Y), (x, _BAR_Y - 3.5))
    return [Area(corners, Ink.LINE)]


def _cross(x: float) -> list[Shape]:
    return [
        line((x - 3.0, _BAR_Y + slope * 3.5), (x + 3.0, _BAR_Y - slope * 3.5), Ink.WRONG, 1.8)
        for slope in (1.0, -1.0)
    ]


def times_drawing(spent: Sequence[Spent]) -> Scene:
    """Every visit in turn: how long it took, where its budget ends, and whether something went wrong."""
    known = [s for visit in spent for s in (visit.seconds, visit.budget_s) if s is not None]
    plot = seconds_plot(len(spent), max(known, default=0.0), LONG_NAMES)
    shapes = plot.scale(plot.high / 5.0, "s")
    for row, visit in enumerate(spent):
        shapes.append(plot.name(row, f"{'✗ ' if visit.wrong else ''}{visit.title}"))
        if visit.seconds is not None:
            shapes.append(plot.bar(row, 0.0, visit.seconds, Ink.WRONG if visit.wrong else Ink.METAL))
            shapes.append(plot.figure(row, against(visit.seconds, visit.budget_s)))
        if visit.budget_s is not None:
            shapes.append(plot.peg(row, visit.budget_s))
    return plot.scene(shapes)

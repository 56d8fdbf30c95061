"""Plots of a summary: the geometry read back is the figures that went in."""

from random import Random

import pytest

from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.replay.pace import Spread
from assistant.replay.rows_plot import PLOT
from assistant.replay.summary import Share
from assistant.replay.summary_plots import axis_errors, first_tries, step_times
from assistant.ui.shapes import Area, Ink, Label, Scene, Stroke
from assistant.ui.svg import LABEL_HEIGHT

TIMES = {"cut": Spread(9, 20.0, 30.0, 55.0), "trim": Spread(9, 8.0, 12.0, 20.0)}


def scale(scene: Scene) -> tuple[float, float]:
    """Where 0 lies, and units a figure of the scale, from the scale's own labels."""
    marks = [(float(s.text), s.x) for s in scene.shapes if isinstance(s, Label) and _is_figure(s.text)]
    (low, at_low), (high, at_high) = min(marks), max(marks)
    per = (at_high - at_low) / (high - low)
    return at_low - low * per, per


def _is_figure(text: str) -> bool:
    return text.lstrip("-").isdigit()


def areas(scene: Scene, ink: Ink) -> list[Area]:
    return [s for s in scene.shapes if isinstance(s, Area) and s.ink is ink]


def bars(scene: Scene) -> list[float]:
    """Places of the thick upright bars."""
    return [s.points[0][0] for s in scene.shapes if isinstance(s, Stroke) and s.width > 1.0]


def test_boxes_medians_and_budgets_lie_to_scale() -> None:
    scene = step_times(TIMES, {"cut": 50.0})
    zero, per = scale(scene)
    for box, time in zip(areas(scene, Ink.METAL), TIMES.values(), strict=True):
        xs = [x for x, _ in box.points]
        assert (min(xs) - zero) / per == pytest.approx(time.low_s)
        assert (max(xs) - zero) / per == pytest.approx(time.high_s)
    assert [(x - zero) / per for x in bars(scene)] == pytest.approx([30.0, 12.0])
    (peg,) = areas(scene, Ink.LIT)
    assert (peg.points[-1][0] - zero) / per == pytest.approx(50.0)


def test_a_median_over_its_budget_says_so_in_words() -> None:
    said = {s.text for s in step_times(TIMES, {"cut": 25.0, "trim": 25.0}).shapes if isinstance(s, Label)}
    assert {"30 s > budget", "12 s"} <= said


def test_first_tries_are_as_long_as_their_share_and_none_at_all_is_no_bar() -> None:
    scene = first_tries({"cut": Share(8, 6), "trim": Share(3, 0)})
    (bar,) = areas(scene, Ink.METAL)
    xs = [x for x, _ in bar.points]
    assert (max(xs) - min(xs)) / PLOT == pytest.approx(0.75)
    assert {"6 of 8", "0 of 3"} <= {s.text for s in scene.shapes if isinstance(s, Label)}


def test_opposite_axis_errors_are_seen_on_opposite_sides() -> None:
    chance = Random(4)
    errors = [
        AxisError(eye, sign * 4.0 + chance.uniform(-0.4, 0.4), "crab", 1, float(n))
        for n in range(20)
        for eye, sign in ((Eye.RIGHT, -1.0), (Eye.LEFT, 1.0))
    ]
    right, left = bars(axis_errors(errors))
    zero, per = scale(axis_errors(errors))
    assert (right - zero) / per == pytest.approx(-4.0, abs=0.2)
    assert (left - zero) / per == pytest.approx(4.0, abs=0.2)


def test_nothing_is_drawn_outside_the_picture() -> None:
    gross = [AxisError(Eye.RIGHT, 88.0, "crab", 1, 1.0), AxisError(Eye.RIGHT, -45.0, "crab", 1, 2.0)]
    for scene in (step_times(TIMES, {"cut": 500.0}), first_tries({"cut": Share(1, 1)}), axis_errors(gross)):
        for shape in scene.shapes:
            if isinstance(shape, Area | Stroke):
                assert all(
                    abs(x) <= scene.width / 2.0 and abs(y) <= scene.height / 2.0 for x, y in shape.points
                )


def test_large_figures_have_room_beside_the_bars() -> None:
    scene = first_tries({"check": Share(123_456, 123_000)})
    (figures,) = (s for s in scene.shapes if isinstance(s, Label) and " of " in s.text)
    assert figures.x + len(figures.text) * LABEL_HEIGHT * 0.5 <= scene.width / 2.0

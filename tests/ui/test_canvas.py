"""The rasteriser alone: what is drawn lies where it was asked for, in every way of drawing."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.ui.canvas import Cells, draw, to_content
from assistant.ui.glyphs import Glyphs
from assistant.ui.shapes import Ink, Label, Numeral, Scene, Stroke, at, block, circle, disc, line

Reader = Callable[[Cells, Scene, Ink], NDArray[np.float64]]


def text(cells: Cells) -> list[str]:
    return ["".join(cell.char for cell in row) for row in cells]


def direction_deg(points: NDArray[np.float64]) -> float:
    """The direction of a cloud of points, 0 to 180."""
    x, y = (points - points.mean(axis=0)).T
    return math.degrees(0.5 * math.atan2(2 * float(x @ y), float(x @ x - y @ y))) % 180.0


@pytest.mark.parametrize("angle", range(0, 180, 7))
@pytest.mark.parametrize(("columns", "rows"), [(40, 12), (116, 28)])
def test_a_line_lies_at_its_angle(points: Reader, angle: int, columns: int, rows: int) -> None:
    scene = Scene((line(at((0, 0), 45, angle + 180), at((0, 0), 45, angle)),))
    found = points(draw(scene, columns, rows, Glyphs.TRUECOLOR), scene, Ink.LINE)
    away = (direction_deg(found) - angle + 90.0) % 180.0 - 90.0
    assert abs(away) < 1.0
    assert len(found) >= rows


def test_a_circle_keeps_its_radius(points: Reader) -> None:
    scene = Scene((circle((5.0, -3.0), 40.0),))
    found = points(draw(scene, 78, 16, Glyphs.SIXTEEN), scene, Ink.LINE)
    radii = np.hypot(found[:, 0] - 5.0, found[:, 1] + 3.0)
    one_sample = 100.0 / (16 * 4)
    assert np.all(np.abs(radii - 40.0) < one_sample)


def test_a_disc_covers_its_area(points: Reader) -> None:
    scene = Scene((disc((0.0, 0.0), 40.0),))
    found = points(draw(scene, 116, 28, Glyphs.TRUECOLOR), scene, Ink.LIT)
    sample = (100.0 / (28 * 4)) ** 2
    assert len(found) * sample == pytest.approx(math.pi * 40.0**2, rel=0.03)


def test_what_is_drawn_later_covers_what_was_drawn_before() -> None:
    scene = Scene((line((-50.0, 0.0), (50.0, 0.0)), block((0.0, 0.0), 170.0, 100.0, Ink.GLASS)))
    assert {cell.ink for row in draw(scene, 40, 12, Glyphs.TRUECOLOR) for cell in row} == {Ink.GLASS}


def test_void_rubs_an_area_out() -> None:
    scene = Scene((block((0.0, 0.0), 60.0, 60.0), block((0.0, 0.0), 60.0, 60.0, Ink.VOID)))
    assert "".join(text(draw(scene, 40, 12, Glyphs.TRUECOLOR))).strip() == ""


def test_an_area_too_small_for_a_sample_still_shows() -> None:
    scene = Scene((block((0.0, 0.0), 0.01, 0.01),))
    assert "".join(text(draw(scene, 40, 12, Glyphs.TRUECOLOR))).strip() != ""


@pytest.mark.parametrize("x", [-85.0, 0.0, 85.0])
@pytest.mark.parametrize("anchor", [-1, 0, 1])
def test_a_label_is_never_cut_at_the_edge(x: float, anchor: int) -> None:
    scene = Scene((Label(x, 0.0, "1.95", anchor=anchor),))
    assert "1.95" in "\n".join(text(draw(scene, 40, 12, Glyphs.ASCII)))


def test_ascii_slopes() -> None:
    def char(angle: float) -> str:
        scene = Scene((line(at((0, 0), 45, angle + 180), at((0, 0), 45, angle)),))
        drawn = "".join(text(draw(scene, 78, 16, Glyphs.ASCII))).replace(" ", "")
        return max(set(drawn), key=drawn.count)

    assert [char(a) for a in (45.0, 90.0, 135.0)] == ["/", "|", "\\"]
    assert char(0.0) in "-_"


def test_a_numeral_without_room_is_still_readable() -> None:
    scene = Scene((Numeral(0.0, 0.0, "417", 8.0),))
    assert "417" in "".join(text(draw(scene, 40, 12, Glyphs.TRUECOLOR)))


def test_a_dashed_line_has_gaps(points: Reader) -> None:
    ends = ((-60.0, 10.0), (60.0, 10.0))
    whole, dashed = (Scene((Stroke(ends, dashed=d),)) for d in (False, True))
    counts = [len(points(draw(s, 78, 16, Glyphs.TRUECOLOR), s, Ink.LINE)) for s in (whole, dashed)]
    assert 0.3 < counts[1] / counts[0] < 0.7


def test_no_room_is_an_error() -> None:
    with pytest.raises(ValueError, match="0 by 5 cells"):
        draw(Scene(()), 0, 5, Glyphs.ASCII)


def test_content_keeps_every_character() -> None:
    cells = draw(Scene((circle((0.0, 0.0), 30.0), Label(0.0, 0.0, "[b]"))), 40, 12, Glyphs.SIXTEEN)
    assert to_content(cells, Glyphs.SIXTEEN).plain == "\n".join(text(cells))

"""Every picture in every way of drawing; and the geometry read back from what was drawn."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import get_args

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.ui.canvas import Cells, draw
from assistant.ui.gallery import gallery
from assistant.ui.glyphs import Glyphs
from assistant.ui.pictures import scene
from assistant.ui.pictures.making import off_side
from assistant.ui.pictures.parts import eye_sign
from assistant.ui.pictures.results import windows
from assistant.ui.shapes import Area, Ink, Label, Numeral, Scene, Stroke
from assistant.workflow import pictures as p
from assistant.workflow.plan import Verdict

Reader = Callable[[Cells, Scene, Ink], NDArray[np.float64]]
SIZES = [(40, 12), (78, 16), (116, 28)]
GALLERY = gallery()
# Invented clinic: pin 1.5 mm below the centre of a 42 mm lens; common practice, no source: 2 mm, 40 mm.
DEPRESSIONS = [math.degrees(math.asin(1.5 / 21.0)), math.degrees(math.asin(2.0 / 20.0))]


def chars(cells: Cells) -> str:
    return "\n".join("".join(cell.char for cell in row) for row in cells)


def written(drawn: Scene) -> list[str]:
    return [shape.text for shape in drawn.shapes if isinstance(shape, Label | Numeral)]


def areas(drawn: Scene, ink: Ink) -> list[NDArray[np.float64]]:
    return [np.array(s.points) for s in drawn.shapes if isinstance(s, Area) and s.ink is ink]


@pytest.mark.parametrize("glyphs", list(Glyphs))
@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_every_picture_draws(glyphs: Glyphs, columns: int, rows: int) -> None:
    for name, picture in GALLERY.items():
        cells = draw(scene(picture), columns, rows, glyphs)
        assert len(cells) == rows, name
        assert {len(row) for row in cells} == {columns}, name
        inked = sum(cell.char != " " for row in cells for cell in row)
        assert inked > 20, name
        if glyphs is Glyphs.ASCII:
            assert all(" " <= c <= "~" or c == "\n" for c in chars(cells)), name


def test_the_gallery_has_every_kind() -> None:
    assert {type(picture) for picture in GALLERY.values()} == set(get_args(p.Picture))


def test_no_two_pictures_differ_by_colour_alone() -> None:
    for glyphs in Glyphs:
        seen = [chars(draw(scene(picture), 78, 16, glyphs)) for picture in GALLERY.values()]
        assert len(set(seen)) == len(seen)


@pytest.mark.parametrize("glyphs", list(Glyphs))
def test_outcomes_stand_left_middle_and_right(glyphs: Glyphs) -> None:
    def middle(outcome: p.Outcome) -> float:
        cells = draw(scene(p.OutcomePicture(outcome)), 78, 16, glyphs)
        return float(np.mean([c for row in cells for c, cell in enumerate(row) if cell.char != " "]))

    wrong, wait, right = (middle(o) for o in (p.Outcome.WRONG, p.Outcome.WAIT, p.Outcome.RIGHT))
    assert wrong < 30 < wait < 48 < right


@pytest.mark.parametrize("eye", list(Eye))
def test_the_worked_eye_is_on_its_own_side(eye: Eye) -> None:
    lit = [np.array(s.points) for s in eye_sign(eye) if isinstance(s, Area) and s.ink is Ink.LIT]
    middle = float(np.mean([a[:, 0].mean() for a in lit]))
    face = -58.0 * eye.nasal_sign
    assert np.sign(face) == np.sign(middle - face) == -eye.nasal_sign


def _around(drawn: Scene, x: float, y: float) -> list[int]:
    """How many corners each closed line has that runs round a point."""
    closed = [
        np.array(s.points)
        for s in drawn.shapes
        if isinstance(s, Stroke) and math.dist(s.points[0], s.points[-1]) < 1e-6
    ]
    return [
        len(line) - 1
        for line in closed
        if line[:, 0].min() < x < line[:, 0].max() and line[:, 1].min() < y < line[:, 1].max()
    ]


@pytest.mark.parametrize("pockets", [(417, 88), (1204, None), (None, 7)])
def test_a_pocket_of_the_plan_stands_in_a_box_and_not_in_a_rim_where_an_axis_would(
    pockets: tuple[int | None, int | None],
) -> None:
    drawn = scene(p.PlanPicture(Verdict.MAKE, 62.0, *pockets))
    numbers = {s.text: (s.x, s.y) for s in drawn.shapes if isinstance(s, Numeral)}
    for side, pocket in zip((-1.0, 1.0), pockets, strict=True):
        if pocket is not None:
            x, y = numbers[str(pocket)]
            assert x * side > 0
            assert _around(drawn, x, y) == [4]
    assert _around(drawn, *numbers["62"]) == []
    assert max(_around(drawn, 18.6, 22.0)) > 20, "a rim's middle, where a number would be one of its lens"


def lens_points(found: NDArray[np.float64], eye: Eye, radius: float) -> NDArray[np.float64]:
    """Points inside the lens, measured from its centre."""
    moved: NDArray[np.float64] = found - np.array((off_side(eye), 0.0))
    inside: NDArray[np.float64] = moved[np.hypot(moved[:, 0], moved[:, 1]) < radius]
    return inside


@pytest.mark.parametrize(("columns", "rows"), SIZES[1:])
@pytest.mark.parametrize("eye", list(Eye))
@pytest.mark.parametrize("setting", [1.0, 20.0, 45.0, 89.0, 110.0, 135.0, 163.0, 180.0])
def test_the_dotted_line_lies_at_the_setting(
    points: Reader, eye: Eye, setting: float, columns: int, rows: int
) -> None:
    drawn = scene(p.ProtractorPicture(eye, setting, False, DEPRESSIONS[0]))
    cells = draw(drawn, columns, rows, Glyphs.TRUECOLOR)
    x, y = lens_points(points(cells, drawn, Ink.LIT), eye, 27.0).T
    angle = math.degrees(0.5 * math.atan2(2 * float(x @ y), float(x @ x - y @ y)))
    one_sample = math.degrees(math.atan2(100.0 / (rows * 4), 27.0))
    assert abs((angle - setting + 90.0) % 180.0 - 90.0) < one_sample


@pytest.mark.parametrize("eye", list(Eye))
@pytest.mark.parametrize("depression", DEPRESSIONS)
@pytest.mark.parametrize("on_line", [False, True])
def test_the_tick_is_nasal_and_at_the_index(
    points: Reader, eye: Eye, depression: float, on_line: bool
) -> None:
    drawn = scene(p.ProtractorPicture(eye, 90.0, on_line, depression))
    cells = draw(drawn, 116, 28, Glyphs.TRUECOLOR)
    tick = lens_points(points(cells, drawn, Ink.WRONG), eye, 44.0)
    assert np.all(tick[:, 0] * eye.nasal_sign > 0)
    x, y = tick.mean(axis=0)
    below = -math.degrees(math.atan2(y, abs(x)))
    assert below == pytest.approx(0.0 if on_line else depression, abs=2.0)


@pytest.mark.parametrize("eye", list(Eye))
def test_the_pin_of_the_rim_lies_at_its_bearing(points: Reader, eye: Eye) -> None:
    for depression in DEPRESSIONS:
        bearing = (eye.nasal_bearing_deg - eye.nasal_sign * depression) % 360.0
        drawn = scene(p.FitPicture(eye, bearing))
        centre = np.array((off_side(eye) - 6.0 * eye.nasal_sign, 10.0))
        found = points(draw(drawn, 116, 28, Glyphs.TRUECOLOR), drawn, Ink.LIT) - centre
        radii = np.hypot(found[:, 0], found[:, 1])
        nasal = found[(radii < 33.0) & (found[:, 0] * eye.nasal_sign > 0)]
        x, y = nasal.mean(axis=0)
        away = (math.degrees(math.atan2(y, x)) - bearing + 180.0) % 360.0 - 180.0
        assert abs(away) < 2.5


@pytest.mark.parametrize("eye", list(Eye))
@pytest.mark.parametrize(("old", "turn"), [(80.0, 60.0), (300.0, -75.0), (10.0, 170.0)])
def test_the_rescue_shows_both_slots_where_they_are(
    points: Reader, eye: Eye, old: float, turn: float
) -> None:
    drawn = scene(p.RescuePicture(eye, old, old + turn, None))
    (notch,) = [np.array(s.points) for s in drawn.shapes if isinstance(s, Stroke) and s.ink is Ink.VOID]
    x, y = notch.mean(axis=0) - np.array((off_side(eye), 0.0))
    assert math.degrees(math.atan2(y, x)) % 360.0 == pytest.approx(old)
    cells = draw(drawn, 116, 28, Glyphs.TRUECOLOR)
    for ink, bearing in ((Ink.WRONG, old), (Ink.LIT, old + turn)):
        x, y = lens_points(points(cells, drawn, ink), eye, 33.0).mean(axis=0)
        away = (math.degrees(math.atan2(y, x)) - bearing + 180.0) % 360.0 - 180.0
        assert abs(away) < 3.0


SLOTS = [(1.2, 1.6, 1.9, 2.2, 1.1, 1.0), (2.6, 2.0, 2.4, 3.0, 1.4, 1.2)]


@pytest.mark.parametrize("eye", list(Eye))
@pytest.mark.parametrize("slot", SLOTS)
def test_the_slot_is_to_scale(eye: Eye, slot: tuple[float, ...]) -> None:
    picture = p.SlotPicture(eye, *slot)
    drawn = scene(picture)
    ((notch),) = areas(drawn, Ink.VOID)
    wide, deep = np.ptp(notch[:, 0]), np.ptp(notch[:, 1])
    assert deep / wide == pytest.approx(slot[0] / picture.width_mm)
    (band,) = areas(drawn, Ink.RIGHT)[:1]
    top = notch[:, 1].max()
    per_mm = deep / slot[0]
    assert top - band[:, 1].max() == pytest.approx(picture.least_mm * per_mm)
    assert top - band[:, 1].min() == pytest.approx(picture.most_mm * per_mm)
    (pin,) = areas(drawn, Ink.METAL)
    assert np.ptp(pin[:, 0]) == pytest.approx(picture.pin_diameter_mm * per_mm)


def test_a_slot_not_yet_cut_shows_the_aim_and_no_reading() -> None:
    picture = p.SlotPicture(Eye.RIGHT, None, *SLOTS[0][1:])
    assert written(scene(picture)) == ["1.9"]
    assert written(scene(replace(picture, depth_mm=1.2))) == ["1.9", "1.2"]


@pytest.mark.parametrize("eye", list(Eye))
@pytest.mark.parametrize(("depth", "wanted", "measured"), [(1.9, 1.7, 1.7), (1.9, 1.7, 2.3), (3.0, 2.7, 0.8)])
def test_the_pin_is_to_scale(eye: Eye, depth: float, wanted: float, measured: float) -> None:
    drawn = scene(p.PinPicture(eye, depth, wanted, measured, 1.0, depth - wanted))
    (notch,) = areas(drawn, Ink.VOID)
    body = min(areas(drawn, Ink.METAL), key=lambda a: float(np.ptp(a[:, 0])))
    top, floor = notch[:, 1].max(), notch[:, 1].min()
    assert (top - body[:, 1].min()) / (top - floor) == pytest.approx(measured / depth)
    assert (body[:, 1].min() > floor) == (measured < depth)


@pytest.mark.parametrize(("columns", "rows"), [(20, 12), (8, 6), (10, 10)])
def test_the_lit_pocket_is_the_pocket(columns: int, rows: int) -> None:
    for pocket in (1, columns, columns + 1, columns * rows, columns * rows + 2):
        drawn = scene(p.TrayPicture(Eye.LEFT, pocket, columns, rows))
        pitch = min(100.0 / columns, 60.0 / rows)
        left = off_side(Eye.LEFT) - pitch * columns / 2.0
        lit = min(areas(drawn, Ink.LIT), key=lambda a: abs(float(np.ptp(a[:, 0]) - max(pitch, 7.0))))
        x, y = lit[:4].mean(axis=0)
        place = int((38.0 - y) // pitch) * columns + int((x - left) // pitch)
        assert place == (pocket - 1) % (columns * rows)
        tray = str((pocket - 1) // (columns * rows) + 1)
        assert sorted(written(drawn)) == sorted([tray, str(pocket)])


def test_blind_pictures_show_only_what_was_entered() -> None:
    entered = (("sphere", -2.25), ("cylinder", -1.5))
    assert written(scene(p.FocimeterPicture(Eye.LEFT, "sphere"))) == ["?", ""]
    assert written(scene(p.FocimeterPicture(Eye.LEFT, "axis", entered, in_rim=True))) == [
        "-2.25",
        "-1.50",
        "?",
    ]
    assert written(scene(p.ReferencePicture("cylinder", entered[:1]))) == ["-2.25", "?", ""]
    assert written(scene(p.ZeroPicture())) == ["?"]
    assert written(scene(p.IndexPicture(NasalIndex.AT_PIN, 5.7))) == []
    assert written(scene(p.DistancePicture("centres"))) == []


def test_the_two_kinds_of_index_look_different() -> None:
    for depression in DEPRESSIONS:
        seen = {chars(draw(scene(p.IndexPicture(k, depression)), 78, 16, Glyphs.SIXTEEN)) for k in NasalIndex}
        assert len(seen) == 2


@pytest.mark.parametrize(("error", "side"), [(5.7, -1.0), (-5.7, 1.0)])
def test_the_needle_turns_the_way_the_axis_is_turned(points: Reader, error: float, side: float) -> None:
    result = p.EyeResult(Eye.RIGHT, False, error, 3.0, 0.0, 0.12)
    drawn = scene(p.VerdictPicture(False, result, None))
    found = points(draw(drawn, 116, 28, Glyphs.TRUECOLOR), drawn, Ink.WRONG) - np.array((-31.0, 22.0))
    needle = found[np.hypot(found[:, 0], found[:, 1]) < 19.0]
    assert np.sign(needle[:, 0].mean()) == side


def test_an_error_is_measured_in_windows() -> None:
    assert windows(-6.0, 3.0) == -2.0
    with pytest.raises(ValueError, match="must be above 0"):
        windows(1.0, 0.0)


def test_every_rescue_has_its_own_sign() -> None:
    kinds = ("none_needed", "turn_over", "swap_lenses", "seat_again", "second_slot", "set_aside")
    seen = set()
    for kind in kinds:
        result = p.EyeResult(Eye.LEFT, False, 5.0, 3.0, 0.0, 0.12, "unknown", kind, 60.0)
        seen.add(chars(draw(scene(p.VerdictPicture(False, None, result)), 78, 16, Glyphs.ASCII)))
    assert len(seen) == len(kinds)
    with pytest.raises(ValueError, match="no sign for the rescue"):
        scene(p.VerdictPicture(False, None, replace(result, rescue="melt")))


def test_more_helpers_than_signs_is_an_error() -> None:
    scene(p.HelperPicture(9))
    with pytest.raises(ValueError, match="10 helpers"):
        scene(p.HelperPicture(10))


def test_figures_no_picture_can_show_are_named() -> None:
    with pytest.raises(ValueError, match="pocket 0; pockets are numbered from 1"):
        scene(p.TrayPicture(Eye.LEFT, 0, 8, 6))
    with pytest.raises(ValueError, match="a slot 0 mm deep; it must be above 0"):
        scene(p.PinPicture(Eye.LEFT, 0.0, 1.7, None, 1.0, 0.2))


@pytest.mark.parametrize("depth", [0.0, 0.4, 10.0])
@pytest.mark.parametrize("glyphs", list(Glyphs))
def test_slots_and_pins_far_from_the_aim_still_draw(depth: float, glyphs: Glyphs) -> None:
    for eye in Eye:
        draw(scene(p.SlotPicture(eye, depth, *SLOTS[0][1:])), 40, 12, glyphs)
        draw(scene(p.PinPicture(eye, 1.9, 1.7, 2.0 * depth, 1.0, 0.2)), 40, 12, glyphs)

"""Pictures of results: the verdict on a pair, a rescue, the supervisor's turn, the outcome of an entry."""

from assistant.ui.pictures.causes import cause_sign, fault_sign
from assistant.ui.pictures.edge import notch_at
from assistant.ui.pictures.making import dotted_line, off_side, scale_ring
from assistant.ui.pictures.parts import (
    Shapes,
    answers,
    arrow,
    both_ways,
    curved_up,
    eye_sign,
    face,
    glasses,
    hand,
    key,
    lens,
    no_sign,
    paper,
    turn_arrow,
    yes_sign,
)
from assistant.ui.shapes import (
    Ink,
    Numeral,
    Point,
    Scene,
    Shape,
    at,
    block,
    circle,
    line,
    moved,
    outline,
)
from assistant.workflow.pictures import (
    EyeResult,
    Outcome,
    OutcomePicture,
    RescuePicture,
    SupervisorPicture,
    VerdictPicture,
)

WINDOW_DEG = 30.0
"""On the dial, the edge of the axis window is drawn this far from upright."""
WINDOW_WIDE = 7.0
"""On the power bar, the edge of the window is drawn this far from the middle."""
FARTHEST = 3.0
"""An error of more windows than this is drawn at this many, with a second head on its pointer."""

_FAULT_PLACES = ((-73.0, 8.0), (73.0, 8.0), (73.0, -18.0))
"""Beside the spectacles: a frame or a distance, a height, a prism."""


def verdict(picture: VerdictPicture) -> Scene:
    """Each rim holds the dial of its axis error, with its power error under it: inside the window or out.

    Below a lens that fails stand its cause, towards the nose, and its way back, away from it; beside the
    spectacles what is wrong with the pair.
    """
    shapes: list[Shape] = [*glasses((0.0, 22.0), 1.0)]
    for result in (picture.right, picture.left):
        if result is not None:
            shapes.extend(_eye_result(result, (-31.0 * result.eye.nasal_sign, 22.0)))
    if not picture.centres_passed:
        shapes.extend(both_ways((-31.0, 47.0), (31.0, 47.0), Ink.WRONG))
    if not picture.height_passed:
        shapes.extend(both_ways((0.0, -14.0), (0.0, -46.0), Ink.WRONG))
    for code, place in zip(picture.faults, _FAULT_PLACES, strict=False):
        shapes.extend(moved(fault_sign(code), place))
    overall = yes_sign((72.0, -35.0), 1.0) if picture.passed else no_sign((-72.0, -35.0), 1.0)
    return Scene((*shapes, *overall))


def _eye_result(result: EyeResult, centre: Point) -> Shapes:
    shapes: list[Shape] = []
    if result.axis_error_deg is not None and result.axis_window_deg is not None:
        shapes.extend(_axis_dial(centre, windows(result.axis_error_deg, result.axis_window_deg)))
    shapes.extend(_power_bar((centre[0], -7.0), windows(result.power_error_d, result.power_window_d)))
    if result.passed:
        return (*shapes, *yes_sign((centre[0], -32.0), 0.8))
    if result.cause is None:
        return (*shapes, *_rescue_sign(result, (centre[0], -32.0)))
    side = -result.eye.nasal_sign
    cause = moved(_causes(result.cause, result), (side * 17.0, -32.0))
    return (*shapes, *cause, *_rescue_sign(result, (side * 46.0, -32.0)))


def _causes(likeliest: str, result: EyeResult) -> Shapes:
    """The cause; where a second fits as well, both, smaller, with a stroke between them: one or the other."""
    sign = cause_sign(likeliest, result.eye)
    if result.rival is None:
        return sign
    other = cause_sign(result.rival, result.eye)
    stroke = line((-5.0, -13.0), (5.0, 13.0), Ink.LIT)
    return (*moved(sign, (-8.0, 5.0), 0.65), stroke, *moved(other, (8.0, -5.0), 0.65))


def windows(error: float, window: float) -> float:
    """An error in windows, signed: within -1 to 1 it is allowed.

    Raises:
        ValueError: a window that is not above zero.
    """
    if window <= 0.0:
        raise ValueError(f"a tolerance window of {window:g}; it must be above 0")
    return error / window


def _drawn(error_windows: float) -> float:
    return max(-FARTHEST, min(FARTHEST, error_windows))


def _axis_dial(centre: Point, error: float) -> Shapes:
    """A wedge for the window about upright, a needle turned the way the axis is turned."""
    inside = abs(error) <= 1.0
    wedge = tuple(line(centre, at(centre, 20.0, 90.0 + side * WINDOW_DEG)) for side in (-1.0, 1.0))
    bearing = 90.0 + WINDOW_DEG * _drawn(error)
    ink = Ink.RIGHT if inside else Ink.WRONG
    needle = (line(centre, at(centre, 18.0, bearing), ink, 4.5),)
    second = (
        ()
        if abs(error) <= FARTHEST
        else (line(at(centre, 12.0, bearing + 25.0), at(centre, 12.0, bearing - 25.0), ink, 4.0),)
    )
    return (*wedge, *needle, *second)


def _power_bar(centre: Point, error: float) -> Shapes:
    """A bar with the window in its middle and a pointer where the power error lies."""
    x, y = centre
    here = (x + WINDOW_WIDE * _drawn(error), y)
    ink = Ink.RIGHT if abs(error) <= 1.0 else Ink.WRONG
    second = () if abs(error) <= FARTHEST else arrow((here[0], y - 14.0), (here[0], y - 8.0), ink, 4.0)
    return (
        line((x - 23.0, y), (x + 23.0, y), Ink.DIM),
        block(centre, 2 * WINDOW_WIDE, 6.0, Ink.GLASS),
        *arrow((here[0], y - 9.0), (here[0], y), ink, 6.0),
        *second,
    )


def _rescue_sign(result: EyeResult, centre: Point) -> Shapes:
    if result.rescue is None:
        return no_sign(centre, 0.8)
    drawn = {
        "none_needed": lambda: yes_sign((0.0, 0.0), 0.8),
        "turn_over": _turn_over,
        "swap_lenses": _swap,
        "seat_again": _seat_again,
        "second_slot": lambda: _second_slot(result),
        "set_aside": _set_aside,
    }
    if result.rescue not in drawn:
        raise ValueError(f"no sign for the rescue {result.rescue!r}; there are {', '.join(drawn)}")
    return moved(drawn[result.rescue](), centre, 0.9)


def _turn_over() -> Shapes:
    return (*curved_up((0.0, -4.0), 0.7)[:4], *turn_arrow((0.0, -2.0), 15.0, 160.0, -140.0))


def _swap() -> Shapes:
    return (
        *lens((-10.0, 0.0), 7.0),
        *lens((10.0, 0.0), 7.0),
        *turn_arrow((0.0, 0.0), 14.0, 150.0, -110.0),
        *turn_arrow((0.0, 0.0), 14.0, -30.0, -110.0),
    )


def _seat_again() -> Shapes:
    return (
        circle((0.0, 0.0), 14.0, Ink.METAL, 3.0),
        *lens((0.0, 0.0), 9.0),
        *turn_arrow((0.0, 0.0), 6.0, 200.0, -200.0),
    )


def _second_slot(result: EyeResult) -> Shapes:
    turn = 90.0 if result.turn_deg is None else result.turn_deg
    old = result.eye.nasal_bearing_deg
    return (
        *lens((0.0, 0.0), 15.0, filled=False),
        line(at((0.0, 0.0), 11.0, old), at((0.0, 0.0), 16.0, old), Ink.WRONG, 5.0),
        line(at((0.0, 0.0), 11.0, old + turn), at((0.0, 0.0), 16.0, old + turn), Ink.LIT, 5.0),
        *turn_arrow((0.0, 0.0), 7.0, old, turn),
    )


def _set_aside() -> Shapes:
    box = (
        line((-14.0, -2.0), (-14.0, -14.0)),
        line((-14.0, -14.0), (14.0, -14.0)),
        line((14.0, -14.0), (14.0, -2.0)),
    )
    return (*lens((0.0, 10.0), 7.0), *arrow((0.0, 2.0), (0.0, -10.0), Ink.LIT), *box)


def rescue(picture: RescuePicture) -> Scene:
    """The lens, its old slot crossed out, the place of the new one, and the way from one to the other."""
    eye = picture.eye
    centre = (off_side(eye), 0.0)
    old, new = picture.old_slot_bearing_deg, picture.new_slot_bearing_deg
    turn = (new - old + 180.0) % 360.0 - 180.0
    shapes: list[Shape] = [*scale_ring(centre, 46.0), *lens(centre, 32.0)]
    if picture.setting_deg is not None:
        shapes.extend(dotted_line(centre, 32.0, picture.setting_deg, Ink.LINE))
        shapes.append(Numeral(-58.0 * eye.nasal_sign, 41.0, f"{picture.setting_deg:g}", 14.0, Ink.LINE))
    shapes.extend(notch_at(centre, 32.0, old))
    shapes.extend(_crossed(at(centre, 27.0, old)))
    shapes.append(line(at(centre, 23.0, new), at(centre, 33.0, new), Ink.LIT, 6.0))
    shapes.extend(arrow(at(centre, 58.0, new), at(centre, 48.0, new), Ink.LIT, 8.0))
    shapes.extend(turn_arrow(centre, 39.0, old, turn))
    return Scene((*shapes, *eye_sign(eye, 0.8, 4.0)))


def _crossed(centre: Point) -> Shapes:
    x, y = centre
    return (
        line((x - 6.0, y - 6.0), (x + 6.0, y + 6.0), Ink.WRONG, 2.0),
        line((x - 6.0, y + 6.0), (x + 6.0, y - 6.0), Ink.WRONG, 2.0),
    )


def supervisor(picture: SupervisorPicture) -> Scene:
    """The raised hand in the middle, what it is about at its left, the supervisor's code at its right."""
    keys = tuple(part for i in range(2) for part in key((44.0 + 22.0 * i, 14.0), "*", Ink.WAIT))
    return Scene(
        (*hand((0.0, 14.0), 1.4), *moved(_question(picture.question), (-54.0, 14.0)), *keys, *answers())
    )


def _question(question: str) -> Shapes:
    if question == "wearer":
        return face((0.0, 0.0), 0.9, smile=-1)
    if question == "plan":
        return (*paper((0.0, 0.0), 34.0, 46.0), *glasses((0.0, 0.0), 0.25, Ink.LIT))
    if question == "stuck":
        return (*turn_arrow((0.0, 0.0), 17.0, 80.0, -150.0), *turn_arrow((0.0, 0.0), 17.0, -100.0, -150.0))
    return (outline((0.0, 0.0), 34.0, 40.0, Ink.WAIT), Numeral(0.0, 0.0, "?", 28.0, Ink.WAIT))


def outcome(picture: OutcomePicture) -> Scene:
    """Right: a filled round at the right. Wrong: a broken piece at the left. Wait: a hand in the middle."""
    if picture.outcome is Outcome.RIGHT:
        return Scene(yes_sign((45.0, 0.0), 2.8))
    if picture.outcome is Outcome.WRONG:
        return Scene(no_sign((-45.0, 0.0), 3.0))
    return Scene(hand((0.0, -6.0), 1.8))

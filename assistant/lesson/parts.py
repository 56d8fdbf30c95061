"""Parts of what lies on the virtual bench, and signs of mistakes that the finished pair does not show."""

from collections.abc import Callable

from assistant.optics.eye import Eye
from assistant.ui.pictures.causes import cause_sign, fault_sign
from assistant.ui.pictures.parts import Shapes, arrow
from assistant.ui.shapes import (
    Area,
    Ink,
    Label,
    Numeral,
    Point,
    Shape,
    at,
    block,
    circle,
    line,
    outline,
)
from assistant.workflow.checking import PAIR_CODES

WINDOW_DEG = 7
"""How far the enlarged scale reaches to either side of the line."""
_MARK_APART = 6.5


def reading_window(figure: str) -> Shapes:
    """The window of an instrument with what it shows."""
    return (outline((0.0, -12.0), 104.0, 36.0), Numeral(0.0, -12.0, figure, 22.0, Ink.LIT))


def scale_window(centre: Point, reading_deg: float) -> Shapes:
    """A piece of the protractor's scale, enlarged, every degree a mark, with the line that lies on it."""
    x, y = centre
    first = round(reading_deg) - WINDOW_DEG
    shapes: list[Shape] = [outline(centre, 106.0, 20.0)]
    for degree in range(first, first + 2 * WINDOW_DEG + 1):
        place = x + (degree - reading_deg) * _MARK_APART
        tall = 9.0 if degree % 5 == 0 else 5.0
        if abs(place - x) < 50.0:
            shapes.append(line((place, y + 10.0), (place, y + 10.0 - tall)))
            if degree % 5 == 0:
                shapes.append(Label(place, y - 5.0, str(degree % 180 or 180)))
    return (
        *shapes,
        *arrow((x, y + 19.0), (x, y + 10.0), Ink.LIT, 5.0),
        line((x, y + 10.0), (x, y), Ink.LIT, 2.0),
    )


def chipped_at(centre: Point, radius: float, bearing_deg: float) -> Shapes:
    """A piece broken out of the edge, with its crack."""
    edge = [at(centre, radius, bearing_deg + d) for d in (-14.0, 14.0)]
    inner = at(centre, radius * 0.62, bearing_deg)
    return (
        Area((edge[0], inner, edge[1], at(centre, radius * 1.08, bearing_deg)), Ink.WRONG),
        line(inner, at(centre, radius * 0.1, bearing_deg + 25.0), Ink.WRONG, 2.0),
    )


def sign_of(code: str, eye: Eye) -> Shapes:
    """The picture of a mistake, about (0, 0) in a box of 26 units. Raises `ValueError` for one without."""
    if code in _AT_STEP:
        return _AT_STEP[code]()
    return fault_sign(code) if code in PAIR_CODES else cause_sign(code, eye)


def _slot(depth: float) -> Shapes:
    """The lens's edge from the side: how deep the slot is, and how deep it should be."""
    return (
        outline((0.0, 0.0), 24.0, 20.0),
        block((0.0, 10.0 - depth / 2.0), 6.0, depth, Ink.WRONG),
        line((-10.0, 1.0), (10.0, 1.0), Ink.LIT),
    )


def _pin(length: float) -> Shapes:
    """The pin over its slot: its length, and where it should end."""
    return (
        line((-12.0, 11.0), (12.0, 11.0), Ink.METAL, 2.0),
        block((0.0, 11.0 - length / 2.0), 5.0, length, Ink.WRONG),
        line((-10.0, -1.0), (10.0, -1.0), Ink.LIT),
    )


def _chip() -> Shapes:
    return (circle((0.0, 0.0), 11.0), *chipped_at((0.0, 0.0), 11.0, 50.0))


def _scale() -> Shapes:
    """The line lies beside the mark that it should lie on."""
    return (
        *(line((float(x), -9.0), (float(x), -4.0), Ink.DIM) for x in range(-12, 13, 4)),
        line((-4.0, -9.0), (-4.0, 3.0), Ink.LIT, 2.0),
        line((4.0, -9.0), (4.0, 9.0), Ink.WRONG, 2.0),
    )


def _pocket() -> Shapes:
    """Another pocket was opened."""
    return cause_sign("neighbour_pocket", Eye.RIGHT)


def _other_lens() -> Shapes:
    """A lens lies in a pocket that is not its own."""
    return (
        outline((0.0, -2.0), 20.0, 16.0),
        circle((0.0, -2.0), 6.0, Ink.WRONG, 2.0),
        *arrow((0.0, 13.0), (0.0, 5.0), Ink.WRONG, 4.0),
    )


_AT_STEP: dict[str, Callable[[], Shapes]] = {
    "check_number_wrong": _pocket,
    "wrong_lens": _other_lens,
    "scale_wrong": _scale,
    "slot_shallow": lambda: _slot(4.0),
    "slot_deep": lambda: _slot(16.0),
    "pin_long": lambda: _pin(19.0),
    "pin_short": lambda: _pin(4.0),
    "chipped": _chip,
}

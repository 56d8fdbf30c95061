"""A small picture for each cause of a failed check, about (0, 0) in a box of 26 units."""

from collections.abc import Callable

from assistant.optics.eye import Eye
from assistant.ui.pictures.parts import (
    Shapes,
    arrow,
    both_ways,
    cross,
    curved_up,
    glasses,
    lens,
    turn_arrow,
)
from assistant.ui.shapes import (
    Area,
    Ink,
    Label,
    Numeral,
    at,
    block,
    circle,
    disc,
    line,
    outline,
)


def cause_sign(code: str, eye: Eye) -> Shapes:
    """The picture of a cause of one lens.

    Raises:
        ValueError: a code that has no picture.
    """
    if code not in _CAUSES:
        raise ValueError(f"no picture for the cause {code!r}; there are {', '.join(_CAUSES)}")
    return _CAUSES[code](eye)


def fault_sign(code: str) -> Shapes:
    """The picture of what is wrong with the pair, its lenses being right.

    Raises:
        ValueError: a code that has no picture.
    """
    if code not in _FAULTS:
        raise ValueError(f"no picture for the fault {code!r}; there are {', '.join(_FAULTS)}")
    return _FAULTS[code]()


def _on_centre_line(eye: Eye) -> Shapes:
    """The slot on the level line; where it should have been, below, is lit."""
    nose = eye.nasal_bearing_deg
    below = nose - eye.nasal_sign * 32.0
    return (
        circle((0.0, 0.0), 11.0),
        line((-13.0, 0.0), (13.0, 0.0), Ink.DIM),
        line(at((0.0, 0.0), 7.0, nose), at((0.0, 0.0), 13.0, nose), Ink.WRONG, 5.0),
        line(at((0.0, 0.0), 8.0, below), at((0.0, 0.0), 13.0, below), Ink.LIT, 4.0),
    )


def _other_eye(eye: Eye) -> Shapes:
    """The slot belongs to the other rim."""
    here = -7.0 * eye.nasal_sign
    return (
        circle((here, -3.0), 6.0),
        circle((-here, -3.0), 6.0, Ink.DIM),
        line((here * 0.2, -3.0), (here * 0.7, -3.0), Ink.DIM),
        line((here * 1.6, -3.0), (here * 2.0, -3.0), Ink.WRONG, 5.0),
        *arrow((here, 9.0), (-here, 9.0), Ink.LIT),
    )


def _swapped(_eye: Eye) -> Shapes:
    return (
        *lens((-7.0, 0.0), 5.5),
        *lens((7.0, 0.0), 5.5, filled=False),
        *arrow((-10.0, 10.0), (10.0, 10.0), Ink.WRONG),
        *arrow((10.0, -10.0), (-10.0, -10.0), Ink.WRONG),
    )


def _face_down(_eye: Eye) -> Shapes:
    return (*curved_up((0.0, -4.0), 0.6, hollow=True)[:4], *arrow((0.0, 12.0), (0.0, 2.0), Ink.WRONG))


def _across(_eye: Eye) -> Shapes:
    """The dots a quarter turn away from the line they belong on."""
    dots = tuple(disc((0.0, y), 2.2, Ink.WRONG) for y in (-7.0, 0.0, 7.0))
    return (circle((0.0, 0.0), 11.0), line((-13.0, 0.0), (13.0, 0.0), Ink.LIT), *dots)


def _ten_out(_eye: Eye) -> Shapes:
    """Two long marks of the scale, ten apart, and the step between them."""
    marks = tuple(line((x, -10.0), (x, -2.0), ink, 2.0) for x, ink in ((-8.0, Ink.LIT), (8.0, Ink.WRONG)))
    small = tuple(line((float(x), -10.0), (float(x), -6.0), Ink.DIM) for x in (-4, 0, 4))
    return (*marks, *small, *arrow((-8.0, 2.0), (8.0, 2.0), Ink.WRONG), Label(0.0, 10.0, "10", Ink.WRONG))


def _heard_wrong(_eye: Eye) -> Shapes:
    """Fifteen for fifty."""
    return (
        Label(-9.0, 8.0, "15", Ink.LIT),
        Label(9.0, 8.0, "50", Ink.WRONG),
        *both_ways((-9.0, -6.0), (9.0, -6.0), Ink.WRONG),
    )


def _wrong_order(_eye: Eye) -> Shapes:
    """The same two figures, changed about."""
    return (
        Label(0.0, 10.0, "1 2", Ink.LIT),
        line((-4.0, 5.0), (4.0, -5.0), Ink.WRONG),
        line((4.0, 5.0), (-4.0, -5.0), Ink.WRONG),
        Label(0.0, -10.0, "2 1", Ink.WRONG),
    )


def _sign(_eye: Eye) -> Shapes:
    plus = (
        line((-11.0, 3.0), (-1.0, 3.0), Ink.WRONG, 3.5),
        line((-6.0, -3.0), (-6.0, 9.0), Ink.WRONG, 3.5),
    )
    minus = line((3.0, 3.0), (12.0, 3.0), Ink.WRONG, 3.5)
    return (*plus, minus, *both_ways((-9.0, -9.0), (9.0, -9.0), Ink.WRONG))


def _neighbour(_eye: Eye) -> Shapes:
    """The pocket meant, and the one beside it that was opened."""
    pockets = tuple(outline((x, y), 10.0, 10.0, Ink.DIM) for x in (-10.0, 0.0, 10.0) for y in (-5.0, 5.0))
    meant = outline((0.0, 5.0), 10.0, 10.0, Ink.LIT)
    return (*pockets, meant, block((10.0, 5.0), 9.0, 9.0, Ink.WRONG))


def _turned(_eye: Eye) -> Shapes:
    return (
        circle((0.0, 0.0), 12.5, Ink.METAL, 2.0),
        *lens((0.0, 0.0), 8.0, filled=False),
        *turn_arrow((0.0, 0.0), 5.0, 20.0, 250.0, Ink.WRONG),
    )


def _unknown(_eye: Eye) -> Shapes:
    return (Numeral(0.0, 0.0, "?", 24.0, Ink.WRONG),)


_CAUSES: dict[str, Callable[[Eye], Shapes]] = {
    "slot_on_centre_line": _on_centre_line,
    "cut_for_other_eye": _other_eye,
    "lenses_swapped": _swapped,
    "face_down": _face_down,
    "plus_axis_dotted": _across,
    "scale_misread_ten": _ten_out,
    "digits_confused": _heard_wrong,
    "digits_swapped": _wrong_order,
    "sphere_sign": _sign,
    "neighbour_pocket": _neighbour,
    "turned_in_rim": _turned,
    "unknown": _unknown,
}


def _wrong_frame() -> Shapes:
    """A frame of another size, crossed out."""
    return (
        *glasses((0.0, 0.0), 0.22),
        line((-10.0, -8.0), (10.0, 8.0), Ink.WRONG, 2.0),
        line((-10.0, 8.0), (10.0, -8.0), Ink.WRONG, 2.0),
    )


def _distance_wrong() -> Shapes:
    return (
        *cross((-9.0, 4.0), 3.0),
        *cross((9.0, 4.0), 3.0),
        *both_ways((-11.0, -6.0), (11.0, -6.0), Ink.WRONG),
    )


def _height_wrong() -> Shapes:
    return (
        *cross((-8.0, 6.0), 3.0),
        *cross((0.0, -6.0), 3.0),
        *both_ways((9.0, 10.0), (9.0, -10.0), Ink.WRONG),
    )


def _prism() -> Shapes:
    """Light bent by a wedge of glass."""
    wedge = Area(((-6.0, -10.0), (6.0, -10.0), (0.0, 10.0)), Ink.GLASS)
    return (wedge, line((-13.0, 2.0), (-3.0, 2.0), Ink.WRONG), *arrow((3.0, 0.0), (13.0, -7.0), Ink.WRONG))


_FAULTS: dict[str, Callable[[], Shapes]] = {
    "wrong_frame": _wrong_frame,
    "distance_wrong": _distance_wrong,
    "height_wrong": _height_wrong,
    "prism_too_large": _prism,
}

"""Pictures of an order being keyed in: which figure of the clinician's sheet is wanted now."""

from assistant.ui.pictures.parts import (
    Shapes,
    answers,
    arrow,
    both_ways,
    cross,
    eye_sign,
    figure_sign,
    lens,
    paper,
)
from assistant.ui.shapes import (
    Area,
    Ink,
    Numeral,
    Point,
    Scene,
    Stroke,
    circle,
    disc,
    line,
    moved,
    outline,
    oval_points,
)
from assistant.workflow.pictures import (
    KeyOrderPicture,
)


def key_order(picture: KeyOrderPicture) -> Scene:
    """The clinician's sheet, the eye it is about, and the sign of the figure wanted now."""
    name = picture.field.removeprefix("right_").removeprefix("left_")
    x = 0.0 if picture.eye is None else 24.0 * picture.eye.nasal_sign
    sign = () if picture.eye is None else eye_sign(picture.eye)
    sheet = () if name in ("pd", "vertex", "purpose", "read_back") else paper((x - 30.0, 4.0), 40.0, 60.0)
    return Scene((*sheet, *moved(_wanted(name), (x, 0.0)), *sign))


def _wanted(name: str) -> Shapes:
    drawn = {
        "case": _case_tag,
        "purpose": _purposes,
        "kind": _kinds,
        "pd": _pupils,
        "vertex": _vertex,
        "read_back": _read_back,
    }
    if name in drawn:
        return drawn[name]()
    return (*arrow((-8.0, 4.0), (8.0, 4.0), Ink.LIT), *figure_sign(name, (32.0, 4.0), 20.0, Ink.LIT))


def _case_tag() -> Shapes:
    tag = Stroke(((14.0, 16.0), (50.0, 16.0), (62.0, 4.0), (50.0, -8.0), (14.0, -8.0), (14.0, 16.0)), Ink.LIT)
    return (tag, circle((52.0, 4.0), 2.5, Ink.LIT), Numeral(31.0, 4.0, "123", 10.0, Ink.LIT))


def _purposes() -> Shapes:
    """1: far, a hill and a tree; 2: near, a book."""
    hill = Area(((-66.0, -10.0), (-44.0, 22.0), (-34.0, 8.0), (-28.0, 14.0), (-12.0, -10.0)), Ink.DIM)
    return (
        hill,
        *book((40.0, 4.0), 1.6),
        Numeral(-40.0, -30.0, "1", 18.0, Ink.LIT),
        Numeral(40.0, -30.0, "2", 18.0, Ink.LIT),
    )


def _kinds() -> Shapes:
    """1: a lens with a power; 2: a lens that only looks like its fellow; 3: no lens."""
    rounds = (*lens((14.0, 28.0), 11.0), *cross((14.0, 28.0), 6.0), *lens((14.0, 0.0), 11.0))
    none = (
        circle((14.0, -28.0), 11.0, Ink.DIM, dashed=True),
        line((5.0, -37.0), (23.0, -19.0), Ink.WRONG, 2.0),
    )
    numbers = tuple(Numeral(38.0, 28.0 - 28.0 * i, str(i + 1), 17.0, Ink.LIT) for i in range(3))
    return (*rounds, *none, *numbers)


def _pupils() -> Shapes:
    """A face, and the distance between its pupils."""
    pupils = tuple(disc((x, 17.0), 3.0, Ink.LIT) for x in (-16.0, 16.0))
    drops = tuple(line((x, 14.0), (x, -32.0), Ink.LIT, dashed=True) for x in (-16.0, 16.0))
    head = Stroke(oval_points((0.0, 14.0), 32.0, 35.0))
    eyes = tuple(Stroke(oval_points((x, 17.0), 10.0, 6.0)) for x in (-16.0, 16.0))
    return (
        head,
        *eyes,
        *pupils,
        *drops,
        *both_ways((-16.0, -28.0), (16.0, -28.0)),
        *ruler((0.0, -40.0), 90.0),
    )


def ruler(centre: Point, across: float) -> Shapes:
    x, y = centre
    count = int(across // 5)
    marks = tuple(
        line(
            (x - across / 2 + 5.0 * i, y + 6.0),
            (x - across / 2 + 5.0 * i, y + (0.0 if i % 2 else -2.0)),
            Ink.DIM,
        )
        for i in range(1, count)
    )
    return (outline(centre, across, 12.0), *marks)


def _vertex() -> Shapes:
    """An eye from the side and the lens before it, with the gap between them."""
    ball: Shapes = (circle((34.0, 8.0), 26.0), disc((12.0, 8.0), 4.0, Ink.LIT))
    shell = tuple((-24.0 - 6.0 * (1 - (y / 26.0) ** 2), 8.0 + y) for y in range(-26, 27, 4))
    glass = Area((*shell, *((x + 6.0, y) for x, y in reversed(shell))), Ink.GLASS)
    drops = tuple(line((x, 8.0), (x, -34.0), Ink.LIT, dashed=True) for x in (-23.0, 8.0))
    return (*ball, glass, Stroke(shell), *drops, *both_ways((-23.0, -38.0), (8.0, -38.0)))


def _read_back() -> Shapes:
    return (*paper((0.0, 14.0), 56.0, 66.0), *answers())


def book(centre: Point, scale: float = 1.0) -> Shapes:
    """An open book: for near."""
    left = Stroke(((0.0, -8.0), (0.0, 6.0), (-14.0, 9.0), (-14.0, -5.0), (0.0, -8.0)))
    right = Stroke(((0.0, -8.0), (0.0, 6.0), (14.0, 9.0), (14.0, -5.0), (0.0, -8.0)))
    return moved((left, right), centre, scale)

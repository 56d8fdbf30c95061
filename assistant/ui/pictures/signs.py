"""Signs the helpers pick themselves by, each in a box of about 30 units about (0, 0)."""

from assistant.ui.pictures.parts import Shapes
from assistant.ui.shapes import Area, Ink, Stroke, arc, at, block, disc, line, outline, oval_points


def star() -> Shapes:
    """The mark of the kit's reference lens."""
    points = tuple(at((0.0, 0.0), 13.0 if i % 2 == 0 else 5.5, 90.0 + 36.0 * i) for i in range(10))
    return (Area(points, Ink.LIT),)


def _fish() -> Shapes:
    body = oval_points((-2.0, 0.0), 11.0, 6.5)
    return (
        Area(body, Ink.GLASS),
        Area(((7.0, 0.0), (15.0, 7.0), (15.0, -7.0)), Ink.GLASS),
        disc((-7.0, 2.0), 1.5, Ink.LINE),
    )


def _boat() -> Shapes:
    hull = Area(((-13.0, -4.0), (13.0, -4.0), (8.0, -11.0), (-8.0, -11.0)), Ink.METAL)
    return (hull, line((0.0, -4.0), (0.0, 13.0)), Area(((1.5, 12.0), (1.5, -2.0), (11.0, -2.0)), Ink.LINE))


def _tree() -> Shapes:
    return (disc((0.0, 5.0), 9.0, Ink.RIGHT), block((0.0, -8.0), 4.0, 10.0, Ink.METAL))


def _house() -> Shapes:
    return (
        Area(((-13.0, 1.0), (0.0, 13.0), (13.0, 1.0)), Ink.WRONG),
        outline((0.0, -6.0), 19.0, 13.0),
        block((0.0, -8.5), 5.0, 8.0, Ink.LINE),
    )


def _moon() -> Shapes:
    return (disc((0.0, 0.0), 12.0, Ink.LIT), disc((5.0, 3.0), 10.0, Ink.VOID))


def _sun() -> Shapes:
    rays = tuple(line(at((0, 0), 9.0, a), at((0, 0), 14.0, a), Ink.LIT) for a in range(0, 360, 45))
    return (disc((0.0, 0.0), 7.0, Ink.LIT), *rays)


def _cup() -> Shapes:
    return (
        Area(((-9.0, 7.0), (7.0, 7.0), (4.0, -10.0), (-6.0, -10.0)), Ink.LINE),
        arc((8.0, 0.0), 5.0, -100.0, 200.0),
    )


def _drum() -> Shapes:
    hide = Stroke(oval_points((0.0, 7.0), 11.0, 3.5))
    sides = (
        line((-11.0, 7.0), (-7.0, -11.0)),
        line((11.0, 7.0), (7.0, -11.0)),
        line((-7.0, -11.0), (7.0, -11.0)),
    )
    return (hide, *sides, line((-3.0, 3.0), (2.0, -11.0)), line((3.0, 3.0), (-2.0, -11.0)))


SIGNS: tuple[Shapes, ...] = (_sun(), _fish(), _boat(), _tree(), _moon(), _house(), star(), _cup(), _drum())
"""In the order of the helpers' numbers."""

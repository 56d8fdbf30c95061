"""What a picture is made of: a few frozen shapes in a box of world units, x to the right and y up."""

import math
from dataclasses import dataclass
from enum import IntEnum

Point = tuple[float, float]


class Ink(IntEnum):
    """What a mark stands for. `glyphs.py` gives each a colour and, for areas in ASCII, a character."""

    VOID = 0
    """Rubs out the areas under it."""
    LINE = 1
    DIM = 2
    GLASS = 3
    LIT = 4
    """The thing to work on now."""
    METAL = 5
    RIGHT = 6
    WRONG = 7
    WAIT = 8


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points. `width` is in world units; 0 draws the thinnest line the cells can show."""

    points: tuple[Point, ...]
    ink: Ink = Ink.LINE
    width: float = 0.0
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon, its points in order."""

    points: tuple[Point, ...]
    ink: Ink = Ink.LIT


@dataclass(frozen=True, slots=True)
class Label:
    """Short text in ordinary cells. `anchor` is -1 (text starts at x), 0 (centred) or 1 (text ends at x)."""

    x: float
    y: float
    text: str
    ink: Ink = Ink.LINE
    anchor: int = 0


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number drawn large, centred on (x, y); where there is no room for that it becomes a label."""

    x: float
    y: float
    text: str
    height: float
    ink: Ink = Ink.LINE


Shape = Stroke | Area | Label | Numeral


@dataclass(frozen=True, slots=True)
class Scene:
    """Shapes in a box of `width` by `height` world units centred on (0, 0), drawn in order."""

    shapes: tuple[Shape, ...]
    width: float = 170.0
    height: float = 100.0


def at(centre: Point, radius: float, bearing_deg: float) -> Point:
    """The point `radius` from `centre` at a bearing in degrees anticlockwise from the right."""
    angle = math.radians(bearing_deg)
    return (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))


def arc_points(centre: Point, radius: float, start_deg: float, sweep_deg: float) -> tuple[Point, ...]:
    """Points along a circular arc, one about every six degrees, both ends included."""
    count = max(2, math.ceil(abs(sweep_deg) / 6.0))
    return tuple(at(centre, radius, start_deg + sweep_deg * i / count) for i in range(count + 1))


def oval_points(centre: Point, across: float, tall: float) -> tuple[Point, ...]:
    """Points around an upright ellipse with half-axes `across` and `tall`."""
    ring = arc_points((0.0, 0.0), 1.0, 0.0, 360.0)
    return tuple((centre[0] + across * x, centre[1] + tall * y) for x, y in ring)


def circle(
    centre: Point, radius: float, ink: Ink = Ink.LINE, width: float = 0.0, dashed: bool = False
) -> Stroke:
    return Stroke(arc_points(centre, radius, 0.0, 360.0), ink, width, dashed)


def arc(
    centre: Point, radius: float, start_deg: float, sweep_deg: float, ink: Ink = Ink.LINE, width: float = 0.0
) -> Stroke:
    return Stroke(arc_points(centre, radius, start_deg, sweep_deg), ink, width)


def disc(centre: Point, radius: float, ink: Ink = Ink.LIT) -> Area:
    return Area(arc_points(centre, radius, 0.0, 360.0), ink)


def line(start: Point, end: Point, ink: Ink = Ink.LINE, width: float = 0.0, dashed: bool = False) -> Stroke:
    return Stroke((start, end), ink, width, dashed)


def box_points(centre: Point, across: float, tall: float) -> tuple[Point, ...]:
    """Corners of an upright rectangle `across` wide and `tall` high, closed."""
    x, y, a, b = centre[0], centre[1], across / 2.0, tall / 2.0
    return ((x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b), (x - a, y - b))


def outline(centre: Point, across: float, tall: float, ink: Ink = Ink.LINE, dashed: bool = False) -> Stroke:
    return Stroke(box_points(centre, across, tall), ink, dashed=dashed)


def block(centre: Point, across: float, tall: float, ink: Ink = Ink.LIT) -> Area:
    return Area(box_points(centre, across, tall), ink)


def moved(shapes: tuple[Shape, ...], centre: Point, scale: float = 1.0) -> tuple[Shape, ...]:
    """The same shapes scaled about the origin and then moved to `centre`."""
    return tuple(_moved(shape, centre, scale) for shape in shapes)


def _moved(shape: Shape, centre: Point, scale: float) -> Shape:
    if isinstance(shape, Stroke):
        return Stroke(_placed(shape.points, centre, scale), shape.ink, shape.width * scale, shape.dashed)
    if isinstance(shape, Area):
        return Area(_placed(shape.points, centre, scale), shape.ink)
    ((x, y),) = _placed(((shape.x, shape.y),), centre, scale)
    if isinstance(shape, Label):
        return Label(x, y, shape.text, shape.ink, shape.anchor)
    return Numeral(x, y, shape.text, shape.height * scale, shape.ink)


def _placed(points: tuple[Point, ...], centre: Point, scale: float) -> tuple[Point, ...]:
    return tuple((centre[0] + scale * x, centre[1] + scale * y) for x, y in points)

"""Parts that several pictures share: faces, lenses, hands, signs. Every one is of our own making.

All are drawn about (0, 0) or a given centre, in the box of 170 by 100 world units of a scene.
"""

from assistant.optics.eye import Eye
from assistant.ui.shapes import (
    Area,
    Ink,
    Label,
    Numeral,
    Point,
    Shape,
    Stroke,
    arc,
    at,
    block,
    circle,
    disc,
    line,
    moved,
    outline,
    oval_points,
)

Shapes = tuple[Shape, ...]


def face(centre: Point, scale: float = 1.0, working: Eye | None = None, smile: int = 0) -> Shapes:
    """A face looking at the viewer, in round rims; the rim being worked on is filled.

    Front view: the wearer's right eye is on the viewer's left. `smile` is 1, 0 or -1.
    """
    parts: list[Shape] = [
        Stroke(oval_points((0.0, -2.0), 22.0, 27.0)),
        Area(((-20.0, 14.0), (-12.0, 25.0), (0.0, 26.0), (12.0, 25.0), (20.0, 14.0), (0.0, 20.0)), Ink.DIM),
        *(eye_rim(eye, working) for eye in Eye),
        line((-2.0, 3.0), (2.0, 3.0)),
        Stroke(((0.0, 0.0), (-3.0, -8.0), (3.0, -8.0))),
        Stroke(mouth(smile)),
    ]
    if working is not None:
        parts.extend(worked_eye(working))
    return moved(tuple(parts), centre, scale)


def eye_centre(eye: Eye) -> Point:
    """Where a rim lies in `face`: the right eye's to the viewer's left."""
    return (-10.5 * eye.nasal_sign, 3.0)


def eye_rim(eye: Eye, working: Eye | None) -> Stroke:
    ink = Ink.LINE if working in (None, eye) else Ink.DIM
    return circle(eye_centre(eye), 8.0, ink)


def worked_eye(eye: Eye) -> Shapes:
    """The rim filled, and a wedge pointing at it from its own side of the face."""
    x, y = eye_centre(eye)
    side = -eye.nasal_sign
    tip, back = x + side * 16.0, x + side * 27.0
    return (
        disc((x, y), 8.8, Ink.LIT),
        Area(((tip, y), (back, y + 7.0), (back, y - 7.0)), Ink.LIT),
    )


def mouth(smile: int) -> tuple[Point, ...]:
    bend = -4.0 * smile
    return ((-8.0, -17.0), (-4.0, -17.0 + bend), (4.0, -17.0 + bend), (8.0, -17.0))


def eye_sign(eye: Eye, scale: float = 0.9, height: float = 10.0) -> Shapes:
    """The eye being worked on, at its own side of the picture: the right eye's at the viewer's left."""
    return face((-58.0 * eye.nasal_sign, height), scale, eye)


def curved_up(centre: Point, scale: float = 1.0, hollow: bool = False) -> Shapes:
    """A lens seen from the side, lying on a table, its curved (or hollow) side up, with an arrow up."""
    flip = -1.0 if hollow else 1.0
    top = tuple((x, 6.0 * flip * (1.0 - (x / 18.0) ** 2)) for x in range(-18, 19, 3))
    bottom = tuple((x, y - 4.0) for x, y in reversed(top))
    shapes: Shapes = (
        Area((*top, *bottom), Ink.GLASS),
        Stroke(top),
        Stroke(bottom),
        line((-24.0, -6.0 if not hollow else -11.0), (24.0, -6.0 if not hollow else -11.0), Ink.DIM),
        *arrow((0.0, 10.0), (0.0, 20.0), Ink.LIT),
    )
    return moved(shapes, centre, scale)


def arrow(start: Point, end: Point, ink: Ink = Ink.LINE, head: float = 5.0) -> Shapes:
    """A line with a filled head at `end`."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    ux, uy = dx / length * head, dy / length * head
    back = (end[0] - ux, end[1] - uy)
    barbs = ((back[0] - uy * 0.7, back[1] + ux * 0.7), (back[0] + uy * 0.7, back[1] - ux * 0.7))
    return (line(start, back, ink), Area((end, *barbs), ink))


def both_ways(start: Point, end: Point, ink: Ink = Ink.LIT) -> Shapes:
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    return (*arrow(middle, start, ink), *arrow(middle, end, ink))


def turn_arrow(
    centre: Point, radius: float, start_deg: float, sweep_deg: float, ink: Ink = Ink.LIT
) -> Shapes:
    """An arc with a head at its end, turning the way the sweep goes."""
    end = at(centre, radius, start_deg + sweep_deg)
    onward = start_deg + sweep_deg + (90.0 if sweep_deg >= 0 else -90.0)
    back = at(end, 0.1, onward + 180.0)
    return (arc(centre, radius, start_deg, sweep_deg, ink), *arrow(back, at(end, 5.0, onward), ink))


def glasses(centre: Point, scale: float = 1.0, ink: Ink = Ink.LINE) -> Shapes:
    """Round spectacles from the front; rims of radius 21 about (-31, 0) and (31, 0)."""
    shapes: Shapes = (
        circle((-31.0, 0.0), 21.0, ink),
        circle((31.0, 0.0), 21.0, ink),
        arc((0.0, -2.0), 12.0, 30.0, 120.0, ink),
        line((-52.0, 4.0), (-60.0, 9.0), ink),
        line((52.0, 4.0), (60.0, 9.0), ink),
    )
    return moved(shapes, centre, scale)


def yes_sign(centre: Point, scale: float = 1.0) -> Shapes:
    """Right: a filled round."""
    return (disc(centre, 13.0 * scale, Ink.RIGHT),)


def no_sign(centre: Point, scale: float = 1.0) -> Shapes:
    """Not right: an angular piece broken in two."""
    shapes: Shapes = (
        Area(
            ((-12.0, -11.0), (-12.0, 11.0), (1.0, 11.0), (-4.0, 3.0), (0.0, -2.0), (-5.0, -11.0)), Ink.WRONG
        ),
        Area(((6.0, 11.0), (13.0, 8.0), (13.0, -11.0), (0.0, -11.0), (5.0, -2.0), (1.0, 4.0)), Ink.WRONG),
    )
    return moved(shapes, centre, scale)


def hand(centre: Point, scale: float = 1.0, ink: Ink = Ink.WAIT) -> Shapes:
    """Wait: a raised open hand."""
    fingers = tuple(
        block((x, 8.0 + lift), 4.0, 22.0 + 2 * lift, ink)
        for x, lift in ((-9.0, -1.0), (-3.2, 2.0), (2.6, 2.0), (8.4, 0.0))
    )
    palm = Area(((-11.0, 2.0), (10.4, 2.0), (10.4, -10.0), (5.0, -18.0), (-6.0, -18.0), (-11.0, -10.0)), ink)
    thumb = Area(((10.4, -8.0), (18.0, 4.0), (21.0, 0.0), (12.0, -14.0)), ink)
    return moved((*fingers, palm, thumb), centre, scale)


def answers(yes: Point = (62.0, -32.0), no: Point = (-62.0, -32.0)) -> Shapes:
    """The two keys of a yes/no step where their outcomes stand: no at the left, yes at the right."""
    return (
        *no_sign(no),
        *yes_sign(yes),
        *key((no[0] + 27.0, no[1]), "-"),
        *key((yes[0] - 27.0, yes[1]), "+"),
    )


def key(centre: Point, mark: str, ink: Ink = Ink.LINE) -> Shapes:
    """A key of the number pad."""
    return (
        outline(centre, 20.0, 20.0, ink),
        Numeral(centre[0], centre[1], mark, 12.0, ink),
    )


def cross(centre: Point, size: float, ink: Ink = Ink.LINE) -> Shapes:
    x, y = centre
    return (line((x - size, y), (x + size, y), ink), line((x, y - size), (x, y + size), ink))


def paper(centre: Point, across: float, tall: float) -> Shapes:
    """A sheet with lines of writing."""
    x, y = centre
    lines = tuple(
        line((x - across * 0.35, y + tall * part), (x + across * 0.35, y + tall * part), Ink.DIM)
        for part in (0.3, 0.1, -0.1, -0.3)
    )
    return (outline(centre, across, tall), *lines)


def lens(centre: Point, radius: float, filled: bool = True) -> Shapes:
    ring = circle(centre, radius)
    return (disc(centre, radius, Ink.GLASS), ring) if filled else (ring,)


def open_pocket(centre: Point, wide: float, tall: float) -> Shapes:
    """A pocket of the bank from the front, its lid up."""
    x, top = centre[0], centre[1] + tall / 2.0
    lid = (x - wide * 0.35, top + tall * 0.33), (x + wide * 0.35, top + tall * 0.33)
    return (
        outline(centre, wide, tall),
        line((x - wide / 2.0, top), lid[0]),
        line((x + wide / 2.0, top), lid[1]),
        line(*lid),
    )


def tray_number(pocket: int, per_tray: int) -> int:
    """Which tray of the case a pocket lies in, from 1."""
    return (pocket - 1) // per_tray + 1


def readings(
    entered: tuple[tuple[str, float], ...], current: str, wanted: tuple[str, ...], y: float
) -> Shapes:
    """One box for each figure of a reading with its sign; the one wanted now is lit."""
    known = dict(entered)
    shapes: list[Shape] = []
    for place, name in enumerate(wanted):
        x = (place - (len(wanted) - 1) / 2.0) * 40.0
        shapes.extend(_reading(name, (x, y), known.get(name), name == current))
    return tuple(shapes)


def _reading(name: str, centre: Point, value: float | None, wanted: bool) -> Shapes:
    x, y = centre
    ink = Ink.LIT if wanted else Ink.LINE if value is not None else Ink.DIM
    text = "?" if wanted and value is None else "" if value is None else figure(name, value)
    frame: Shapes = (outline(centre, 38.0, 15.0, ink),)
    if wanted:
        frame = (*frame, *arrow((x, y + 18.0), (x, y + 8.5), Ink.LIT, 6.0))
    return (*frame, *figure_sign(name, (x - 12.0, y), 5.5, ink), Label(x + 7.0, y, text, ink))


def figure(name: str, value: float) -> str:
    """An entry as figures: powers signed to two places, others as short as they are."""
    return f"{value:+.2f}" if name in ("sphere", "cylinder") else f"{value:g}"


def figure_sign(name: str, centre: Point, radius: float, ink: Ink) -> Shapes:
    """The sign of a figure of a lens: a cross in a round, an oval, or a slanting line in a round."""
    if name == "cylinder":
        return (Stroke(oval_points(centre, radius * 0.5, radius), ink),)
    if name == "axis":
        ends = (at(centre, radius, 210.0), at(centre, radius, 30.0))
        return (circle(centre, radius, ink), line(ends[0], ends[1], ink))
    return (circle(centre, radius, ink), *cross(centre, radius * 0.5, ink))

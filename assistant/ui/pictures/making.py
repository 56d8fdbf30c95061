"""Pictures of one eye's steps: tray, focimeter, dots, protractor."""

from assistant.optics.eye import Eye
from assistant.ui.pictures.parts import (
    Shapes,
    arrow,
    curved_up,
    eye_sign,
    lens,
    readings,
    tray_number,
    turn_arrow,
)
from assistant.ui.shapes import (
    Area,
    Ink,
    Label,
    Numeral,
    Point,
    Scene,
    Shape,
    Stroke,
    at,
    block,
    circle,
    disc,
    line,
    moved,
    outline,
)
from assistant.workflow.pictures import (
    DotPicture,
    FocimeterPicture,
    ProtractorPicture,
    SideUp,
    TrayPicture,
)


def off_side(eye: Eye) -> float:
    """x of the middle of the work: away from the eye sign."""
    return 24.0 * eye.nasal_sign


def tray(picture: TrayPicture) -> Scene:
    """The tray as a grid, the pocket filled and pointed at from its row and its column.

    Raises:
        ValueError: a pocket below 1.
    """
    if picture.pocket < 1:
        raise ValueError(f"pocket {picture.pocket}; pockets are numbered from 1")
    per_tray = picture.columns * picture.rows
    place = (picture.pocket - 1) % per_tray
    column, row = place % picture.columns, place // picture.columns
    pitch = min(100.0 / picture.columns, 60.0 / picture.rows)
    middle = off_side(picture.eye)
    left, top = middle - pitch * picture.columns / 2.0, 38.0
    across, down = pitch * picture.columns, pitch * picture.rows
    target = (left + (column + 0.5) * pitch, top - (row + 0.5) * pitch)
    grid = _grid(left, top, pitch, picture.columns, picture.rows)
    pointers = (
        *arrow((target[0], 49.0), (target[0], 39.5), Ink.LIT, 6.0),
        *arrow((left - 9.0, target[1]), (left - 1.5, target[1]), Ink.LIT, 6.0),
        *arrow((left + across + 9.0, target[1]), (left + across + 1.5, target[1]), Ink.LIT, 6.0),
    )
    lit = block(target, max(pitch, 7.0), max(pitch, 7.0), Ink.LIT)
    number = Numeral(middle, -36.0, str(picture.pocket), 22.0, Ink.LIT)
    lines = (
        line((target[0], top), (target[0], top - down), Ink.LIT),
        line((left, target[1]), (left + across, target[1]), Ink.LIT),
    )
    which = _which_tray(picture, tray_number(picture.pocket, per_tray))
    return Scene((*grid, *lines, lit, *pointers, number, *which, *eye_sign(picture.eye)))


def _grid(left: float, top: float, pitch: float, columns: int, rows: int) -> Shapes:
    right, bottom = left + columns * pitch, top - rows * pitch
    upright = tuple(
        line((left + i * pitch, top), (left + i * pitch, bottom), Ink.DIM) for i in range(1, columns)
    )
    level = tuple(line((left, top - i * pitch), (right, top - i * pitch), Ink.DIM) for i in range(1, rows))
    frame = outline(((left + right) / 2.0, (top + bottom) / 2.0), right - left, top - bottom)
    return (*upright, *level, frame)


def _which_tray(picture: TrayPicture, number: int) -> Shapes:
    """The trays as a stack under the face, this one lit, with its number."""
    x = -58.0 * picture.eye.nasal_sign
    stack = tuple(outline((x + 3.0 * i, -31.0 - 3.0 * i), 24.0, 10.0, Ink.DIM) for i in (2, 1))
    top = (block((x, -31.0), 24.0, 10.0, Ink.VOID), outline((x, -31.0), 24.0, 10.0, Ink.LIT))
    named = Label(x, -31.0, str(number), Ink.LIT)
    return (*stack, *top, named)


def focimeter(picture: FocimeterPicture) -> Scene:
    """The round view of the focimeter with the lines of the figure wanted now; nothing expected."""
    wanted = ("sphere", "cylinder", "axis") if picture.in_rim else ("sphere", "cylinder")
    middle = (off_side(picture.eye), 10.0)
    shapes = (
        *eyepiece(middle, 29.0, picture.field),
        *moved(readings(picture.entered, picture.field, wanted, 0.0), (middle[0], -40.0)),
        *on_the_stop((-60.0 * picture.eye.nasal_sign, -32.0), picture.in_rim),
        *eye_sign(picture.eye),
    )
    return Scene(shapes)


def eyepiece(centre: Point, radius: float, field: str) -> Shapes:
    """What is seen in the focimeter: close lines one way for the sphere, wide ones across for the cylinder,
    and the ring of degrees for the axis; the ones to look at now are lit."""
    x, y = centre
    sphere, cylinder, axis = (
        Ink.LIT if field == name else Ink.DIM for name in ("sphere", "cylinder", "axis")
    )
    close = tuple(line((x - 14.0, y + d), (x + 14.0, y + d), sphere) for d in (-4.0, 0.0, 4.0))
    wide = tuple(line((x + d, y - 16.0), (x + d, y + 16.0), cylinder) for d in (-8.0, 0.0, 8.0))
    marks = tuple(
        line(at(centre, radius - 6.0, angle), at(centre, radius - 1.0, angle), axis)
        for angle in range(0, 360, 15)
    )
    lines = (*wide, *close) if field == "sphere" else (*close, *wide)
    turn: Shapes = ()
    if field == "axis":
        ways = (turn_arrow(centre, radius + 6.0, 90.0, sweep, Ink.LIT) for sweep in (-40.0, 40.0))
        turn = tuple(part for way in ways for part in way)
    return (circle(centre, radius), *marks, *lines, *turn)


def on_the_stop(centre: Point, in_rim: bool) -> Shapes:
    """The lens on the focimeter's stop, hollow side down."""
    x, y = centre
    stand: Shapes = (
        block((x, y - 8.0), 10.0, 10.0, Ink.METAL),
        line((x - 16.0, y - 13.0), (x + 16.0, y - 13.0)),
    )
    cap = tuple((x + dx, y + 3.0 - 7.0 * (dx / 16.0) ** 2) for dx in range(-16, 17, 4))
    under = tuple((px, py - 3.0) for px, py in reversed(cap))
    rim: Shapes = ()
    if in_rim:
        rim = (
            block((x - 17.0, y - 5.0), 4.0, 7.0, Ink.METAL),
            block((x + 17.0, y - 5.0), 4.0, 7.0, Ink.METAL),
        )
    return (*stand, Area((*cap, *under), Ink.GLASS), Stroke(cap), Stroke(under), *rim)


def dots(picture: DotPicture) -> Scene:
    """Three dots along the level line, the lens seen from above."""
    middle = (off_side(picture.eye), 0.0)
    x, y = middle
    level = line((x - 46.0, y), (x + 46.0, y), Ink.DIM, dashed=True)
    three = tuple(disc((x + d, y), 4.0, Ink.LIT) for d in (-18.0, 0.0, 18.0))
    pens = tuple(arrow((x + d, y + 31.0), (x + d, y + 9.0), Ink.LIT, 6.0) for d in (-18.0, 0.0, 18.0))
    ends = (Label(x - 50.0, y, "180"), Label(x + 49.0, y, "0"))
    return Scene(
        (
            *lens(middle, 36.0),
            level,
            *three,
            *(part for pen in pens for part in pen),
            *ends,
            *_side_sign(picture.eye, picture.side_up),
            *eye_sign(picture.eye),
        )
    )


def _side_sign(eye: Eye, side_up: SideUp) -> Shapes:
    return curved_up((-60.0 * eye.nasal_sign, -38.0), 0.8, side_up is SideUp.HOLLOW)


def protractor(picture: ProtractorPicture) -> Scene:
    """The lens on the protractor: its dotted line at the setting, the tick at the nasal index."""
    eye = picture.eye
    centre = (off_side(eye), 0.0)
    index = index_bearing_deg(eye, picture.index_on_centre_line, picture.depression_deg)
    shapes: list[Shape] = [*scale_ring(centre, 44.0), *lens(centre, 30.0)]
    if picture.setting_deg is not None:
        shapes.extend(dotted_line(centre, 30.0, picture.setting_deg))
        shapes.extend(_setting(eye, centre, picture.setting_deg))
    else:
        shapes.extend(turn_arrow(centre, 18.0, 100.0, 310.0))
    shapes.extend(nasal_tick(centre, 30.0, index))
    return Scene((*shapes, *_side_sign(eye, picture.side_up), *eye_sign(eye, 0.8, 4.0)))


def index_bearing_deg(eye: Eye, on_centre_line: bool, depression_deg: float) -> float:
    """Front-view bearing of the protractor's nasal index: 0 or 180, or below it by the depression."""
    below = 0.0 if on_centre_line else depression_deg
    return (eye.nasal_bearing_deg - eye.nasal_sign * below) % 360.0


def scale_ring(centre: Point, radius: float) -> Shapes:
    """The protractor: a mark every ten degrees, longer ones with figures every thirty; 0 at the right."""
    shapes: list[Shape] = [circle(centre, radius, Ink.DIM)]
    for angle in range(0, 360, 10):
        inner = radius - (8.0 if angle % 30 == 0 else 4.0)
        shapes.append(line(at(centre, inner, angle), at(centre, radius, angle), Ink.DIM))
    for angle in range(0, 181, 30):
        x, y = at(centre, radius + 5.0, angle)
        shapes.append(Label(x, y, str(angle), Ink.DIM, _away_from_ring(angle)))
    return tuple(shapes)


def _away_from_ring(angle: int) -> int:
    return -1 if angle < 80 else 1 if angle > 100 else 0


def dotted_line(centre: Point, radius: float, setting_deg: float, ink: Ink = Ink.LIT) -> Shapes:
    """The lens's own line through three dots, and its far ends on the scale."""
    ends = (at(centre, radius + 13.0, setting_deg + 180.0), at(centre, radius + 13.0, setting_deg))
    marks = tuple(disc(at(centre, r, setting_deg), 3.0, ink) for r in (-radius * 0.6, 0.0, radius * 0.6))
    return (line(*ends, ink), *marks)


def _setting(eye: Eye, centre: Point, setting_deg: float) -> Shapes:
    """The pointer at the upper end of the line, and the figure beside the eye sign's column."""
    tip, tail = at(centre, 44.0, setting_deg), at(centre, 52.0, setting_deg)
    number = Numeral(-58.0 * eye.nasal_sign, 41.0, f"{setting_deg:g}", 14.0, Ink.LIT)
    return (*arrow(tail, tip, Ink.LIT, 7.0), number)


def nasal_tick(centre: Point, radius: float, bearing_deg: float) -> Shapes:
    """The tick drawn on the lens edge at the nasal index, and the hand that draws it."""
    inner, outer = at(centre, radius - 8.0, bearing_deg), at(centre, radius + 3.0, bearing_deg)
    pen = arrow(at(centre, radius + 13.0, bearing_deg), at(centre, radius + 4.0, bearing_deg), Ink.WRONG, 7.0)
    return (line(inner, outer, Ink.WRONG, 3.0), *pen)

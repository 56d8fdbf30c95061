"""Pictures of the lens edge: the slot, the pin in it, and the lens in its rim."""

from assistant.optics.eye import Eye
from assistant.ui.pictures.making import off_side
from assistant.ui.pictures.parts import (
    Shapes,
    answers,
    arrow,
    both_ways,
    curved_up,
    eye_sign,
    lens,
    turn_arrow,
)
from assistant.ui.shapes import (
    Area,
    Ink,
    Label,
    Point,
    Scene,
    Shape,
    Stroke,
    arc,
    at,
    block,
    box_points,
    circle,
    disc,
    line,
)
from assistant.workflow.pictures import FitPicture, PinPicture, SideUp, SlotPicture

_HALF = 38.0
"""Half the width of the piece of lens edge drawn."""


def slot(picture: SlotPicture) -> Scene:
    """The lens edge seen flat on, the slot cut down from it, and the band in which its floor must lie.

    To scale, depth and width alike, so that the deepest allowed slot fills half the picture; a slot far
    deeper than that runs out of its foot.
    """
    x, top = off_side(picture.eye), 28.0
    scale = 52.0 / picture.most_mm
    depth = picture.aimed_mm if picture.depth_mm is None else picture.depth_mm
    floor, half = top - depth * scale, picture.width_mm * scale / 2.0
    notch = ((x - half, top), (x - half, floor), (x + half, floor), (x + half, top))
    edge = ((x - _HALF, top), *notch, (x + _HALF, top))
    shapes: list[Shape] = [*_glass_with(notch, x, top), Stroke(edge, dashed=picture.depth_mm is None)]
    shapes.extend(_depth_marks(picture, x, top, scale))
    if picture.depth_mm is None:
        shapes.extend(arrow((x, top + 20.0), (x, floor + 1.0), Ink.LIT, 8.0))
    else:
        shapes.append(block((x, top + 12.0), picture.pin_diameter_mm * scale, 14.0, Ink.METAL))
        shapes.extend(_gauged((x, top), floor, picture.depth_mm, half + 12.0, picture.eye))
    return Scene((*shapes, *eye_sign(picture.eye)))


def _glass_with(notch: tuple[Point, ...], x: float, top: float) -> Shapes:
    glass = ((x - _HALF, top), (x + _HALF, top), (x + _HALF, -48.0), (x - _HALF, -48.0))
    return (Area(glass, Ink.GLASS), Area(notch, Ink.VOID))


def _depth_marks(picture: SlotPicture, x: float, top: float, scale: float) -> Shapes:
    """Least and most across the glass, a bar between them away from the eye sign, an arrow at the aim."""
    least, aimed, most = (top - d * scale for d in (picture.least_mm, picture.aimed_mm, picture.most_mm))
    side = picture.eye.nasal_sign
    near, far = x + side * (_HALF + 2.0), x + side * (_HALF + 8.0)
    return (
        line((x - side * _HALF, least), (far, least), Ink.RIGHT),
        line((x - side * _HALF, most), (far, most), Ink.WRONG, dashed=True),
        Area(((near, least), (far, least), (far, most), (near, most)), Ink.RIGHT),
        *arrow((x + side * 60.0, aimed), (far + side, aimed), Ink.RIGHT, 6.0),
        Label(far, least + 6.0, f"{picture.aimed_mm:g}", Ink.RIGHT, -side),
    )


def _gauged(start: Point, end: float, length_mm: float, aside: float, eye: Eye) -> Shapes:
    """A measured length from `start` down to `end`, with its figure beside it, on the eye sign's side."""
    x, side = start[0], -eye.nasal_sign
    figure = Label(x + side * aside, (start[1] + end) / 2.0, f"{length_mm:g}", Ink.LIT)
    return (*both_ways(start, (x, end)), figure)


def pin(picture: PinPicture) -> Scene:
    """The pin coming from the rim into its slot, lengths to scale: where it must end, and where it ends.

    Raises:
        ValueError: a slot without depth.
    """
    if picture.slot_depth_mm <= 0.0:
        raise ValueError(f"a slot {picture.slot_depth_mm:g} mm deep; it must be above 0")
    eye = picture.eye
    x, top = off_side(eye), 24.0
    longest = max(picture.slot_depth_mm, picture.wanted_mm, picture.measured_mm or 0.0)
    scale = 58.0 / longest
    floor, wanted = top - picture.slot_depth_mm * scale, top - picture.wanted_mm * scale
    least, side = top - picture.least_engagement_mm * scale, eye.nasal_sign
    notch = ((x - 13.0, top), (x - 13.0, floor), (x + 13.0, floor), (x + 13.0, top))
    edge = x + side * (_HALF + 8.0)
    return Scene(
        (
            *_glass_with(notch, x, top),
            Stroke(notch),
            block((x, top + 10.0), 2 * _HALF + 8.0, 10.0, Ink.METAL),
            *_pin_body(picture, (x, top), scale),
            line((x - side * 34.0, least), (x + side * _HALF, least), Ink.WRONG, dashed=True),
            line((x - side * 34.0, wanted), (edge, wanted), Ink.RIGHT),
            *arrow((x + side * 60.0, wanted), (edge + side, wanted), Ink.RIGHT, 6.0),
            Label(edge, wanted + 6.0, f"{picture.wanted_mm:g}", Ink.RIGHT, -side),
            *eye_sign(eye),
        )
    )


def _pin_body(picture: PinPicture, root: Point, scale: float) -> Shapes:
    """The pin as it was measured; before that, dashed, as it must be."""
    length = picture.wanted_mm if picture.measured_mm is None else picture.measured_mm
    x, end = root[0], root[1] - length * scale
    corners = box_points((x, (root[1] + 5.0 + end) / 2.0), 15.0, root[1] + 5.0 - end)
    if picture.measured_mm is None:
        return (Stroke(corners, Ink.METAL, dashed=True),)
    beside = (x - picture.eye.nasal_sign * 19.0, root[1])
    return (Area(corners, Ink.METAL), *_gauged(beside, end, length, 12.0, picture.eye))


def fit(picture: FitPicture) -> Scene:
    """The rim with its pin, the lens in it with the slot on the pin, the screw turned home."""
    eye = picture.eye
    centre = (off_side(eye) - 6.0 * eye.nasal_sign, 10.0)
    hollow = picture.side_up is SideUp.HOLLOW
    shapes = (
        *lens(centre, 29.0),
        *notch_at(centre, 29.0, picture.pin_bearing_deg),
        circle(centre, 33.0, Ink.METAL, 4.0),
        *_pin_at(centre, 33.0, picture.pin_bearing_deg),
        *_bridge(eye, centre),
        *_screw(eye, centre),
        *answers((64.0, -38.0), (-64.0, -38.0)),
        *curved_up((0.0, -42.0), 0.7, hollow),
        *eye_sign(eye, 0.8),
    )
    return Scene(shapes)


def notch_at(centre: Point, radius: float, bearing_deg: float, ink: Ink = Ink.VOID) -> Shapes:
    """A slot in the edge of a lens, at a bearing."""
    return (Stroke((at(centre, radius - 9.0, bearing_deg), at(centre, radius + 1.0, bearing_deg)), ink, 7.0),)


def _pin_at(centre: Point, radius: float, bearing_deg: float) -> Shapes:
    inner, outer = at(centre, radius - 11.0, bearing_deg), at(centre, radius + 4.0, bearing_deg)
    pointer = arrow(
        at(centre, radius + 25.0, bearing_deg), at(centre, radius + 7.0, bearing_deg), Ink.LIT, 7.0
    )
    return (line(inner, outer, Ink.LIT, 3.0), *pointer)


def _bridge(eye: Eye, centre: Point) -> Shapes:
    """The bridge of the frame at the nasal side, above the pin."""
    x = centre[0] + 45.0 * eye.nasal_sign
    return (arc((x, centre[1] + 6.0), 14.0, 30.0, 120.0, Ink.METAL, 3.0),)


def _screw(eye: Eye, centre: Point) -> Shapes:
    """The rim's screw at the temple side, and the way it turns home: clockwise."""
    side = -eye.nasal_sign
    at_rim = (centre[0] + side * 37.0, centre[1] + 16.0)
    return (
        disc(at_rim, 5.0, Ink.METAL),
        line((at_rim[0] - 4.0, at_rim[1]), (at_rim[0] + 4.0, at_rim[1])),
        *turn_arrow(at_rim, 10.0, 140.0, -220.0),
    )

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


def slot(picture: SlotPicture) -> Scene:
    """The lens edge seen flat on, the slot cut down from it, and the band in which its floor must lie."""
    eye = picture.eye
    x, top = off_side(eye), 28.0
    scale = 52.0 / picture.most_mm
    depth = picture.aimed_mm if picture.depth_mm is None else picture.depth_mm
    floor = top - min(depth, picture.most_mm * 1.35) * scale
    wide = picture.width_mm * scale
    glass = Area(((x - 44.0, top), (x + 44.0, top), (x + 44.0, -44.0), (x - 44.0, -44.0)), Ink.GLASS)
    notch = ((x - wide / 2.0, top), (x - wide / 2.0, floor), (x + wide / 2.0, floor), (x + wide / 2.0, top))
    shapes: list[Shape] = [glass, Area(notch, Ink.VOID)]
    edges = ((x - 44.0, top), *notch, (x + 44.0, top))
    shapes.append(Stroke(edges, Ink.LINE, dashed=picture.depth_mm is None))
    shapes.extend(_depth_marks(picture, x, top, scale))
    shapes.extend(_depth_found(picture, x, top, floor, picture.pin_diameter_mm * scale))
    return Scene((*shapes, *eye_sign(eye)))


def _depth_marks(picture: SlotPicture, x: float, top: float, scale: float) -> Shapes:
    """Least and most as the two ends of a bracket at the right, the aim between them."""
    least, aimed, most = (
        top - depth * scale for depth in (picture.least_mm, picture.aimed_mm, picture.most_mm)
    )
    return (
        line((x - 44.0, least), (x + 52.0, least), Ink.RIGHT),
        line((x - 44.0, most), (x + 52.0, most), Ink.WRONG, dashed=True),
        Area(((x + 46.0, least), (x + 52.0, least), (x + 52.0, most), (x + 46.0, most)), Ink.RIGHT),
        *arrow((x + 64.0, aimed), (x + 54.0, aimed), Ink.RIGHT, 6.0),
        Label(x + 55.0, aimed + 10.0, f"{picture.aimed_mm:g}", Ink.LINE, -1),
    )


def _depth_found(picture: SlotPicture, x: float, top: float, floor: float, pin_wide: float) -> Shapes:
    """An arrow down to where to cut; once measured, the depth, with the pin waiting above it."""
    if picture.depth_mm is None:
        return (*arrow((x, top + 20.0), (x, floor + 1.0), Ink.LIT, 8.0),)
    return (
        *both_ways((x, top), (x, floor)),
        Label(x - 26.0, (top + floor) / 2.0, f"{picture.depth_mm:g}", Ink.LIT),
    )


def pin(picture: PinPicture) -> Scene:
    """The pin coming from the rim into its slot, to scale: where it must end, and where it ends."""
    eye = picture.eye
    x, top = off_side(eye), 24.0
    longest = max(picture.slot_depth_mm, picture.wanted_mm, picture.measured_mm or 0.0)
    scale = 58.0 / longest
    floor, wanted = top - picture.slot_depth_mm * scale, top - picture.wanted_mm * scale
    wide, thick = 26.0, 15.0
    glass = ((x - 44.0, top), (x + 44.0, top), (x + 44.0, -48.0), (x - 44.0, -48.0))
    notch = ((x - wide / 2, top), (x - wide / 2, floor), (x + wide / 2, floor), (x + wide / 2, top))
    rim = block((x, top + 10.0), 96.0, 10.0, Ink.METAL)
    shapes: list[Shape] = [Area(glass, Ink.GLASS), Area(notch, Ink.VOID), Stroke(notch), rim]
    shapes.extend(_pin_body(picture, (x, top + 5.0), thick, top, scale))
    shapes.append(line((x - 34.0, wanted), (x + 52.0, wanted), Ink.RIGHT))
    shapes.extend(arrow((x + 64.0, wanted), (x + 53.0, wanted), Ink.RIGHT, 6.0))
    least = top - picture.least_engagement_mm * scale
    shapes.append(line((x - 34.0, least), (x + 44.0, least), Ink.WRONG, dashed=True))
    shapes.append(Label(x + 46.0, wanted + 8.0, f"{picture.wanted_mm:g}", Ink.RIGHT, -1))
    return Scene((*shapes, *eye_sign(eye)))


def _pin_body(picture: PinPicture, root: Point, thick: float, top: float, scale: float) -> Shapes:
    length = picture.wanted_mm if picture.measured_mm is None else picture.measured_mm
    x, end = root[0], top - length * scale
    corners = box_points((x, (root[1] + end) / 2.0), thick, root[1] - end)
    if picture.measured_mm is None:
        return (Stroke(corners, Ink.METAL, dashed=True),)
    reading = Label(x - 32.0, (top + end) / 2.0, f"{length:g}", Ink.LIT)
    return (Area(corners, Ink.METAL), *both_ways((x - 19.0, top), (x - 19.0, end)), reading)


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

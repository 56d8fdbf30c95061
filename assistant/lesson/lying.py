"""What lies on the virtual bench at a step: the thing itself with what its scale shows, drawn and in one line.

Drawn from the lens as it truly lies, never from what was asked for; whatever the hands did wrong is there to see.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from assistant.lesson.parts import chipped_at, reading_window, scale_window
from assistant.optics.eye import Eye
from assistant.practice.bench import BenchThings
from assistant.practice.lens import Lens, Matrix, Vector, angle_of
from assistant.ui.pictures.edge import notch_at
from assistant.ui.pictures.making import dotted_line, scale_ring
from assistant.ui.pictures.parts import Shapes, curved_up, face, figure_sign, glasses, open_pocket
from assistant.ui.pictures.parts import lens as lens_disc
from assistant.ui.shapes import (
    Ink,
    Label,
    Numeral,
    Point,
    Scene,
    Shape,
    at,
    circle,
    disc,
    line,
    moved,
    outline,
)
from assistant.workflow import pictures as p

WIDE, TALL = 112.0, 84.0
"""World units; a pane of half a screen."""


@dataclass(frozen=True, slots=True)
class Lying:
    shapes: Shapes
    text: str
    """By ids and figures, for plain mode."""

    @property
    def scene(self) -> Scene:
        return Scene(self.shapes, WIDE, TALL)


def lying(things: BenchThings, picture: p.Picture, field: str, shown: str) -> Lying | None:
    """What the helper sees when this picture asks for `field` and the instrument shows `shown`.

    None where nothing lies there: the tool's own picture is all there is to see.
    """
    look = _LOOKS.get(type(picture))
    return None if look is None else look(things, picture, field, shown)


def seen_deg(pose: Matrix, direction: Vector) -> float:
    """The bearing at which a direction of the lens's own frame is seen, 0 to 360."""
    return angle_of(pose @ direction) % 360.0


def face_of(pose: Matrix) -> str:
    return "curved" if np.linalg.det(pose) > 0.0 else "hollow"


def _frame(things: BenchThings, picture: p.PlanPicture, field: str, shown: str) -> Lying | None:
    """The frame that was taken, its size printed on it."""
    if not things.rims:
        return None
    size = f"{things.centres_mm:g}"
    return Lying((*glasses((0.0, 10.0), 0.85), Numeral(0.0, -28.0, size, 18.0, Ink.LIT)), f"frame {size}")


def _pocket(things: BenchThings, picture: p.TrayPicture, field: str, shown: str) -> Lying:
    """The pocket that was opened: its own number small on the lid, its check number large inside."""
    lid = f"{things.opened}"
    shapes: Shapes = (
        *open_pocket((0.0, -8.0), 80.0, 48.0),
        Label(0.0, 25.0, lid),
        Numeral(0.0, -8.0, shown, 26.0, Ink.LIT),
    )
    return Lying(shapes, f"pocket {lid} number {shown}")


def _drum(things: BenchThings, picture: p.Picture, field: str, shown: str) -> Lying:
    """The figure in the focimeter's window, under the sign of what it is."""
    return Lying(
        (*figure_sign(field, (0.0, 30.0), 9.0, Ink.LINE), *reading_window(shown)), f"{field} {shown}"
    )


def _dots(things: BenchThings, picture: p.DotPicture, field: str, shown: str) -> Lying:
    """The lens on the stop with its dots, and its sharp lines, which lie along the minus axis."""
    lens, pose = _lens_of(things, picture.eye)
    axis = seen_deg(pose, np.array([1.0, 0.0])) % 180.0
    centre = (-8.0, 4.0)
    lines = tuple(
        line(
            at(at(centre, d, axis + 90.0), 26.0, axis),
            at(at(centre, d, axis + 90.0), 26.0, axis + 180.0),
            Ink.LINE,
        )
        for d in (-5.0, 0.0, 5.0)
    )
    along = 180.0 if lens.dots is None else seen_deg(pose, lens.dots)
    marks = tuple(disc(at(centre, r, along), 3.5, Ink.LIT) for r in (-18.0, 0.0, 18.0))
    level = line((-46.0, 4.0), (30.0, 4.0), Ink.DIM, dashed=True)
    sign = _side((44.0, -30.0), pose)
    return Lying(
        (circle(centre, 30.0), *lines, level, *marks, *sign), f"dots {_axis(along)} lines {_axis(axis)}"
    )


def _test_line(things: BenchThings, picture: p.IndexPicture, field: str, shown: str) -> Lying:
    """The protractor's scale enlarged where the test line crosses it."""
    return Lying(scale_window((0.0, 0.0), float(shown)), f"scale {shown}")


def _marked(things: BenchThings, picture: p.Picture, field: str, shown: str) -> Lying:
    """The lens on the protractor as it was laid, its tick, the printed nasal index; the scale enlarged."""
    assert isinstance(picture, p.ProtractorPicture | p.RescuePicture)
    lens, pose = _lens_of(things, picture.eye)
    centre: Point = (0.0, 12.0)
    shapes: list[Shape] = [*moved(scale_ring((0.0, 0.0), 44.0), centre, 0.64), *lens_disc(centre, 20.0)]
    for slot in lens.slots:
        shapes += notch_at(centre, 20.0, seen_deg(pose, slot.middle))
    text = []
    if lens.dots is not None and field == "scale":
        setting = seen_deg(pose, lens.dots) % 180.0
        shapes += [
            *dotted_line(centre, 18.0, setting),
            *scale_window((0.0, -31.0), scale_deg(things, pose, lens)),
        ]
        text.append(f"scale {shown}")
    index = angle_of(things.protractor.index(picture.eye)) % 360.0
    shapes += [line(at(centre, 24.0, index), at(centre, 30.0, index), Ink.WRONG, 2.0)]
    if lens.tick is not None:
        tick = seen_deg(pose, lens.tick)
        shapes += [line(at(centre, 14.0, tick), at(centre, 22.0, tick), Ink.WRONG, 3.0)]
        text.append(f"tick {tick % 360.0:.0f} index {index:.0f}")
    shapes += _side((44.0, 32.0), pose)
    return Lying(tuple(shapes), " ".join((*text, face_of(pose))))


def scale_deg(things: BenchThings, pose: Matrix, lens: Lens) -> float:
    """Where the dotted line lies by the protractor's own scale, 0 to 180."""
    if lens.dots is None:
        raise ValueError("the lens has no dots to read on the protractor")
    return (seen_deg(pose, lens.dots) + things.protractor.off_deg) % 180.0


def _gauge(things: BenchThings, picture: p.Picture, field: str, shown: str) -> Lying:
    """The gauge's two jaws and its figure."""
    jaws: Shapes = (
        line((-44.0, 26.0), (44.0, 26.0), Ink.METAL, 4.0),
        line((-30.0, 26.0), (-30.0, 8.0), Ink.METAL, 4.0),
        line((-6.0, 26.0), (-6.0, 8.0), Ink.METAL, 4.0),
    )
    return Lying((*jaws, *reading_window(shown)), f"gauge {shown}")


def _fitted(things: BenchThings, picture: p.FitPicture, field: str, shown: str) -> Lying:
    """The lens in its rim: pin, slot, which side is out, and whether it is whole."""
    rim, held = things.rims[picture.eye], things.in_hand[picture.eye]
    centre: Point = (-8.0, 0.0)
    pin = angle_of(rim.pin_at) % 360.0
    shapes: list[Shape] = [circle(centre, 38.0, Ink.METAL, 2.0), *lens_disc(centre, 32.0)]
    if held.chipped:
        return Lying((*shapes, *chipped_at(centre, 32.0, 60.0)), "lens chipped")
    slot = seen_deg(rim.pose, held.slots[-1].middle)
    for old in held.slots:
        shapes += notch_at(centre, 32.0, seen_deg(rim.pose, old.middle))
    shapes.append(line(at(centre, 37.0, pin), at(centre, 27.0, pin), Ink.LIT, 3.0))
    if held.dots is not None:
        shapes += _row(centre, seen_deg(rim.pose, held.dots))
    shapes += _side((44.0, -30.0), rim.pose)
    return Lying(tuple(shapes), f"pin {pin:.0f} slot {slot:.0f} {face_of(rim.pose)} lens whole")


def _row(centre: Point, bearing: float) -> Shapes:
    return tuple(disc(at(centre, r, bearing), 3.0, Ink.LINE) for r in (-18.0, 0.0, 18.0))


def _sides(things: BenchThings, picture: p.SidePicture, field: str, shown: str) -> Lying:
    pose = things.rims[picture.eye].pose
    return Lying(curved_up((0.0, -4.0), 1.8, face_of(pose) == "hollow"), face_of(pose))


def _rule(things: BenchThings, picture: p.DistancePicture, field: str, shown: str) -> Lying:
    marks = tuple(line((x, 26.0), (x, 20.0 if x % 25 else 14.0)) for x in range(-50, 51, 5))
    return Lying((outline((0.0, 20.0), 104.0, 14.0), *marks, *reading_window(shown)), f"rule {shown}")


def _wearer(things: BenchThings, picture: p.WearerPicture, field: str, shown: str) -> Lying:
    if field == "comfortable":
        return Lying(face((0.0, 0.0), 1.4, smile=1), "comfortable")
    return Lying((Label(0.0, 30.0, "6/"), *reading_window(shown)), f"acuity {shown}")


def _account(things: BenchThings, picture: p.AccountPicture, field: str, shown: str) -> Lying:
    whole = shown == "+"
    chip = () if whole else chipped_at((0.0, 0.0), 32.0, 60.0)
    return Lying((circle((0.0, 0.0), 32.0), *chip), "lens whole" if whole else "lens chipped")


def _lens_of(things: BenchThings, eye: Eye) -> tuple[Lens, Matrix]:
    return things.in_hand[eye], things.lying[eye]


def _side(centre: Point, pose: Matrix) -> Shapes:
    """Which side of the lens looks at the helper."""
    return curved_up(centre, 0.5, face_of(pose) == "hollow")


def _axis(bearing: float) -> str:
    return str(round(bearing) % 180 or 180)


_LOOKS: Mapping[type, Callable[..., Lying | None]] = {
    p.ZeroPicture: _drum,
    p.ReferencePicture: _drum,
    p.IndexPicture: _test_line,
    p.PlanPicture: _frame,
    p.TrayPicture: _pocket,
    p.FocimeterPicture: _drum,
    p.DotPicture: _dots,
    p.ProtractorPicture: _marked,
    p.RescuePicture: _marked,
    p.SlotPicture: _gauge,
    p.PinPicture: _gauge,
    p.FitPicture: _fitted,
    p.SidePicture: _sides,
    p.DistancePicture: _rule,
    p.WearerPicture: _wearer,
    p.AccountPicture: _account,
}

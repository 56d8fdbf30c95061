"""Pictures of the start of a day: who works, in which language, and whether the instruments are right."""

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.ui.pictures.making import eyepiece, index_bearing_deg, on_the_stop, scale_ring
from assistant.ui.pictures.parts import Shapes, answers, arrow, glasses, readings
from assistant.ui.pictures.signs import SIGNS, star
from assistant.ui.shapes import (
    Area,
    Ink,
    Label,
    Numeral,
    Point,
    Scene,
    Shape,
    Stroke,
    arc,
    at,
    block,
    disc,
    line,
    moved,
    outline,
    oval_points,
)
from assistant.workflow.pictures import (
    ClosedPicture,
    CutterPicture,
    HelperPicture,
    IndexPicture,
    LanguagePicture,
    ReferencePicture,
    SoundPicture,
    ZeroPicture,
)


def closed(_picture: ClosedPicture) -> Scene:
    """A sun coming up over a closed case: nothing is open yet."""
    rays = tuple(line(at((0, 4), 24.0, a), at((0, 4), 36.0, a), Ink.LIT, 2.0) for a in range(0, 181, 30))
    sun = Area((*_half_round((0.0, 4.0), 18.0),), Ink.LIT)
    case: Shapes = (
        outline((0.0, -18.0), 90.0, 34.0),
        line((-45.0, -8.0), (45.0, -8.0)),
        block((0, -8), 12, 6, Ink.METAL),
    )
    return Scene((*rays, sun, *case, line((-80.0, 4.0), (80.0, 4.0), Ink.DIM)))


def _half_round(centre: Point, radius: float) -> tuple[Point, ...]:
    return tuple(at(centre, radius, angle) for angle in range(0, 181, 10))


def helper(picture: HelperPicture) -> Scene:
    """One sign for each helper, its number beside it.

    Raises:
        ValueError: more helpers than there are signs.
    """
    if picture.choices > len(SIGNS):
        raise ValueError(f"{picture.choices} helpers to choose from; there are {len(SIGNS)} signs")
    shapes: list[Shape] = []
    for number, (centre, size) in enumerate(_places(picture.choices), start=1):
        shapes.extend(moved(SIGNS[number - 1], (centre[0] - 11.0, centre[1]), size / 40.0))
        shapes.append(_choice(number, centre, size))
    return Scene(tuple(shapes))


def language(picture: LanguagePicture) -> Scene:
    """One speaking face for each language, its number beside it and its short code under that."""
    shapes: list[Shape] = []
    places = _places(len(picture.choices))
    # three in a row stand closer
    largest, beside = (42.0, 5.0) if len(picture.choices) <= 4 else (26.0, -4.0)
    for number, (code, (centre, room)) in enumerate(zip(picture.choices, places, strict=True), start=1):
        size = min(room, largest)
        shapes.extend(moved(_speaking(), (centre[0] - 13.0, centre[1]), size / 42.0))
        shapes.append(_choice(number, (centre[0] + beside, centre[1] + size * 0.12), size))
        shapes.append(Label(centre[0] + beside + 15.0, centre[1] - room * 0.36, code, Ink.DIM))
    return Scene(tuple(shapes))


def _choice(number: int, centre: Point, size: float) -> Numeral:
    return Numeral(centre[0] + 15.0, centre[1], str(number), min(20.0, size * 0.6), Ink.LIT)


def _places(count: int) -> list[tuple[Point, float]]:
    """Centres and heights for up to nine choices: two in a row up to four of them, else three."""
    across = 2 if count <= 4 else 3
    rows = -(-count // across)
    size = min(42.0, 96.0 / rows)
    return [
        (((column - (across - 1) / 2.0) * (160.0 / across), ((rows - 1) / 2.0 - row) * 96.0 / rows), size)
        for row, column in (divmod(place, across) for place in range(count))
    ]


def _speaking() -> Shapes:
    """A face from the side with sound leaving its mouth."""
    profile = ((-6, 16), (4, 14), (7, 6), (13, 0), (7, -2), (8, -6), (6, -8), (8, -11), (3, -15), (-6, -16))
    waves = tuple(arc((8.0, -7.0), r, -35.0, 70.0, Ink.LIT) for r in (7.0, 12.0))
    return (
        Stroke(tuple((float(x), float(y)) for x, y in profile)),
        arc((-6.0, 0.0), 16.0, 90.0, 180.0),
        *waves,
    )


def sound(_picture: SoundPicture) -> Scene:
    """A loudspeaker, its waves, and an ear: heard, or not?"""
    box = Area(
        ((-60.0, 8.0), (-48.0, 8.0), (-34.0, 24.0), (-34.0, -16.0), (-48.0, 0.0), (-60.0, 0.0)), Ink.METAL
    )
    waves = tuple(arc((-34.0, 4.0), r, -35.0, 70.0, Ink.LIT, 2.0) for r in (14.0, 24.0, 34.0))
    ear = (
        Stroke(
            (
                (26, 0),
                (24, 16),
                (32, 30),
                (46, 30),
                (54, 18),
                (52, 6),
                (44, -2),
                (42, -14),
                (34, -18),
                (28, -12),
            )
        ),
        Stroke(((34, 12), (38, 20), (46, 18), (44, 8), (36, 2))),
    )
    return Scene((box, *waves, *moved(ear, (0.0, 4.0)), *answers()))


def zero(picture: ZeroPicture) -> Scene:
    """The focimeter with nothing on it: the lens's place is empty, its ghost crossed through."""
    x, y = -52.0, -2.0
    stop: Shapes = (
        block((x, y - 22.0), 14.0, 24.0, Ink.METAL),
        line((x - 26.0, y - 34.0), (x + 26.0, y - 34.0)),
    )
    ghost: Shapes = (
        Stroke(oval_points((x, y - 4.0), 24.0, 6.0), Ink.DIM, dashed=True),
        line((x - 20.0, y - 18.0), (x + 20.0, y + 12.0), Ink.WRONG, 2.0),
        line((x - 20.0, y + 12.0), (x + 20.0, y - 18.0), Ink.WRONG, 2.0),
    )
    seen = eyepiece((24.0, 14.0), 30.0, "sphere")
    return Scene(
        (*stop, *ghost, *seen, *moved(readings(picture.entered, "sphere", ("sphere",), 0.0), (24.0, -38.0)))
    )


def reference(picture: ReferencePicture) -> Scene:
    """The kit's own lens, marked with a star, on the focimeter; the figure wanted now is lit."""
    mark = moved(star(), (-60.0, 30.0), 0.7)
    lens_down = moved(on_the_stop((0.0, 0.0), False), (-60.0, -2.0), 1.4)
    wanted = ("sphere", "cylinder", "axis")
    values = moved(readings(picture.entered, picture.field, wanted, 0.0), (24.0, -40.0))
    return Scene(
        (
            *mark,
            *arrow((-60.0, 20.0), (-60.0, 6.0), Ink.LIT),
            *lens_down,
            *eyepiece((24.0, 10.0), 29.0, picture.field),
            *values,
        )
    )


def index(picture: IndexPicture) -> Scene:
    """The bare protractor: the straight line laid level, the end to be read pointed at, and the two
    nasal marks where this kit draws them."""
    centre = (10.0, 0.0)
    level = line((centre[0] - 44.0, 0.0), (centre[0] + 44.0, 0.0), Ink.LIT, 2.0)
    on_line = picture.nasal_index is NasalIndex.ON_CENTRE_LINE
    ticks: list[Shape] = []
    for eye in Eye:
        bearing = index_bearing_deg(eye, on_line, picture.depression_deg)
        ticks.append(line(at(centre, 45.0, bearing), at(centre, 54.0, bearing), Ink.WRONG, 3.0))
    ring = tuple(s for s in scale_ring(centre, 44.0) if not isinstance(s, Label))
    look = (*arrow((-64.0, 24.0), (-37.0, 3.0), Ink.LIT, 9.0), *_looking_eye((-72.0, 30.0)))
    return Scene((*ring, level, *ticks, *look))


def _looking_eye(centre: Point) -> Shapes:
    x, y = centre
    lids = tuple((x + 9.0 * dx, y + 6.0 * (1 - dx * dx)) for dx in (-1.0, -0.5, 0.0, 0.5, 1.0))
    under = tuple((px, 2 * y - py) for px, py in reversed(lids))
    return (Stroke((*lids, *under)), disc(centre, 3.0, Ink.LIT))


def cutter(_picture: CutterPicture) -> Scene:
    """The slot cutter and safety glasses; a full battery is yes, an empty one is no."""
    body: Shapes = (
        outline((-6.0, 20.0), 70.0, 16.0),
        line((29.0, 20.0), (40.0, 20.0), Ink.METAL, 4.0),
        disc((44.0, 20.0), 12.0, Ink.METAL),
        *(
            line(at((44.0, 20.0), 12.0, a), at((44.0, 20.0), 16.0, a + 12), Ink.METAL)
            for a in range(0, 360, 30)
        ),
        disc((44.0, 20.0), 3.0, Ink.VOID),
        block((-24.0, 20.0), 12.0, 6.0, Ink.LIT),
    )
    goggles = glasses((0.0, -18.0), 0.42, Ink.LIT)
    full = _battery((60.0, -8.0), 4, Ink.RIGHT)
    empty = _battery((-60.0, -8.0), 0, Ink.WRONG)
    return Scene((*body, *goggles, *full, *empty, *answers()))


def _battery(centre: Point, charge: int, ink: Ink) -> Shapes:
    x, y = centre
    cells = tuple(block((x - 11.25 + 7.5 * i, y), 5.5, 8.0, ink) for i in range(charge))
    return (outline(centre, 32.0, 13.0, ink), block((x + 18.0, y), 4.0, 6.0, ink), *cells)

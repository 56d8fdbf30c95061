"""Pictures of the start of a day: who works, in which language, and whether the instruments are right."""

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.ui.pictures.making import eyepiece, index_bearing_deg, on_the_stop, scale_ring
from assistant.ui.pictures.parts import Shapes, answers, arrow, glasses, readings
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
    """One sign for each helper, each over its number."""
    shapes: list[Shape] = []
    for number, (centre, size) in enumerate(_places(picture.choices), start=1):
        shapes.extend(
            moved(SIGNS[(number - 1) % len(SIGNS)], (centre[0], centre[1] + size * 0.2), size / 30.0)
        )
        shapes.append(Numeral(centre[0], centre[1] - size * 0.4, str(number), size * 0.4))
    return Scene(tuple(shapes))


def language(picture: LanguagePicture) -> Scene:
    """One speaking face for each language, its number under it and its short code in what it says."""
    shapes: list[Shape] = []
    for number, (code, (centre, size)) in enumerate(
        zip(picture.choices, _places(len(picture.choices)), strict=True), start=1
    ):
        middle = (centre[0], centre[1] + size * 0.2)
        shapes.extend(moved(_speaking(), (middle[0] - size * 0.2, middle[1]), size / 40.0))
        shapes.append(Label(middle[0] + size * 0.32, middle[1] + size * 0.08, code))
        shapes.append(Numeral(centre[0], centre[1] - size * 0.36, str(number), size * 0.4))
    return Scene(tuple(shapes))


def _places(count: int) -> list[tuple[Point, float]]:
    """Centres and sizes for up to nine choices: one row up to four, two rows up to nine."""
    rows = 1 if count <= 4 else 2
    across = -(-count // rows)
    size = min(160.0 / max(across, 1), 92.0 / rows)
    places: list[tuple[Point, float]] = []
    for place in range(count):
        row, column = divmod(place, across)
        in_row = min(across, count - row * across)
        x = (column - (in_row - 1) / 2.0) * 160.0 / across
        places.append(((x, ((rows - 1) / 2.0 - row) * 96.0 / rows), size))
    return places


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
    star = moved(_star(), (-60.0, 30.0), 0.7)
    lens_down = moved(on_the_stop((0.0, 0.0), False), (-60.0, -2.0), 1.4)
    wanted = ("sphere", "cylinder", "axis")
    values = moved(readings(picture.entered, picture.field, wanted, 0.0), (24.0, -40.0))
    return Scene(
        (
            *star,
            *arrow((-60.0, 20.0), (-60.0, 6.0), Ink.LIT),
            *lens_down,
            *eyepiece((24.0, 12.0), 32.0, picture.field),
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
        ticks.append(line(at(centre, 26.0, bearing), at(centre, 36.0, bearing), Ink.WRONG, 3.0))
    ring = tuple(s for s in scale_ring(centre, 44.0) if not isinstance(s, Label))
    figures = (Label(58.0, 0.0, "0", Ink.DIM, -1), Label(10.0, 48.0, "90", Ink.DIM))
    look = (*arrow((-66.0, 0.0), (-36.0, 0.0), Ink.LIT, 9.0), *_looking_eye((-74.0, 0.0)))
    return Scene((*ring, level, *ticks, *figures, *look))


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


def _star() -> Shapes:
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


SIGNS: tuple[Shapes, ...] = (_sun(), _fish(), _boat(), _tree(), _moon(), _house(), _star(), _cup(), _drum())
"""Signs the helpers pick themselves by, in the order of their numbers."""

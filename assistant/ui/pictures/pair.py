"""Pictures of what belongs to the pair: the order, the plan, the distances, the wearer."""

from assistant.ui.pictures.keying import book, ruler
from assistant.ui.pictures.parts import (
    Shapes,
    answers,
    arrow,
    both_ways,
    cross,
    curved_up,
    face,
    glasses,
    hand,
    lens,
    no_sign,
    open_pocket,
    yes_sign,
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
    disc,
    line,
    moved,
    outline,
)
from assistant.workflow.pictures import (
    AccountPicture,
    DistancePicture,
    HandOverPicture,
    OrderPicture,
    PlanPicture,
    SidePicture,
    WaitingOrder,
    WearerPicture,
)
from assistant.workflow.plan import Verdict

_SMALL, _RIM_Y = 0.6, 22.0
_RIM_X = 31.0 * _SMALL
"""The spectacles of the plan: how large, and where a rim's middle is."""
KEPT = 6
"""Orders drawn; more are told by three dots."""


def order(picture: OrderPicture) -> Scene:
    """The orders waiting, each with the key that takes it up; 0, a blank sheet, keys a new one."""
    shapes: list[Shape] = []
    shown = picture.waiting[:KEPT]
    for place, waiting in enumerate(shown):
        column, row = divmod(place, 3)
        shapes.extend(_waiting(waiting, (-56.0 + 58.0 * column, 32.0 - 32.0 * row)))
    if len(picture.waiting) > KEPT:
        shapes.extend(disc((-32.0 + 14.0 * i, -46.0), 3.5, Ink.LIT) for i in range(3))
    return Scene((*shapes, *_new_sheet((62.0, 0.0))))


def _waiting(waiting: WaitingOrder, centre: Point) -> Shapes:
    x, y = centre
    near = book((x + 16.0, y - 8.0), 0.5) if waiting.near else ()
    return (
        Numeral(x - 16.0, y, str(waiting.number), 18.0, Ink.LIT),
        *glasses((x + 14.0, y + 7.0), 0.27),
        Label(x - 4.0, y - 8.0, waiting.case, Ink.LINE, -1),
        *moved(near, (8.0, 0.0)),
    )


def _new_sheet(centre: Point) -> Shapes:
    x, y = centre
    pencil = Area(
        ((x + 4.0, y + 6.0), (x + 16.0, y + 22.0), (x + 20.0, y + 18.0), (x + 8.0, y + 3.0)), Ink.LIT
    )
    return (outline((x, y + 8.0), 26.0, 36.0), pencil, Numeral(x, y - 26.0, "0", 18.0, Ink.LIT))


def plan(picture: PlanPicture) -> Scene:
    """The pair to be made: a pocket of the bank for each rim, the frame's distance, and whether it may be made."""
    pockets = (*_from_pocket(-1.0, picture.right_pocket), *_from_pocket(1.0, picture.left_pocket))
    frame: Shapes = ()
    if picture.frame_mm is not None:
        drops = tuple(line((x, 6.0), (x, -18.0), Ink.LIT) for x in (-_RIM_X, _RIM_X))
        frame = (
            *drops,
            *both_ways((-_RIM_X, -12.0), (_RIM_X, -12.0)),
            Numeral(0.0, -32.0, f"{picture.frame_mm:g}", 19.0, Ink.LIT),
        )
    return Scene((*glasses((0.0, _RIM_Y), _SMALL), *pockets, *frame, *_plan_verdict(picture.verdict)))


def _from_pocket(side: float, pocket: int | None) -> Shapes:
    """An open pocket with its number, beside the rim that its lens goes into: a number inside would read as an axis.

    `side`: -1 for the wearer's right eye, at the viewer's left.
    """
    if pocket is None:
        return (line((side * _RIM_X - 8.0, _RIM_Y - 9.0), (side * _RIM_X + 8.0, _RIM_Y + 9.0), Ink.DIM, 2.0),)
    return (
        *open_pocket((side * 63.0, 13.0), 40.0, 30.0),
        Numeral(side * 63.0, 12.5, str(pocket), 12.0, Ink.LINE),
        *arrow((side * 43.0, 16.0), (side * 31.5, 16.0), Ink.LIT, 6.0),
    )


def _plan_verdict(verdict: Verdict) -> Shapes:
    if verdict is Verdict.MAKE:
        return yes_sign((66.0, -34.0), 1.1)
    if verdict is Verdict.ASK:
        return hand((44.0, -33.0), 0.65)
    return no_sign((-66.0, -34.0), 1.1)


def distance(picture: DistancePicture) -> Scene:
    """The finished pair on the rule: between the two centres, or how much higher one is than the other."""
    body = (
        *glasses((0.0, 14.0), 1.0),
        *cross((-31.0, 14.0), 6.0, Ink.LIT),
        *cross((31.0, 14.0), 6.0, Ink.LIT),
    )
    if picture.field == "centres":
        drops = tuple(line((x, 8.0), (x, -26.0), Ink.LIT, dashed=True) for x in (-31.0, 31.0))
        return Scene((*body, *drops, *both_ways((-31.0, -24.0), (31.0, -24.0)), *ruler((0.0, -38.0), 120.0)))
    tilted = (
        *glasses((0.0, 0.0), 1.0, Ink.DIM),
        *cross((-31.0, 10.0), 6.0, Ink.LIT),
        *cross((31.0, -10.0), 6.0, Ink.LIT),
        line((-78.0, 10.0), (70.0, 10.0), Ink.LIT, dashed=True),
        line((-78.0, -10.0), (70.0, -10.0), Ink.LIT, dashed=True),
        *arrow((66.0, 34.0), (66.0, 11.0), Ink.LIT, 8.0),
        *arrow((66.0, -34.0), (66.0, -11.0), Ink.LIT, 8.0),
    )
    return Scene(tilted)


def wearer(picture: WearerPicture) -> Scene:
    """Comfortable: a smile or none. Acuity: the smallest row of the chart the wearer can read."""
    if picture.field == "acuity":
        rows = tuple(_chart_row((46.0, 34.0 - 17.0 * i), 12.0 - 3.0 * i) for i in range(4))
        look = arrow((-18.0, 6.0), (14.0, 6.0), Ink.LIT, 7.0)
        board = outline((46.0, 8.0), 44.0, 78.0)
        return Scene((*face((-48.0, 6.0), 1.3), *look, board, *(part for row in rows for part in row)))
    return Scene(
        (
            *face((-34.0, 14.0), 1.1, smile=-1),
            *face((34.0, 14.0), 1.1, smile=1),
            *answers((70.0, -34.0), (-70.0, -34.0)),
        )
    )


def _chart_row(centre: Point, size: float) -> Shapes:
    """A row of open rings, each open another way."""
    x, y = centre
    count = {12.0: 1, 9.0: 2}.get(size, 3)
    shapes: list[Shape] = []
    for i in range(count):
        middle = (x + (i - (count - 1) / 2.0) * size * 1.4, y)
        start = 90.0 * i + 35.0
        shapes.append(
            Stroke(tuple(at(middle, size / 2.0, start + 29.0 * k) for k in range(11)), Ink.LINE, size / 6.0)
        )
    return tuple(shapes)


def hand_over(picture: HandOverPicture) -> Scene:
    """The spectacles going to the wearer, with the case they belong to."""
    return Scene(
        (
            *glasses((-46.0, 10.0), 0.55, Ink.LIT),
            *arrow((-8.0, 10.0), (14.0, 10.0), Ink.LIT, 9.0),
            *face((48.0, 8.0), 1.3, smile=1),
            Label(-46.0, -14.0, picture.case),
            *yes_sign((-46.0, -32.0), 0.7),
        )
    )


def account(picture: AccountPicture) -> Scene:
    """A pair given up: is this eye's lens whole, or broken?"""
    crack = Stroke(((-64.0, 22.0), (-56.0, 12.0), (-62.0, 4.0), (-52.0, -8.0)), Ink.WRONG, 2.0)
    pocket = () if picture.pocket is None else (Numeral(0.0, -32.0, str(picture.pocket), 13.0, Ink.LIT),)
    middle = moved(face((0.0, 0.0), 0.8, picture.eye), (0.0, 14.0))
    return Scene((*middle, *lens((-62.0, 8.0), 17.0), crack, *lens((62.0, 8.0), 17.0), *pocket, *answers()))


def side(picture: SidePicture) -> Scene:
    """Which side of the lens faces out of the rim: hollow is no, at the left; curved is yes."""
    middle = moved(face((0.0, 0.0), 0.8, picture.eye), (0.0, 14.0))
    out = (*curved_up((62.0, 4.0), 1.2), *curved_up((-62.0, 4.0), 1.2, hollow=True))
    return Scene((*middle, *out, *answers()))

"""What may be keyed now, before anything is typed: the keys themselves, drawn where the figure will stand."""

from assistant.ui.pictures.parts import Shapes, arrow, hand, key, no_sign, yes_sign
from assistant.ui.pictures.voice import keypad, speaking
from assistant.ui.shapes import Ink, Label, Scene, Stroke, block, line, moved, outline
from assistant.workflow.pictures import Outcome
from assistant.workflow.steps import FieldKind

WIDE, TALL = 112.0, 24.0
_SLOT = 30.0
"""Side of the box an outcome is drawn in."""


def hint(kind: FieldKind, unit: str, waiting: bool) -> Scene:
    """Enter alone; the two answers; a sign and a figure; two figures or an empty pocket; or a figure.

    `waiting` puts the raised hand of the supervisor's turn in the middle, the keys to its right.
    """
    keys = _keys(kind, unit)
    if waiting:
        keys = (*hand((0.0, 3.0), 0.55), *moved(keys, (34.0, 0.0), 0.7))
    return Scene(keys, WIDE, TALL)


def _keys(kind: FieldKind, unit: str) -> Shapes:
    match kind:
        case FieldKind.DONE:
            return enter((0.0, 0.0))
        case FieldKind.YES_NO:
            return (
                *moved(no_sign((0.0, 0.0), 0.7), (-44.0, 0.0)),
                *key((-22.0, 0.0), "-", Ink.LIT),
                *key((22.0, 0.0), "+", Ink.LIT),
                *yes_sign((44.0, 0.0), 0.7),
            )
        case FieldKind.POWER | FieldKind.CYLINDER:
            signs = (*key((-40.0, 0.0), "-", Ink.LIT), *key((-17.0, 0.0), "+", Ink.LIT))
            return (*signs, *_place(8.0), *_pad(30.0), Label(44.0, -8.0, unit))
        case FieldKind.SAID:
            return (*moved(speaking(), (-30.0, 0.0), 0.9), *_place(8.0), *_place(24.0))
        case FieldKind.CHECK_NUMBER:
            return (*_pad(-44.0), *_place(-24.0), *_place(-8.0), *key((20.0, 0.0), "-"), *_empty_pocket(44.0))
        case _:
            return (*_pad(-16.0), *_place(8.0), Label(24.0, -8.0, unit))


def _place(x: float) -> Shapes:
    """Where a figure goes."""
    return (block((x, -9.0), 12.0, 4.0, Ink.LIT),)


def _pad(x: float) -> Shapes:
    """The nine figure keys."""
    return tuple(block((x + 6.0 * i, 8.0 * j), 4.0, 4.0, Ink.METAL) for j in (1, 0, -1) for i in (-1, 0, 1))


def _empty_pocket(x: float) -> Shapes:
    """A pocket with nothing in it, and no lens to take."""
    return (
        outline((x, 0.0), 20.0, 20.0, Ink.WRONG, dashed=True),
        line((x - 9.0, -9.0), (x + 9.0, 9.0), Ink.WRONG),
    )


def enter(centre: tuple[float, float], scale: float = 1.0) -> Shapes:
    """The Enter key, with the arrow that comes down and goes back."""
    arm = ((9.0, 6.0), (9.0, -3.0), (-10.0, -3.0))
    head = ((-5.0, 2.0), (-11.0, -3.0), (-5.0, -8.0))
    thick = tuple(tuple((x + d, y + d) for x, y in points) for points in (arm, head) for d in (0.0, 1.0))
    shapes = (outline((0.0, 0.0), 30.0, 21.0, Ink.LIT), *(Stroke(points, Ink.LIT) for points in thick))
    return moved(shapes, centre, scale)


def enter_now() -> Scene:
    """Something is typed: Enter makes it count."""
    return Scene(enter((0.0, 0.0), 0.9), _SLOT, _SLOT)


def at_its_side(outcome: Outcome) -> Scene | None:
    """The outcome's sign for its own side; the raised hand stands in the middle, with the keys."""
    if outcome is Outcome.RIGHT:
        return Scene(yes_sign((0.0, 0.0)), _SLOT, _SLOT)
    if outcome is Outcome.WRONG:
        return Scene(no_sign((0.0, 0.0)), _SLOT, _SLOT)
    return None


def keypad_first() -> Scene:
    """The number pad: what is wanted is keyed."""
    return Scene(keypad(), 34.0, 40.0)


def too_small() -> Scene:
    """A small window, to be drawn wider and taller."""
    ways = ((20.0, 0.0), (-20.0, 0.0), (0.0, 13.0), (0.0, -13.0))
    arrows = tuple(part for x, y in ways for part in arrow((x, y), (x * 2.2, y * 2.2), Ink.LIT, 8.0))
    return Scene(
        (outline((0.0, 0.0), 34.0, 20.0), *arrows, outline((0.0, 0.0), 104.0, 66.0, Ink.DIM)), 110.0, 70.0
    )

"""Whether a helper is understood: a number to say, a face for the room, and the keypad that comes first if not."""

from typing import Final

from assistant.ui.pictures.parts import Shapes
from assistant.ui.shapes import Ink, Numeral, Scene, Stroke, arc, block, disc, line, moved, outline
from assistant.workflow.events import Room
from assistant.workflow.pictures import VoicePicture

_MOUTHS: Final = {Room.GOOD: 5.0, Room.MIDDLING: 0.0, Room.BAD: -5.0}
"""How far the middle of the mouth hangs below its corners."""
_INKS: Final = {Room.GOOD: Ink.RIGHT, Room.MIDDLING: Ink.LINE, Room.BAD: Ink.WRONG}


def voice(picture: VoicePicture) -> Scene:
    """A number in large figures beside a speaking mouth; below, how many are said; above, the room's face."""
    room = () if picture.room is None else moved(room_face(picture.room), (-62.0, 24.0))
    if picture.number is None:
        return Scene(
            (*moved(room, (0.0, -18.0), 1.3), *_crossed(_waves()), *moved(keypad(), (50.0, 0.0), 1.6))
        )
    said = tuple(
        disc((x, -40.0), 4.0, Ink.RIGHT) if n < picture.said else outline((x, -40.0), 7.0, 7.0, Ink.DIM)
        for n in range(picture.wanted)
        for x in ((n - (picture.wanted - 1) / 2.0) * 16.0 + 30.0,)
    )
    number = Numeral(30.0, 6.0, picture.number, 56.0, Ink.LIT)
    return Scene((*room, *moved(speaking(), (-52.0, -22.0)), number, *said))


def room_face(room: Room) -> Shapes:
    """A plain round face: it smiles in a quiet room, and holds its ears where it is too loud."""
    bend = _MOUTHS[room]
    ink = _INKS[room]
    mouth = Stroke(((-7.0, -5.0), (-3.0, -5.0 - bend), (3.0, -5.0 - bend), (7.0, -5.0)), ink)
    eyes = (disc((-6.0, 5.0), 2.0, ink), disc((6.0, 5.0), 2.0, ink))
    ears = tuple(block((x, 1.0), 6.0, 12.0, ink) for x in (-18.0, 18.0)) if room is Room.BAD else ()
    return (arc((0.0, 0.0), 16.0, 0.0, 360.0, ink), *eyes, mouth, *ears)


def keypad() -> Shapes:
    """A number pad: three keys by four in a case."""
    keys = tuple(
        block((7.0 * i, 7.0 * j - 3.0), 5.0, 5.0, Ink.LIT) for i in (-1, 0, 1) for j in (-1, 0, 1, 2)
    )
    return (outline((0.0, 0.5), 27.0, 34.0), *keys)


def speaking() -> Shapes:
    """Open lips with sound going out to the right."""
    lips = (arc((0.0, 0.0), 9.0, 0.0, 360.0), arc((0.0, 0.0), 5.0, 0.0, 360.0))
    return (*lips, *(arc((8.0, 0.0), r, -35.0, 70.0, Ink.LIT, 2.0) for r in (8.0, 15.0)))


def _waves() -> Shapes:
    return moved(speaking(), (-8.0, -2.0))


def _crossed(shapes: Shapes) -> Shapes:
    return (
        *shapes,
        line((-22.0, -20.0), (20.0, 18.0), Ink.WRONG, 3.0),
        line((-22.0, 18.0), (20.0, -20.0), Ink.WRONG, 3.0),
    )

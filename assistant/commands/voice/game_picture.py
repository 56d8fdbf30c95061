"""The word to say as a picture: a large figure, or a sign for the command."""

from typing import Final

from assistant.language.listening import Listening
from assistant.speech.enrolment_game import Turn
from assistant.ui.pictures.parts import Shapes, arrow, hand, key, no_sign, yes_sign
from assistant.ui.pictures.voice import speaking
from assistant.ui.shapes import Ink, Numeral, Scene, block, line, moved

WIDE: Final = 120.0
BAR: Final = 3.2
_COMMANDS: Final[dict[str, Shapes]] = {
    "yes": yes_sign((12.0, 0.0), 1.4),
    "no": no_sign((12.0, 0.0), 1.4),
    "again": moved(key((0.0, 0.0), "*", Ink.LIT), (12.0, 0.0), 2.0),
    "back": arrow((40.0, 0.0), (-16.0, 0.0), Ink.LIT, 16.0),
    "help": hand((12.0, 0.0), 1.2),
    "stop": (block((12.0, 0.0), 40.0, 40.0, Ink.LIT),),
}


def word_picture(turn: Turn, listening: bool) -> Scene:
    """Beside it, once it is listened for, an open mouth."""
    mouth = moved(speaking(), (-48.0, 0.0), 1.2) if listening else ()
    return Scene((*mouth, *_word(turn)), WIDE, 60.0)


def _word(turn: Turn) -> Shapes:
    if turn.kind is not Listening.COMMANDS:
        return (Numeral(12.0, 0.0, turn.value, 50.0, Ink.LIT),)
    return _COMMANDS[turn.value]


def progress_picture(done: int, of: int) -> Scene:
    """A line that grows into a bar."""
    full = WIDE * done / max(of, 1)
    shapes: Shapes = (line((-WIDE / 2.0, 0.0), (WIDE / 2.0, 0.0), Ink.DIM),)
    if full:
        shapes = (*shapes, block(((full - WIDE) / 2.0, 0.0), full, BAR, Ink.LIT))
    return Scene(shapes, WIDE, BAR)


def keys_picture() -> Scene:
    """What the keys do: hear the word again, say it once more, stop."""
    again = arrow((12.0, 0.0), (-10.0, 0.0), Ink.LINE, 8.0)
    signs = (moved(speaking(), (-6.0, 0.0), 0.8), again, (block((-2.0, 0.0), 14.0, 14.0, Ink.LINE),))
    shapes: Shapes = ()
    for x, mark, sign in zip((-70.0, 0.0, 70.0), "*-/", signs, strict=True):
        shapes = (*shapes, *key((x - 16.0, 0.0), mark), *moved(sign, (x + 16.0, 0.0)))
    return Scene(shapes, 200.0, 24.0)


def result_picture(good: bool) -> Scene:
    """All is done: right, or wait for the supervisor."""
    return Scene(yes_sign((0.0, 0.0), 1.6) if good else hand((0.0, 0.0), 1.2), WIDE, 60.0)

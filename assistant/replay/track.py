"""A session as one line of signs: where something went wrong, where a note is, and where one stands. Pure."""

from collections.abc import Iterable
from typing import Final

from assistant.ui.glyphs import Glyphs

MISTAKE: Final = "!"
NOTE: Final = "n"
DIFFERENT: Final = "x"
_USUAL: Final = {False: "─", True: "-"}
_POINTER: Final = {False: "▲", True: "^"}


def column(place: int, places: int, columns: int) -> int:
    """The column of a place, from 0; `places` of them lie evenly over `columns`."""
    return 0 if places < 2 else round(place * (columns - 1) / (places - 1))


def track(
    places: int,
    columns: int,
    glyphs: Glyphs,
    mistakes: Iterable[int] = (),
    notes: Iterable[int] = (),
    different: Iterable[int] = (),
) -> str:
    """`columns` signs for places 0 to `places`; where several fall together a mistake is shown first, then a
    difference, then a note."""
    used = min(columns, places)
    signs = [_USUAL[glyphs is Glyphs.ASCII]] * used
    for sign, marked in ((NOTE, notes), (DIFFERENT, different), (MISTAKE, mistakes)):
        for place in marked:
            signs[column(place, places, used)] = sign
    return "".join(signs)


def pointer(place: int, places: int, columns: int, glyphs: Glyphs) -> str:
    """The line under the track: a sign under the place."""
    return " " * column(place, places, min(columns, places)) + _POINTER[glyphs is Glyphs.ASCII]

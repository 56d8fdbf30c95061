"""Large figures as a 3 by 5 dot font of our own: digits, sign, point and the few marks an entry needs."""

import numpy as np
from numpy.typing import NDArray

HEIGHT = 5

_FONT = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    "-": ("   ", "   ", "###", "   ", "   "),
    "+": ("   ", " # ", "###", " # ", "   "),
    ".": (" ", " ", " ", " ", "#"),
    "/": ("  #", "  #", " # ", "#  ", "#  "),
    "*": ("   ", "# #", " # ", "# #", "   "),
    "?": ("###", "  #", " ##", "   ", " # "),
    "_": ("   ", "   ", "   ", "   ", "###"),
    " ": (" ", " ", " ", " ", " "),
    "D": ("## ", "# #", "# #", "# #", "## "),
    "m": ("     ", "     ", "#####", "# # #", "# # #"),
    "°": ("###", "# #", "###", "   ", "   "),
}


def dots(text: str) -> NDArray[np.bool_]:
    """The dots of `text`, shape (5, width), one empty column between characters.

    Raises:
        ValueError: a character the font does not have.
    """
    columns: list[list[bool]] = []
    for character in text:
        rows = _rows(character)
        if columns:
            columns.append([False] * HEIGHT)
        columns.extend([row[x] == "#" for row in rows] for x in range(len(rows[0])))
    return np.array(columns, dtype=np.bool_).reshape(-1, HEIGHT).T


def _rows(character: str) -> tuple[str, ...]:
    try:
        return _FONT[character]
    except KeyError:
        raise ValueError(f"no large figure for {character!r}; there are {''.join(_FONT)!r}") from None

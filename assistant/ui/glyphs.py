"""How this terminal can draw: many colours, sixteen colours, or plain ASCII; and what each ink looks like.

Colours never carry a meaning alone: in ASCII every ink has its own character, and pictures repeat every
meaning by shape and by place.
"""

from collections.abc import Mapping
from enum import StrEnum

from assistant.ui.shapes import Ink

FORCED = "ASSISTANT_GLYPHS"
"""Environment variable that forces a mode by its name."""


class Glyphs(StrEnum):
    TRUECOLOR = "truecolor"
    SIXTEEN = "sixteen"
    """Fine glyphs in the sixteen colours every colour terminal has."""
    ASCII = "ascii"
    """Characters below 0x7f only; sixteen colours."""


COLOURS = {
    Glyphs.TRUECOLOR: {
        Ink.LINE: "#f4f1e6",
        Ink.DIM: "#7d8794",
        Ink.GLASS: "#2f5f73",
        Ink.LIT: "#f2b705",
        Ink.METAL: "#a9b4c0",
        Ink.RIGHT: "#3fbf7f",
        Ink.WRONG: "#f0624d",
        Ink.WAIT: "#b79cf0",
    },
    # Values of the sixteen-colour palette itself, so that a terminal's nearest match is exact.
    Glyphs.SIXTEEN: {
        Ink.LINE: "#ffffff",
        Ink.DIM: "#555555",
        Ink.GLASS: "#00aaaa",
        Ink.LIT: "#ffff55",
        Ink.METAL: "#aaaaaa",
        Ink.RIGHT: "#55ff55",
        Ink.WRONG: "#ff5555",
        Ink.WAIT: "#ff55ff",
    },
}
COLOURS[Glyphs.ASCII] = COLOURS[Glyphs.SIXTEEN]

ASCII_AREA = {
    Ink.LINE: "H",
    Ink.DIM: ":",
    Ink.GLASS: ".",
    Ink.LIT: "#",
    Ink.METAL: "=",
    Ink.RIGHT: "O",
    Ink.WRONG: "X",
    Ink.WAIT: "%",
}

_IN_ASCII = str.maketrans({"°": " deg", "Δ": "pD", "—": "-", "·": "|", "“": '"', "”": '"'})


def for_terminal(text: str, glyphs: Glyphs) -> str:
    """The same with signs that an ASCII terminal lacks written out."""
    return text.translate(_IN_ASCII) if glyphs is Glyphs.ASCII else text


def detect(environ: Mapping[str, str], encoding: str | None) -> Glyphs:
    """The mode for a terminal described by its environment and its output encoding.

    ASSISTANT_GLYPHS forces one. The Linux console's font and any encoding other than UTF-8 get ASCII.

    Raises:
        ValueError: ASSISTANT_GLYPHS names no mode.
    """
    forced = environ.get(FORCED, "")
    if forced:
        return _named(forced)
    plain = environ.get("TERM", "") in ("linux", "dumb", "vt100", "vt220")
    if plain or "utf" not in (encoding or "").lower():
        return Glyphs.ASCII
    if environ.get("COLORTERM", "").lower() in ("truecolor", "24bit"):
        return Glyphs.TRUECOLOR
    return Glyphs.SIXTEEN


def _named(name: str) -> Glyphs:
    try:
        return Glyphs(name.lower())
    except ValueError:
        allowed = ", ".join(Glyphs)
        raise ValueError(f"{FORCED} is {name!r}; allowed are {allowed}") from None

"""The 17 keys of a number pad, under every name a terminal gives them, as what they mean at a bench.

Terminals send keypad keys as characters, as named keys, or (NumLock off) as cursor keys: see the tests for
the sequences. Nothing here knows Textual; a key comes in as its name and its character.
"""

from dataclasses import dataclass
from enum import StrEnum


class Act(StrEnum):
    TYPE = "type"
    ACCEPT = "accept"
    BACK = "back"
    AGAIN = "again"
    HELP = "help"
    NUMLOCK = "numlock"
    """NumLock is off: the keypad sends cursor keys."""
    TALK = "talk"
    """Push-to-talk: the space bar, or a foot switch that sends it. Not on the pad."""
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Pressed:
    act: Act
    character: str = ""


_BY_CHARACTER = {
    "*": Pressed(Act.AGAIN),
    "/": Pressed(Act.HELP),
    "\r": Pressed(Act.ACCEPT),
    "\n": Pressed(Act.ACCEPT),
    "\b": Pressed(Act.BACK),
    " ": Pressed(Act.TALK),
    "\x7f": Pressed(Act.BACK),
    ",": Pressed(Act.TYPE, "."),
} | {character: Pressed(Act.TYPE, character) for character in "0123456789.+-"}
_BY_NAME = {
    "enter": Pressed(Act.ACCEPT),
    "ctrl+j": Pressed(Act.ACCEPT),
    "ctrl+m": Pressed(Act.ACCEPT),
    "kp_enter": Pressed(Act.ACCEPT),
    "backspace": Pressed(Act.BACK),
    "ctrl+h": Pressed(Act.BACK),
    "decimal": Pressed(Act.TYPE, "."),
    "full_stop": Pressed(Act.TYPE, "."),
    "kp_decimal": Pressed(Act.TYPE, "."),
    "separator": Pressed(Act.TYPE, "."),
    "comma": Pressed(Act.TYPE, "."),
    "add": Pressed(Act.TYPE, "+"),
    "plus": Pressed(Act.TYPE, "+"),
    "kp_add": Pressed(Act.TYPE, "+"),
    "subtract": Pressed(Act.TYPE, "-"),
    "minus": Pressed(Act.TYPE, "-"),
    "kp_subtract": Pressed(Act.TYPE, "-"),
    "multiply": Pressed(Act.AGAIN),
    "asterisk": Pressed(Act.AGAIN),
    "kp_multiply": Pressed(Act.AGAIN),
    "divide": Pressed(Act.HELP),
    "slash": Pressed(Act.HELP),
    "kp_divide": Pressed(Act.HELP),
    **{f"kp_{digit}": Pressed(Act.TYPE, str(digit)) for digit in range(10)},
}
_NUMLOCK_OFF = frozenset(
    (
        "home",
        "end",
        "insert",
        "delete",
        "pageup",
        "pagedown",
        "up",
        "down",
        "left",
        "right",
        "kp_begin",
        "clear",
    )
)


def pressed(name: str, character: str | None) -> Pressed:
    """What a key means: by its character first, since keypads agree on characters and not on names."""
    if character is not None and character in _BY_CHARACTER:
        return _BY_CHARACTER[character]
    if name in _BY_NAME:
        return _BY_NAME[name]
    if name in _NUMLOCK_OFF:
        return Pressed(Act.NUMLOCK)
    return Pressed(Act.NONE)

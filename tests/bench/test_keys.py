"""The pad's own escape sequences, through Textual's parser, mean what is printed on the keys."""

import pytest
from textual import events
from textual._xterm_parser import XTermParser

from assistant.bench.keys import Act, Pressed, pressed

APPLICATION_KEYPAD = {
    "\x1bOj": Pressed(Act.AGAIN),
    "\x1bOk": Pressed(Act.TYPE, "+"),
    "\x1bOm": Pressed(Act.TYPE, "-"),
    "\x1bOn": Pressed(Act.TYPE, "."),
    "\x1bOo": Pressed(Act.HELP),
    "\x1bOM": Pressed(Act.ACCEPT),
    **{f"\x1bO{chr(ord('p') + digit)}": Pressed(Act.TYPE, str(digit)) for digit in range(10)},
}
"""Keypad sequences of the VT100 in application mode (DEC VT100 user guide, table 3-8)."""
PLAIN = {
    "*": Pressed(Act.AGAIN),
    "/": Pressed(Act.HELP),
    "\r": Pressed(Act.ACCEPT),
    "\n": Pressed(Act.ACCEPT),
    "\x7f": Pressed(Act.BACK),
    "\x08": Pressed(Act.BACK),
    ".": Pressed(Act.TYPE, "."),
    ",": Pressed(Act.TYPE, "."),
    "-": Pressed(Act.TYPE, "-"),
    "+": Pressed(Act.TYPE, "+"),
    "7": Pressed(Act.TYPE, "7"),
}
KITTY = {
    "\x1b[57399u": Pressed(Act.TYPE, "0"),
    "\x1b[57408u": Pressed(Act.TYPE, "9"),
    "\x1b[57409u": Pressed(Act.TYPE, "."),
    "\x1b[57410u": Pressed(Act.HELP),
    "\x1b[57411u": Pressed(Act.AGAIN),
    "\x1b[57412u": Pressed(Act.TYPE, "-"),
    "\x1b[57413u": Pressed(Act.TYPE, "+"),
    "\x1b[57414u": Pressed(Act.ACCEPT),
}
"""Keypad codes of the kitty keyboard protocol, which some terminals use."""
NUMLOCK_OFF = [
    "\x1b[H",
    "\x1b[F",
    "\x1b[A",
    "\x1b[B",
    "\x1b[C",
    "\x1b[D",
    "\x1b[2~",
    "\x1b[5~",
    "\x1b[6~",
    "\x1b[E",
]


def parsed(sequence: str) -> Pressed:
    parser = XTermParser()
    keys = [event for event in (*parser.feed(sequence), *parser.feed("")) if isinstance(event, events.Key)]
    assert keys, repr(sequence)
    return pressed(keys[0].key, keys[0].character)


@pytest.mark.parametrize(("sequence", "meaning"), {**APPLICATION_KEYPAD, **PLAIN, **KITTY}.items())
def test_a_key_means_what_is_printed_on_it(sequence: str, meaning: Pressed) -> None:
    assert parsed(sequence) == meaning


@pytest.mark.parametrize("sequence", NUMLOCK_OFF)
def test_numlock_off_is_noticed(sequence: str) -> None:
    assert parsed(sequence).act is Act.NUMLOCK


@pytest.mark.parametrize("name", ["escape", "tab", "f1", "ctrl+q", "a"])
def test_other_keys_mean_nothing(name: str) -> None:
    assert pressed(name, None if len(name) > 1 else name).act is Act.NONE

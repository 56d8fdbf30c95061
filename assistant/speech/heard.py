"""What the ear tells the bench. The bench needs to know nothing else about sound."""

from dataclasses import dataclass
from enum import StrEnum


class HeardKind(StrEnum):
    READ_BACK = "read_back"
    """A value was heard and is being read back: show `text` as if keyed; Enter is `Voice.confirm(True)`."""
    ANSWER = "answer"
    """Confirmed: `text` is the entry as the keypad would have keyed it, "" where Enter alone is wanted."""
    COMMAND = "command"
    """`text` is again, back, help or stop."""
    REFUSED = "refused"
    """Not understood, or not allowed here; it is being asked again. `text` is the reason's code."""
    KEYPAD = "keypad"
    """Twice refused: show the keypad picture. Listening goes on."""
    TROUBLE = "trouble"
    """Listening has ended because sound failed; `text` is the code. The entry is keyed."""


@dataclass(frozen=True, slots=True)
class HeardEntry:
    kind: HeardKind
    text: str = ""
    heard: str = ""
    """The words, as recognised."""
    clip: str | None = None
    """File name of the kept recording."""

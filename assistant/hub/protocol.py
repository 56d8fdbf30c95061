"""What goes over the wire, as values with their limits. Pure.

A bench sends the lines of its record just as they stand on its disk; the board answers with the number of
the line it wants next. So sending twice, out of order or after a loss needs no rule of its own: what is
there already is compared and passed over, what does not follow yet is asked for again.
"""

import hashlib
import re
from collections.abc import Mapping
from dataclasses import fields
from typing import Annotated, Any, Final, TypeVar

import msgspec

from assistant.kit.profile import Kit

MOST_LINES: Final = 200
MOST_LINE_BYTES: Final = 262_144
"""The longest line says what others hold of every pocket, about ten bytes each (`events.BankShared`)."""
MOST_BODY_BYTES: Final = 1_048_576
MOST_SMALL_BODY_BYTES: Final = 4_096
MOST_POCKETS: Final = 8
"""A pair promises two lenses; a reservation for more is no pair."""
PAIRING_DIGITS: Final = 6
HEARTBEAT_S: Final = 2.0
"""A bench with nothing to tell says so this often."""
ASKING_HEARTBEAT_S: Final = 0.4
"""And this often while a question of its own is open: the reply brings the answer, should the mail not."""
SILENT_S: Final = 6.0
"""After so long without a word the other side is taken to be gone."""

_END: Final = r"$(?!\n)"
"""The end of a pattern; `$` alone lets a newline follow."""
Name = Annotated[str, msgspec.Meta(min_length=1, max_length=40, pattern=f"^[A-Za-z0-9-]+{_END}")]
Seq = Annotated[int, msgspec.Meta(ge=1, le=2**53)]
Count = Annotated[int, msgspec.Meta(ge=0, le=100_000)]
Wanted = Annotated[int, msgspec.Meta(ge=1, le=4)]
Pocket = Annotated[int, msgspec.Meta(ge=0, le=1_000_000)]
Seconds = Annotated[float, msgspec.Meta(ge=0, le=1e12)]
SupervisorCode = Annotated[str, msgspec.Meta(min_length=1, max_length=20, pattern=f"^[0-9]+{_END}")]
LineText = Annotated[str, msgspec.Meta(min_length=1, max_length=MOST_LINE_BYTES)]
Mark = Annotated[str, msgspec.Meta(min_length=16, max_length=64, pattern=f"^[0-9a-f]+{_END}")]
MOST_TEXT: Final = 200
"""Characters of a text that somebody typed."""
_ONE_LINE: Final = f"^[^\\x00-\\x1f\\x7f]*{_END}"
Text = Annotated[str, msgspec.Meta(max_length=MOST_TEXT, pattern=_ONE_LINE)]
"""One line, without control characters."""


class _Message(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    pass


class Pair(_Message, frozen=True):
    """A bench asks to be let in."""

    bench: Name
    code: Annotated[str, msgspec.Meta(pattern=f"^[0-9]{{{PAIRING_DIGITS}}}{_END}")]
    kit: Mark


class Paired(_Message, frozen=True):
    token: str


class Upload(_Message, frozen=True):
    """Lines of the record from number `first` on, each without its newline; none is a sign of life."""

    first: Seq
    lines: Annotated[list[LineText], msgspec.Meta(max_length=MOST_LINES)]
    have: Annotated[int, msgspec.Meta(ge=0, le=2**53)]
    """Number of the last line on the bench's disk."""
    now: Seconds
    """By the bench's clock, seconds since 1970-01-01 UTC."""
    kit: Mark
    knows: Annotated[str, msgspec.Meta(max_length=64)] = ""
    """`elsewhere_mark` of what the bench last heard of the others; empty for nothing yet."""


class Answer(_Message, frozen=True, tag_field="kind", tag="answer"):
    """The supervisor's answer to the question that line `question` of the bench's record opened."""

    question: Seq
    yes: bool
    code: SupervisorCode
    reason: Text = ""


class Counted(_Message, frozen=True, tag_field="kind", tag="counted"):
    """The supervisor counted a pocket; this bench keeps the count in its record, once."""

    pocket: Pocket
    count: Count
    counted_at: Seconds
    """By the board's clock; no two counts have the same."""


Mail = Answer | Counted
"""What the board sends to one bench."""


class Taken(_Message, frozen=True):
    """The number of the line the board wants next."""

    next: int
    elsewhere: dict[int, int] | None = None
    """What other benches hold now, by pocket (see `events.BankShared`), where the bench knows otherwise."""
    mail: list[Mail] = []
    """What the board sent and the record does not hold yet; a bench takes each once, however it comes."""


class Reserve(_Message, frozen=True):
    """May this bench promise these lenses? Pockets to lenses."""

    line: Seq
    """The number the line that promises them will have."""
    wanted: Annotated[dict[Pocket, Wanted], msgspec.Meta(max_length=MOST_POCKETS)]
    free: Annotated[dict[Pocket, Count], msgspec.Meta(max_length=MOST_POCKETS)]
    """By the bench's own book: in the pocket and not promised."""


class Reserved(_Message, frozen=True):
    granted: bool
    elsewhere: dict[int, int]


class Refused(_Message, frozen=True):
    """Why a request was not carried out: what, where, what is allowed, in one sentence."""

    code: str
    what: str


class Login(_Message, frozen=True):
    code: SupervisorCode


class AnswerGiven(_Message, frozen=True):
    """From the board's page: an answer for a bench; the code is the one logged in with."""

    bench: Name
    question: Seq
    yes: bool
    reason: Text = ""


class CountGiven(_Message, frozen=True):
    pocket: Pocket
    count: Count


class BenchNamed(_Message, frozen=True):
    bench: Name


class BadMessage(ValueError):  # noqa: N818 - says what happened
    """A message that is not of its kind; the sentence names what and where."""


T = TypeVar("T")


def decode(data: bytes, kind: type[T]) -> T:
    """The message that `data` holds. Raises `BadMessage`."""
    try:
        return msgspec.json.decode(data, type=kind)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise BadMessage(str(error)) from error


def decode_mail(data: bytes) -> Mail:
    """What the board sent. Raises `BadMessage`."""
    mail: Any = Mail
    message: Mail = decode(data, mail)
    return message


def encode(message: msgspec.Struct) -> bytes:
    return msgspec.json.encode(message)


def is_one_line(text: str) -> bool:
    """Whether a text may be sent as it is: one line that can be written, without control characters."""
    return re.match(_ONE_LINE, text) is not None and not any("\ud800" <= sign <= "\udfff" for sign in text)


def elsewhere_mark(elsewhere: Mapping[int, int]) -> str:
    """A short mark of what the others hold, the same at bench and board."""
    return hashlib.sha256(repr(sorted(elsewhere.items())).encode()).hexdigest()[:16]


def kit_mark(kit: Kit) -> str:
    """A short mark of everything a kit says; benches and board fold alike only with equal kits."""
    bank = kit.bank
    columns = (bank.sphere, bank.cylinder, bank.count, bank.pocket)
    rows = [column.tolist() for column in columns]
    figures = [(field.name, getattr(kit, field.name)) for field in fields(kit) if field.name != "bank"]
    told = repr((figures, rows, bank.check_number))
    return hashlib.sha256(told.encode()).hexdigest()[:32]

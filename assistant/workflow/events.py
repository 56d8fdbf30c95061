"""What can happen at a bench. Events are frozen, hold everything the fold needs (times included), and are
all that is ever written to the record.
"""

from enum import StrEnum

import msgspec

from assistant.optics.order import Order


class Source(StrEnum):
    KEYPAD = "keypad"
    VOICE = "voice"


class Room(StrEnum):
    """How well one can listen in a room, measured while nobody speaks."""

    GOOD = "good"
    MIDDLING = "middling"
    BAD = "bad"
    """Too loud, overdriven, or a microphone that gives nothing."""


class _Event(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag_field="kind"):
    at: float
    """Seconds since 1970-01-01 UTC by the bench's own clock."""


class DayOpened(_Event, frozen=True, tag="day_opened", omit_defaults=True):
    """A new day at this bench: the start-of-day checks come first."""

    date: str
    brought: dict[str, str] = {}
    """Languages that may be chosen after the program's own, in the order of their numbers: the code of each, and
    that of the language which the bench then speaks."""


class OrderHandedOver(_Event, frozen=True, tag="order_handed_over"):
    """The clinician's order reached this bench's queue."""

    order: Order


class Answered(_Event, frozen=True, tag="answered"):
    """One entry, as keyed or as accepted after read-back. `text` is kept exactly as it came."""

    step: str
    field: str
    text: str
    source: Source = Source.KEYPAD
    heard: str | None = None
    """The words the recogniser gave, when spoken."""
    clip: str | None = None
    """File name of the kept recording, beside the record."""


class VoiceTried(_Event, frozen=True, tag="voice_tried"):
    """It is to be found out whether the helper is understood: the room was measured, numbers were drawn."""

    numbers: tuple[str, ...]
    """What the helper is asked to say, two digits each."""
    room: Room | None = None
    """None: the room was not measured."""
    noise_db: float | None = None
    """The loudest tenth of the quiet room, decibels below full scale."""
    clipped: float | None = None
    """Part of the samples at the microphone's stop."""


class TakenBack(_Event, frozen=True, tag="taken_back"):
    """The last entry is taken back. Nothing is erased: this line stands after it."""


class AskedAgain(_Event, frozen=True, tag="asked_again"):
    """The helper asked to hear the step again."""


class HelpAsked(_Event, frozen=True, tag="help_asked"):
    """The helper calls for the supervisor."""


class SupervisorAnswered(_Event, frozen=True, tag="supervisor_answered"):
    """The supervisor's yes or no, from the board."""

    yes: bool
    code: str
    reason: str = ""


class StockCounted(_Event, frozen=True, tag="stock_counted"):
    """The supervisor counted a pocket. It is trusted again."""

    pocket: int
    count: int
    counted_at: float = 0.0
    """When the board was told, by the board's clock: it tells counts apart. 0 for one without a board."""


class BankShared(_Event, frozen=True, tag="bank_shared"):
    """What the other benches hold of the shared bank, as the board last knew it."""

    elsewhere: dict[int, int]
    """Pocket to lenses that this bench's own book counts and may not use."""


Event = (
    DayOpened
    | OrderHandedOver
    | Answered
    | VoiceTried
    | TakenBack
    | AskedAgain
    | HelpAsked
    | SupervisorAnswered
    | StockCounted
    | BankShared
)

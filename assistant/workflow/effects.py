"""What should happen outside after an event. Effects are data; a shell carries them out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from assistant.language.prompts import Spoken
from assistant.workflow.pictures import Picture
from assistant.workflow.steps import FieldKind


class Tone(StrEnum):
    RIGHT = "right"
    WRONG = "wrong"
    WAIT = "wait"


@dataclass(frozen=True, slots=True)
class Say:
    """Speak (and caption) a prompt by its id. Numbers travel as values, never as text."""

    text_id: str
    args: Mapping[str, Spoken | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Show:
    """Draw this picture."""

    picture: Picture


@dataclass(frozen=True, slots=True)
class Listen:
    """Wait for one entry. `low` and `high` bound a number; `digits` fixes a count of digits."""

    step: str
    field: str
    kind: FieldKind
    low: float | None = None
    high: float | None = None
    digits: int | None = None


@dataclass(frozen=True, slots=True)
class Signal:
    """The outcome of the last entry, by sign and by sound."""

    tone: Tone


@dataclass(frozen=True, slots=True)
class Ask:
    """A question for the supervisor is open. `reasons` are codes."""

    question: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leave:
    """The supervisor let the helper leave the program."""


Effect = Say | Show | Listen | Signal | Ask | Leave

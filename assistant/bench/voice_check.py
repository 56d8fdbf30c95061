"""The start of the day finds out whether the helper is understood: numbers are drawn, the room was measured.

Where that could not be, for want of a microphone, it is found out before the next pair.
"""

from itertools import takewhile
from random import Random, SystemRandom
from typing import Final

from assistant.bench.session import Session
from assistant.bench.spoken import Speaks
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.level import Level, face_of_room
from assistant.workflow.effects import Effect, Listen, Show
from assistant.workflow.entry import NOT_HEARD, NOT_SAID
from assistant.workflow.events import Answered, Room, Source, VoiceTried
from assistant.workflow.state import Bench
from assistant.workflow.steps import SAID_FIELDS, FieldKind

_DIGITS: Final = "123456789"
"""No nought: in some languages it has several names, and none of them is missed in eight of nine others."""


def due(bench: Bench) -> bool:
    """Whether sound has just been heard and nothing of the next check is in yet, or an order is to be chosen; and
    nobody was asked before."""
    day = bench.day
    return (
        day is not None
        and day.sound
        and not day.numbers
        and bench.current.step in ("zero", "order")
        and not bench.entries
    )


def keypad_first(bench: Bench) -> bool:
    """Whether the helper was not understood at the start of the day: then nothing is listened for."""
    return bench.day is not None and bench.day.voice is False


def tried(
    session: Session, voice: Speaks | None, effects: tuple[Effect, ...], chance: Random | None = None
) -> tuple[Effect, ...]:
    """`effects`, or what takes their place where the helper is now asked to say numbers."""
    if voice is None or not due(session.bench) or not voice.status().can_listen:
        return effects
    lately = voice.room if session.bench.current.step == "zero" else None
    event = trial(session.now(), lately, chance or SystemRandom())
    outcome = takewhile(lambda effect: not isinstance(effect, Show), effects)
    return (*outcome, *session.submit(event))


def trial(at: float, level: Level | None, chance: Random) -> VoiceTried:
    """The event: every digit comes up at most once, so that eight of the nine are heard."""
    digits = chance.sample(_DIGITS, 2 * len(SAID_FIELDS))
    numbers = tuple(one + other for one, other in zip(digits[::2], digits[1::2], strict=True))
    if level is None:
        return VoiceTried(at=at, numbers=numbers)
    room = Room(face_of_room(level))
    return VoiceTried(
        at=at, numbers=numbers, room=room, noise_db=round(level.speech_db, 1), clipped=round(level.clipped, 5)
    )


def missed(entry: HeardEntry, wanted: Listen | None, at: float) -> Answered | None:
    """The entry of a number that was not understood: twice refused, or nothing can be heard at all."""
    if wanted is None or wanted.kind is not FieldKind.SAID:
        return None
    if entry.kind not in (HeardKind.KEYPAD, HeardKind.TROUBLE):
        return None
    text = NOT_HEARD if entry.kind is HeardKind.TROUBLE else NOT_SAID
    return Answered(at=at, step=wanted.step, field=wanted.field, text=text, source=Source.VOICE)

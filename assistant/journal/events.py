"""The record of a bench: the codec bound to the bench's own events."""

from typing import Final

from assistant.journal.codec import Codec, Line
from assistant.workflow.events import Event

EVENTS: Final[Codec[Event]] = Codec(Event)
EventLine = Line[Event]

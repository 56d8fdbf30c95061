"""Between the bench and its voice: effects become speech, what was heard becomes events. No sound in here."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Final, Protocol

from assistant.language.listening import Listening
from assistant.language.prompts import Spoken, Talk, worded
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.level import Level
from assistant.speech.status import Status
from assistant.speech.synth import Pace
from assistant.speech.tones import OF_SIGNAL, Chime
from assistant.speech.understanding import Asked
from assistant.workflow.effects import Effect, Listen, Say, Signal
from assistant.workflow.events import Answered, AskedAgain, Event, HelpAsked, Source, TakenBack
from assistant.workflow.steps import FieldKind

KEYED_ONLY: Final = frozenset({"supervisor", "sound"})
"""Steps whose answers are not for everybody's ears, or whose question is whether there is sound at all."""


class Speaks(Protocol):
    """The part of `speech.voice.Voice` that a bench uses."""

    def prompt(
        self,
        text_id: str,
        language: str,
        args: Mapping[str, Spoken | str] | None = None,
        pace: Pace = Pace.USUAL,
        own: str = "",
    ) -> None: ...
    def tone(self, kind: Chime) -> None: ...
    def cut(self) -> None: ...
    def listen(self, asked: Asked, on_heard: Callable[[HeardEntry], None]) -> None: ...
    def stop_listening(self) -> None: ...
    def talk(self) -> None: ...
    def confirm(self, yes: bool) -> bool: ...
    def hear_room(self) -> None: ...
    @property
    def room(self) -> Level | None: ...
    def status(self) -> Status: ...
    def close(self) -> None: ...


def asked(wanted: Listen, language: str) -> Asked | None:
    """What to listen for; None where an entry is keyed only."""
    if wanted.step in KEYED_ONLY:
        return None
    if wanted.kind is FieldKind.DONE:
        return Asked(Listening.COMMANDS, language)
    if wanted.kind is FieldKind.SAID:
        return Asked(Listening.CHECK_NUMBER, language, read_back=False)
    may_be_empty = wanted.kind is FieldKind.CHECK_NUMBER
    return Asked(
        Listening[wanted.kind.name],
        language,
        wanted.digits,
        wanted.low,
        wanted.high,
        may_be_empty=may_be_empty,
    )


def perform(
    voice: Speaks,
    effects: Iterable[Effect],
    language: str,
    talk: Talk,
    on_heard: Callable[[HeardEntry], None],
    pace: Pace = Pace.USUAL,
    by_voice: bool = True,
    own: str = "",
) -> None:
    """Say and sound what the effects ask for, then listen for the entry that is wanted (with `by_voice`).

    `own`: the helper's language, where it has no sentences: it is listened for, and its recordings go first.
    While sound itself is asked about, the room is measured.
    """
    voice.stop_listening()
    wanted: Listen | None = None
    for effect in effects:
        match effect:
            case Signal(tone):
                voice.tone(OF_SIGNAL[tone])
            case Say(text_id, args):
                voice.prompt(worded(text_id, talk), language, args, pace, own)
            case Listen():
                wanted = effect
    question = None if wanted is None or not by_voice else asked(wanted, own or language)
    if question is not None:
        voice.listen(replace(question, prompts=language) if own else question, on_heard)
    elif wanted is not None and wanted.step == "sound":
        voice.hear_room()


def event_of(entry: HeardEntry, wanted: Listen | None, at: float) -> Event | None:
    """The event of something heard; None where it asks for nothing (read-backs, refusals, trouble, stop)."""
    if entry.kind is HeardKind.COMMAND:
        commands: dict[str, Event] = {
            "again": AskedAgain(at=at),
            "back": TakenBack(at=at),
            "help": HelpAsked(at=at),
        }
        return commands.get(entry.text)
    if entry.kind is not HeardKind.ANSWER or wanted is None:
        return None
    return Answered(
        at=at,
        step=wanted.step,
        field=wanted.field,
        text=entry.text,
        source=Source.VOICE,
        heard=entry.heard,
        clip=entry.clip,
    )

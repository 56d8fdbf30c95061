"""Kept recordings of a session heard again by another model: what would have been heard differently."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from assistant.language.keypad import keyed
from assistant.language.listening import Listening
from assistant.replay.moments import Moment
from assistant.speech.clips import FOLDER
from assistant.speech.dialogue import CONFIRM
from assistant.speech.errors import SpeechError
from assistant.speech.hearing import RecogniserOf, Utterance, hear
from assistant.speech.sound import read_sound
from assistant.speech.understanding import Asked
from assistant.workflow.effects import Listen
from assistant.workflow.entry import read_entry
from assistant.workflow.fields import listen_for

AskedFor = Callable[[Listen, str], Asked | None]
"""What a bench listens for when an entry is wanted, in a language; None where it is keyed only."""
_ENTER: Final = ""


@dataclass(frozen=True, slots=True)
class Reheard:
    """One clip: what the bench took it for, and what it would be taken for now."""

    line: int
    clip: str
    heard_then: str
    text_then: str
    heard_now: str = ""
    text_now: str | None = None
    """As the keypad would have keyed it; None where it would be asked again."""
    differs: bool = False
    """Another entry, or none, would have come of it."""
    trouble: str = ""
    """Why it could not be heard at all; empty when it was."""

    @property
    def words(self) -> str:
        """In a sentence, for a trainer."""
        if self.trouble:
            return f"{self.clip} cannot be heard again: {self.trouble}"
        then = f"then “{self.heard_then}”, taken as {self.text_then or 'Enter'}"
        taken = "would be asked again" if self.text_now is None else f"taken as {self.text_now or 'Enter'}"
        verdict = "DIFFERS" if self.differs else "the same"
        return f"{verdict}: {then}; now “{self.heard_now}”, {taken}"


def clip_path(session: Path, clip: str) -> Path:
    """Where a recording of the session at this path lies. Raises `ValueError` for a name that is a path."""
    if Path(clip).name != clip or clip == "..":
        raise ValueError(f"clip {clip!r} is not the name of a file")
    return session.parent / FOLDER / clip


def reheard(session: Path, moment: Moment, recognisers: RecogniserOf, asked_for: AskedFor) -> Reheard | None:
    """The moment's clip heard again, in the language listened for then; None where it has no clip."""
    entry, wanted = moment.entry, listen_for(moment.before)
    if entry is None or entry.clip is None or wanted is None:
        return None
    then = Reheard(moment.line, entry.clip, entry.heard or "", entry.text)
    language = "en" if moment.before.day is None else moment.before.day.heard
    asked = asked_for(wanted, language)
    if asked is None:
        return replace(then, trouble="nothing was listened for here")
    try:
        utterance = hear(read_sound(clip_path(session, entry.clip)), asked, recognisers)
    except (SpeechError, ValueError) as error:
        return replace(then, trouble=str(error))
    text = _text(utterance, asked)
    differs = text is None or read_entry(text, wanted) != read_entry(entry.text, wanted)
    words = utterance.command or utterance.understanding.words
    return replace(then, heard_now=words, text_now=text, differs=differs)


def _text(utterance: Utterance, asked: Asked) -> str | None:
    """What would be keyed for it; None where it is a command, or would be asked again."""
    understanding = utterance.understanding
    if utterance.command is not None or not understanding.accepted or understanding.value is None:
        return None
    if asked.listening is Listening.COMMANDS:
        return _ENTER if understanding.value == CONFIRM else None
    return keyed(understanding.value, asked.listening)


def summed(found: Sequence[Reheard]) -> str:
    """How many recordings there are, which of them differ, and how many cannot be heard."""
    if not found:
        return "nothing was recorded"
    differ = [again for again in found if again.differs]
    where = f" (line {', '.join(str(again.line) for again in differ)})" if differ else ""
    unheard = sum(bool(again.trouble) for again in found)
    return f"{len(found)} recordings: {len(differ)} differ{where}, {unheard} cannot be heard"

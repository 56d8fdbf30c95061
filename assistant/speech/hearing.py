"""One clip to one understanding: in the context of the step, and as a command beside it."""

from collections.abc import Callable, Set
from dataclasses import dataclass

from assistant.language.listening import Listening, Value
from assistant.speech.recogniser import SURE_AT_ONCE, Recogniser
from assistant.speech.sound import Sound
from assistant.speech.understanding import Asked, Recognition, Understanding, understand

RecogniserOf = Callable[[Asked], Recogniser]
ANSWERS = frozenset({"yes", "no"})
"""Commands that mean something only where they are asked for."""


@dataclass(frozen=True, slots=True)
class Utterance:
    """What was said: an answer to what was asked, or a command."""

    understanding: Understanding
    recognition: Recognition
    sound: Sound
    command: str | None = None

    @property
    def silent(self) -> bool:
        """Nothing was said: a noise that started the recording."""
        return not self.understanding.words and self.command is None


def hear(
    sound: Sound, asked: Asked, recognisers: RecogniserOf, refused: Set[Value] = frozenset()
) -> Utterance:
    """Recognise a clip as an answer; where it is none, as a command. Raises `SpeechError` without a model.

    Where "no" is an answer too, a number not heard surely is one only if "no" is heard less surely ("no", "oh oh").
    """
    recognition = recognisers(asked).recognise(sound)
    understanding = understand(recognition, asked, refused)
    sure = understanding.accepted and not (asked.may_be_empty and understanding.confidence < SURE_AT_ONCE)
    if sure or asked.listening is Listening.COMMANDS or not understanding.words:
        return Utterance(understanding, recognition, sound)
    commands = Asked(Listening.COMMANDS, asked.language)
    told = understand(recognisers(commands).recognise(sound), commands)
    empty = told.value == "no" and asked.may_be_empty
    if understanding.accepted and not (empty and told.confidence > understanding.confidence):
        return Utterance(understanding, recognition, sound)
    meant = told.accepted and (told.value not in ANSWERS or empty)
    return Utterance(understanding, recognition, sound, str(told.value) if meant else None)

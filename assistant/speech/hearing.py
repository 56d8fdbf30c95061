"""One clip to one understanding: in the context of the step, and as a command beside it."""

from collections.abc import Callable, Set
from dataclasses import dataclass

from assistant.language.listening import Listening, Value
from assistant.speech.recogniser import Recogniser
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
    """Recognise a clip as an answer; where it is none, as a command. Raises `SpeechError` without a model."""
    recognition = recognisers(asked).recognise(sound)
    understanding = understand(recognition, asked, refused)
    if understanding.accepted or asked.listening is Listening.COMMANDS or not understanding.words:
        return Utterance(understanding, recognition, sound)
    commands = Asked(Listening.COMMANDS, asked.language)
    told = understand(recognisers(commands).recognise(sound), commands)
    meant = told.accepted and (told.value not in ANSWERS or (told.value == "no" and asked.may_be_empty))
    command = str(told.value) if meant else None
    return Utterance(understanding, recognition, sound, command)

"""One clip as an answer or as a command, and between them where "no" is an answer too."""

import numpy as np
import pytest

from assistant.language.listening import Listening
from assistant.speech.hearing import hear
from assistant.speech.recogniser import SURE_AT_ONCE
from assistant.speech.sound import Sound
from assistant.speech.understanding import Alternative, Asked, Recognition

CLIP = Sound(np.zeros(8000, np.int16), 8000)
POCKET = Asked(Listening.CHECK_NUMBER, "en", may_be_empty=True)


class Scripted:
    def __init__(self, words: str, confidence: float) -> None:
        self.heard = Recognition((Alternative(tuple(words.split()), confidence),), 1.0, 0.01)

    def recognise(self, sound: Sound) -> Recognition:
        assert sound is CLIP
        return self.heard


def command_of(number: float, no: float, asked: Asked = POCKET, command: str = "no") -> str | None:
    """What is meant where "oh oh" and a command are heard so surely."""

    def recogniser(asked: Asked) -> Scripted:
        return Scripted(command, no) if asked.listening is Listening.COMMANDS else Scripted("oh oh", number)

    utterance = hear(CLIP, asked, recogniser)
    assert utterance.understanding.words == "oh oh"
    return utterance.command


@pytest.mark.parametrize(
    ("number", "no", "meant"),
    [
        (0.7, 0.98, "no"),
        (0.7, 0.69, None),
        (SURE_AT_ONCE, 1.0, None),
        (0.3, 0.6, "no"),
        (0.3, 0.2, None),
    ],
)
def test_at_a_pocket_no_stands_against_the_number(number: float, no: float, meant: str | None) -> None:
    assert command_of(number, no) == meant


def test_where_no_is_no_answer_a_number_stands() -> None:
    asked = Asked(Listening.CHECK_NUMBER, "en")
    assert command_of(0.7, 0.98, asked) is None
    assert command_of(0.3, 0.98, asked) is None


def test_another_command_does_not_take_a_number_s_place() -> None:
    assert command_of(0.7, 0.98, command="back") is None
    assert command_of(0.3, 0.98, command="back") == "back"

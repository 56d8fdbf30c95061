"""The chime for a new question. It rings once for each; where there is no sound the screen has a sign."""

from assistant.speech.player import Player
from assistant.speech.tones import Chime, chime


def rung() -> None:
    """Ring to the end. Raises `SpeechError` where there is no speaker."""
    Player().play(chime(Chime.WAIT), lambda: True)

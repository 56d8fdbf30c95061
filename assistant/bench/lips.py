"""The virtual helper's voice: what it says is heard by the bench's own ear, and aloud where there is a speaker."""

import threading
from collections.abc import Callable

from assistant.speech.errors import SpeechError
from assistant.speech.fed import FedMicrophone
from assistant.speech.mouth import Plays
from assistant.speech.sound import Sound
from assistant.speech.synth import Synthesiser


class Lips:
    """Says words to the bench's ear, and aloud."""

    def __init__(self, microphone: FedMicrophone, synthesiser: Synthesiser, speaker: Plays) -> None:
        self._microphone, self._synthesiser, self._speaker = microphone, synthesiser, speaker

    @property
    def busy(self) -> bool:
        return self._microphone.busy

    def say(self, words: str, language: str, begun: Callable[[], None]) -> None:
        """Render and hand on; it is said once the bench is silent. Raises `SpeechError` without a synthesiser."""
        sound = self._synthesiser.render(words, language)

        def begin() -> None:
            begun()
            threading.Thread(target=self._aloud, args=(sound,), daemon=True).start()

        self._microphone.feed(sound, begin)

    def hush(self) -> None:
        """What was to be said is keyed instead."""
        self._microphone.hush()

    def close(self) -> None:
        """The room has its microphone back."""
        self._microphone.hand_over()
        self._speaker.cut()
        self._synthesiser.close()

    def _aloud(self, sound: Sound) -> None:
        try:
            self._speaker.play(sound, lambda: True)
        except SpeechError:
            return  # no speaker: the words stand on the screen

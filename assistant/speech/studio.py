"""Where a helper's words are recorded: prompts and tones out, one word in."""

from collections.abc import Callable
from dataclasses import dataclass, field

from assistant.language.lexicon_file import LanguageError
from assistant.language.prompts import say
from assistant.speech.capture import Microphone
from assistant.speech.ear import ECHO_BLOCKS, Takes
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.mouth import Plays
from assistant.speech.pack import Args, Pack
from assistant.speech.player import Player
from assistant.speech.segment import BLOCK_S, Detector, Found, Pauses, Segmenter, best_detector
from assistant.speech.sound import Sound, read_sound
from assistant.speech.synth import Synthesiser
from assistant.speech.tones import Chime, chime

ONE_WORD = Pauses(long_s=0.5, most_s=4.0)
"""A word by itself has no long pause in it."""
PATIENCE_S = 5.0
"""So long a helper may think before the word."""


@dataclass
class Studio:
    """Blocking: for a thread of its own. Without a speaker or a voice it is silent; `trouble` says why the
    last sound was not played."""

    synthesiser: Synthesiser
    pack: Pack
    language: str
    player: Plays = field(default_factory=Player)
    microphone: Takes = field(default_factory=Microphone)
    detector: Callable[[], Detector] = best_detector
    trouble: str = ""

    def open(self) -> None:
        """Raises SpeechError where there is no microphone."""
        self.microphone.open()
        self._segmenter = Segmenter(self.detector(), ONE_WORD)

    def close(self) -> None:
        self.microphone.close()

    def say(self, text_id: str, args: Args | None = None) -> None:
        """A prompt: from the recordings where there are any, else synthesised."""
        given = args or {}
        try:
            recorded = self.pack.sound(text_id, self.language, given, self._rendered)
            self.play(recorded or self._rendered(say(text_id, self.language, **given)))
        except LanguageError as error:
            raise SpeechError(Trouble.NOT_WORDS, str(error)) from error
        except SpeechError as error:
            self.trouble = str(error)

    def word(self, word: str, language: str) -> None:
        """A word's recording in the pack, where there is one."""
        path = self.pack.word_path(language, word)
        if path.is_file():
            self.play(read_sound(path))

    def tone(self, kind: Chime) -> None:
        self.play(chime(kind))

    def play(self, sound: Sound) -> None:
        try:
            self.player.play(sound, lambda: True)
            self.trouble = ""
        except SpeechError as error:
            self.trouble = str(error)

    def take(self) -> Sound | None:
        """One word, from now on; None where nobody speaks. Raises SpeechError when the microphone goes."""
        self.microphone.forget()
        self._segmenter.reset()
        for _ in range(ECHO_BLOCKS):
            self.microphone.block()
        waited = 0.0
        while waited < PATIENCE_S:
            if self._segmenter.feed(self.microphone.block()) is Found.END:
                return self._segmenter.sound()
            waited = 0.0 if self._segmenter.speaking else waited + BLOCK_S
        return None

    def _rendered(self, text: str) -> Sound:
        return self.synthesiser.render(text, self.language)

"""All that the bench knows of sound. Nothing here blocks and nothing raises: without sound it is silent and
deaf, says so in `status`, and the keypad goes on.
"""

import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.language.lexicon_file import LanguageError
from assistant.language.prompts import Spoken, say
from assistant.speech import dialogue
from assistant.speech.capture import Microphone
from assistant.speech.clips import Clips
from assistant.speech.dialogue import Speak, Talk
from assistant.speech.ear import Ear, Listener, RoomListener, Takes
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.hearing import RecogniserOf, Utterance
from assistant.speech.level import Level, measure
from assistant.speech.mouth import Mouth, Plays
from assistant.speech.pack import Pack
from assistant.speech.player import Player
from assistant.speech.segment import Detector, best_detector
from assistant.speech.sound import Sound
from assistant.speech.status import Status
from assistant.speech.synth import Pace, Synthesiser
from assistant.speech.tones import Chime, chime
from assistant.speech.understanding import Asked

OnHeard = Callable[[HeardEntry], None]


@dataclass(frozen=True, slots=True)
class Parts:
    """What a voice is made of; tests put in their own."""

    synthesiser: Synthesiser
    recognisers: RecogniserOf
    pack: Pack
    clips: Clips | None = None
    """None: recordings are not kept."""
    player: Callable[[], Plays] = Player
    microphone: Callable[[], Takes] = Microphone
    detector: Callable[[], Detector] = best_detector


class Voice:
    """Thread-safe. `on_heard` comes from the listening thread (after `confirm`, from the caller); it must not
    wait for a thread that may be calling in here: post a message and return.
    """

    def __init__(self, parts: Parts, push_to_talk: bool = False) -> None:
        """`push_to_talk`: listen only after each call of `talk`."""
        self._parts, self._push_to_talk = parts, push_to_talk
        self._lock = threading.RLock()
        self._status = Status()
        self._talk: Talk | None = None
        self._room: Level | None = None
        self._on_heard: OnHeard = lambda _: None
        self._mouth = Mouth(parts.player(), self._mute, lambda: self._well("speaker"))
        self._ear = Ear(
            parts.microphone(),
            parts.recognisers,
            parts.detector,
            lambda: self._mouth.speaking,
            lambda: self._well("microphone"),
        )

    def say(self, text: str, language: str, pace: Pace = Pace.USUAL) -> None:
        """Speak words, after what is being said. Text with a digit or a sign is not spoken (see `status`)."""
        self._mouth.say(lambda: self._rendered(text, language, pace))

    def prompt(
        self,
        text_id: str,
        language: str,
        args: Mapping[str, Spoken | str] | None = None,
        pace: Pace = Pace.USUAL,
        own: str = "",
    ) -> None:
        """Speak a prompt by its id: from the recordings where there are any, else synthesised.

        `own`: the helper's language, as `Pack.sound` takes it.
        """
        given = args or {}

        def spoken(text: str) -> Sound:
            return self._rendered(text, language, pace)

        def make() -> Sound:
            try:
                recorded = self._parts.pack.sound(text_id, language, given, spoken, own)
                return recorded or spoken(say(text_id, language, **given))
            except LanguageError as error:
                raise SpeechError(Trouble.NOT_WORDS, str(error)) from error

        self._mouth.say(make)

    def tone(self, kind: Chime) -> None:
        self._mouth.say(lambda: chime(kind))

    def cut(self) -> None:
        """A key was pressed: be silent at once. What waits to be said is forgotten."""
        self._mouth.cut()

    def listen(self, asked: Asked, on_heard: OnHeard) -> None:
        """Listen for one entry, once all is said that is waiting. Ends the entry listened for before."""
        with self._lock:
            self._talk, self._on_heard = Talk(asked), on_heard
            if self._push_to_talk:
                self._ear.listen(None)
            else:
                self._attend()

    def hear_room(self) -> None:
        """Measure the room once all is said, while nothing is listened for; `room` has it soon after."""
        with self._lock:
            self._talk, self._room = None, None
            self._ear.listen(RoomListener(self._measured, self._deaf))

    @property
    def room(self) -> Level | None:
        """The room as last measured; None where it was not."""
        with self._lock:
            return self._room

    def talk(self) -> None:
        """Push-to-talk: listen to one utterance now, cutting off what is being said."""
        with self._lock:
            if self._talk is not None:
                self.cut()
                self._attend()

    def stop_listening(self) -> None:
        """The entry was keyed, or nothing is wanted any more."""
        with self._lock:
            self._talk = None
            self._ear.listen(None)

    def confirm(self, yes: bool) -> bool:
        """Enter (or "no" by key) on what is being read back. False when nothing is."""
        with self._lock:
            if self._talk is None or self._talk.candidate is None:
                return False
            self.cut()
            tell = self._carry_out(dialogue.confirmed(self._talk, yes))
        tell()
        return True

    def status(self) -> Status:
        with self._lock:
            return self._status

    @property
    def speaking(self) -> bool:
        """Whether anything is being said or waits to be."""
        return self._mouth.speaking

    def close(self) -> None:
        """Silent and deaf from now on; waits for the threads."""
        self.stop_listening()
        self._ear.close()
        self._mouth.close()
        self._parts.synthesiser.close()

    def _rendered(self, text: str, language: str, pace: Pace) -> Sound:
        sound = self._parts.synthesiser.render(text, language, pace)
        self._well("voice")
        return sound

    def _attend(self) -> None:
        talk = self._talk
        if talk is None or talk.over:
            self._ear.listen(None)
            return
        self.tone(Chime.LISTENING)
        refused = talk.denied if talk.candidate is None else frozenset()
        self._ear.listen(Listener(talk.listening, refused, self._utterance, self._deaf))

    def _utterance(self, utterance: Utterance) -> None:
        """From the listening thread: one utterance for the entry in hand."""
        with self._lock:
            if self._talk is None:
                return
            self._well("microphone", "model")
            if utterance.command is not None:
                answers = dialogue.means_empty(self._talk, utterance.command)
                clip = self._kept(utterance.sound) if answers else None
                told = dialogue.command(self._talk, utterance.command, clip)
            else:
                told = dialogue.heard(self._talk, utterance.understanding, self._kept(utterance.sound))
            tell = self._carry_out(told)
        tell()

    def _carry_out(self, told: dialogue.Told) -> Callable[[], None]:
        """Speak and listen on; gives what is left to do, without the lock: tell the bench."""
        self._talk, effects = told
        asked, on_heard = self._talk.asked, self._on_heard
        own = asked.language if asked.prompts else ""
        entries: list[HeardEntry] = []
        for effect in effects:
            match effect:
                case Speak(text_id, args):
                    self.prompt(text_id, asked.prompts or asked.language, args, own=own)
                case HeardEntry():
                    entries.append(effect)
                case Chime():
                    self.tone(effect)
        if self._push_to_talk:
            self._ear.listen(None)
        else:
            self._attend()

        def tell() -> None:
            for entry in entries:
                on_heard(entry)

        return tell

    def _kept(self, sound: Sound) -> str | None:
        clips = self._parts.clips
        if clips is None:
            return None
        name = clips.keep(sound)
        if clips.trouble:
            self._troubled(Trouble.DISK_FULL, clips.trouble)
        return name

    def _measured(self, sound: Sound) -> None:
        """From the listening thread."""
        with self._lock:
            self._well("microphone")
            self._room = measure(sound)

    def _deaf(self, error: SpeechError) -> None:
        """From the listening thread: it cannot listen. The entry in hand goes to the keypad."""
        with self._lock:
            self._troubled(error.code, str(error))
            wanted, self._talk = self._talk, None
        if wanted is not None:
            self._on_heard(HeardEntry(HeardKind.TROUBLE, error.code))

    def _mute(self, code: Trouble, why: str) -> None:
        """From the speaking thread: it cannot say something."""
        self._troubled(code, why, "speaker")

    def _troubled(self, code: Trouble, why: str, device: str = "microphone") -> None:
        with self._lock:
            self._status = self._status.troubled(code, why, device)

    def _well(self, *names: str) -> None:
        with self._lock:
            self._status = self._status.well(*names)

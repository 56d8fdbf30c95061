"""From the first word of the game to the model that is kept: the same for the full screen and for plain lines."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from assistant.language.prompts import Spoken, say
from assistant.speech.comparison import Base
from assistant.speech.enrolment import Clip
from assistant.speech.enrolment_game import CLIPS, Ended, Game, Turn, Verdict, Wish, turns
from assistant.speech.own_model import Outcome, enrol
from assistant.speech.pack import Args
from assistant.speech.sound import Sound
from assistant.speech.studio import Studio
from assistant.speech.tones import Chime


class HaltedError(Exception):
    """The helper or the supervisor stopped it; what is recorded stays."""


class View(Protocol):
    """What is seen, and the keys. Never blocks for long."""

    def ask(self, turn: Turn, done: int, of: int) -> None: ...
    def listening(self) -> None: ...
    def tell(self, verdict: Verdict | None) -> None: ...
    def caption(self, text: str) -> None: ...
    def progress(self, done: int, of: int) -> None: ...
    def result(self, good: bool) -> None: ...
    def wish(self) -> Wish | None: ...


@dataclass(frozen=True, slots=True)
class Enrolment:
    """Who is enrolled: in which language, from which model, into which folder."""

    helper: str
    language: str
    base: Base
    own: Path
    prompts: str
    """The language that the helper is spoken to in: that one where it has prompts."""


ReadClips = Callable[[Path], list[Clip]]


class Lesson:
    """The stage of the game, over a studio and a view; then the fit."""

    def __init__(self, of: Enrolment, studio: Studio, read_clips: ReadClips) -> None:
        self._of, self._studio, self._read_clips = of, studio, read_clips
        self._view: View

    def give(self, view: View) -> str:
        """Play, fit, compare, tell the helper; the sentence for the supervisor.

        Raises what the studio and `enrol` raise; what was recorded stays.
        """
        self._view = view
        wanted = turns(self._of.language, self._of.own / CLIPS)
        try:
            if wanted and (broken_off := self._played(wanted)):
                return broken_off
            return self._fitted()
        except HaltedError:
            return "stopped before the end of the fit; start again and it goes on from the recordings"

    def _played(self, wanted: tuple[Turn, ...]) -> str:
        """Why the game ended before its end; empty when all is said."""
        game = Game(wanted, self)
        self._studio.open()
        try:
            self._say("enrol-start")
            ended = game.play()
        finally:
            self._studio.close()
        left = len(wanted) - game.kept
        if ended is Ended.DONE and not left:
            return ""
        self._say("enrol-stopped")
        silent = "nobody was heard; look at the microphone; " if ended is Ended.SILENT else ""
        return f"{silent}{game.kept} words recorded, {left} are left; start again and it goes on from there"

    def _fitted(self) -> str:
        of = self._of
        self._say("enrol-fitting")
        outcome = enrol(of.base, of.language, self._read_clips(of.own / CLIPS), of.own, self._progress)
        self._view.result(outcome.kept)
        self._studio.tone(Chime.DONE if outcome.kept else Chime.WAIT)
        self._say(_told(outcome))
        return f"{of.helper}: {outcome.sentence}"

    def _progress(self, done: int, of: int) -> None:
        self._view.progress(done, of)
        if self._view.wish() is Wish.STOP:
            raise HaltedError

    def _say(self, text_id: str, args: Args | None = None) -> None:
        self._view.caption(say(text_id, self._of.prompts, **(args or {})))
        self._studio.say(text_id, args)

    def ask(self, turn: Turn, done: int, of: int) -> None:
        self._view.ask(turn, done, of)
        if self._of.prompts == self._of.language:
            self._say("enrol-word", {"value": Spoken(turn.kind, turn.value)})
        else:  # no voice speaks it: a recording does, or somebody who can read
            self._view.caption(turn.word)
            self._studio.word(turn.word, self._of.language)
        self._studio.tone(Chime.LISTENING)
        self._view.listening()

    def take(self) -> Sound | None:
        return self._studio.take()

    def tell(self, verdict: Verdict | None) -> None:
        self._view.tell(verdict)
        self._studio.tone(Chime.HEARD if verdict is Verdict.GOOD else Chime.REFUSED)
        if verdict is not Verdict.GOOD:
            self._say("refused-nothing_heard" if verdict is None else f"enrol-{verdict}")

    def play(self, sound: Sound) -> None:
        self._studio.play(sound)

    def wish(self) -> Wish | None:
        return self._view.wish()


def _told(outcome: Outcome) -> str:
    if not outcome.kept:
        return "enrol-not-kept"
    return "enrol-better" if outcome.compared.better else "enrol-as-good"

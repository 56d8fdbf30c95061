"""The bench on a full terminal. It turns keys into events and effects into pictures; it decides nothing."""

from collections.abc import Iterable
from typing import ClassVar, Final

from textual import events
from textual.app import App
from textual.binding import BindingType
from textual.message import Message
from textual.widgets import Static

from assistant.bench import spoken, voice_check
from assistant.bench.beside import Beside
from assistant.bench.captions import caption, language_of, own_language, summed_up
from assistant.bench.keys import Act, Pressed, pressed
from assistant.bench.linked import Arrivals, LinkedSession
from assistant.bench.screen import BenchScreen
from assistant.bench.session import Session
from assistant.language.prompts import Talk
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.synth import Pace
from assistant.ui.glyphs import Glyphs
from assistant.workflow.agenda import trail
from assistant.workflow.effects import Effect, Listen, Say
from assistant.workflow.events import Answered, AskedAgain, Event, HelpAsked, TakenBack
from assistant.workflow.pictures import Outcome

MAIL_S = 0.1
"""How often the board's mail is looked for."""
LEAVING: Final = ("ctrl+c", "ctrl+q")
LONGEST_ENTRY = 8
"""No figure of the job is longer; further keys are refused by sound, not dropped unseen."""


class Heard(Message):
    """Something came from the listening thread, for the entry that was wanted then."""

    def __init__(self, entry: HeardEntry, wanted: Listen | None) -> None:
        super().__init__()
        self.entry, self.wanted = entry, wanted


class BenchApp(App[None]):
    CSS_PATH = "bench.tcss"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    BINDINGS: ClassVar[list[BindingType]] = [(key, "leave", "") for key in LEAVING]

    leavable = False
    """Whether `LEAVING` leaves. A bench is left by the supervisor's code, not by a slip of the hand; practice and
    demonstration make nothing for a wearer. Set before the app runs."""
    note = ""
    """A line under the caption for somebody who sees this for the first time, and reads. Set before the app runs."""

    def __init__(
        self,
        session: Session,
        opening: Iterable[Effect],
        glyphs: Glyphs,
        voice: spoken.Speaks | None = None,
        talk: Talk = Talk.USUAL,
    ) -> None:
        super().__init__()
        self._voice, self._talk = voice, talk
        self._read_back = self._deaf = False
        self.session, self._opening = session, tuple(opening)
        self._bench_screen = BenchScreen(glyphs)
        self._listening: Listen | None = None
        self._typed = ""
        self._waiting = False
        """The supervisor has just been called."""
        self.caption = ""
        """What stands under the picture, as the helper hears it."""
        self.arrivals: Arrivals | None = None
        """The board's mail, for a bench that has a board. Set before the app runs."""
        self.beside: Beside | None = None
        """What lies beside the picture in practice. Set before the app runs."""

    @property
    def reading_back(self) -> bool:
        """What stands as the entry was heard, and waits for its yes."""
        return self._read_back

    @property
    def typed(self) -> str:
        """What stands in the entry."""
        return self._typed

    async def on_mount(self) -> None:
        await self.push_screen(self._bench_screen)
        if self.note:
            await self._bench_screen.query_one("#captions").mount(Static(self.note, id="note", markup=False))
        self.perform(self._opening)
        if self.arrivals is not None:
            self.set_interval(MAIL_S, self._take_mail)

    def _take_mail(self) -> None:
        """What the board sent, and whether it is there. An entry half typed stays."""
        if (
            not self._bench_screen.standing
            or self.arrivals is None
            or not isinstance(self.session, LinkedSession)
        ):
            return
        self._bench_screen.show_board(there=not self.session.alone)
        for mail in self.arrivals.now():
            typed, listening = self._typed, self._listening
            effects = self.session.received(mail)
            if effects:
                self.perform(effects)
            if self._listening == listening:
                self._typed = typed
                self._show_entry()

    def action_leave(self) -> None:
        if self.leavable:
            self.exit()
        else:
            self.bell()

    def on_key(self, event: events.Key) -> None:
        event.stop()
        self.press(pressed(event.key, event.character))

    def press(self, key: Pressed) -> None:
        """A key of the pad, whoever presses it."""
        if self._voice is not None and not self._read_back:
            self._voice.cut()
        match key.act:
            case Act.TYPE:
                self._type(key.character)
            case Act.ACCEPT:
                self._accept()
            case Act.BACK:
                self._take_back()
            case Act.AGAIN:
                self._again(AskedAgain(at=self.session.now()))
            case Act.HELP:
                self._submit(HelpAsked(at=self.session.now()))
            case Act.TALK if self._voice is not None:
                self._voice.talk()
            case Act.NUMLOCK:
                self._say_only(Say("numlock"))

    def _type(self, character: str) -> None:
        if self._listening is None or len(self._typed) >= LONGEST_ENTRY:
            self.bell()
            return
        if self._read_back and self._voice is not None:
            self._voice.stop_listening()
            self._read_back, self._typed = False, ""
        self._typed += character
        self._show_entry()

    def _accept(self) -> None:
        if self._listening is None:
            self.bell()
            return
        if self._read_back and self._voice is not None and self._voice.confirm(True):
            return
        wanted, typed = self._listening, self._typed
        self._submit(Answered(at=self.session.now(), step=wanted.step, field=wanted.field, text=typed))

    def _take_back(self) -> None:
        """The last digit first; with nothing typed, the last entry. A read-back is answered with no."""
        if self._read_back and self._voice is not None and self._voice.confirm(False):
            self._read_back, self._typed = False, ""
            self._show_entry()
            return
        if self._typed:
            self._typed = self._typed[:-1]
            self._show_entry()
            return
        self._submit(TakenBack(at=self.session.now()))

    def _submit(self, event: Event) -> None:
        self.perform(voice_check.tried(self.session, self._voice, self.session.submit(event)))

    def _again(self, event: AskedAgain) -> None:
        """Once more, slower and in full."""
        effects = self.session.submit(event)
        self._show(effects)
        self._speak(effects, Talk.LEARNER, Pace.SLOW)

    def _speak(self, effects: tuple[Effect, ...], talk: Talk, pace: Pace = Pace.USUAL) -> None:
        if self._voice is not None:
            wanted = self._listening
            spoken.perform(
                self._voice,
                effects,
                language_of(self.session.bench),
                talk,
                lambda entry: self._posted(Heard(entry, wanted)),
                pace,
                by_voice=not voice_check.keypad_first(self.session.bench),
                own=own_language(self.session.bench),
            )

    def _posted(self, heard: Heard) -> None:
        """From the listening thread."""
        self.post_message(heard)

    def on_heard(self, message: Heard) -> None:
        """Act on what was heard, unless the entry it was meant for has been keyed meanwhile."""
        if message.wanted is not self._listening:
            return
        entry = message.entry
        now = self.session.now()
        event = spoken.event_of(entry, message.wanted, now) or voice_check.missed(entry, message.wanted, now)
        if isinstance(event, AskedAgain):
            self._again(event)
        elif event is not None:
            self._submit(event)
        elif entry.kind is HeardKind.READ_BACK:
            self._read_back, self._typed = True, entry.text
            self._show_entry()
        elif entry.kind is HeardKind.TROUBLE:
            self._gone_deaf()
        else:
            self._read_back, self._typed = False, ""
            self._show_entry()
            if entry.kind is HeardKind.KEYPAD:
                self._bench_screen.show_keypad_first(True)

    def _gone_deaf(self) -> None:
        """Said once; the step's own sentence stays, and the keypad goes on."""
        if not self._deaf:
            self._deaf = True
            self.bell()
            self._caption(f"{caption(Say('sound-off'), language_of(self.session.bench))}\n{self.caption}")

    def perform(self, effects: Iterable[Effect]) -> None:
        """Carry out effects, on the screen and aloud."""
        effects = tuple(effects)
        self._show(effects)
        self._speak(effects, self._talk)

    def _show(self, effects: tuple[Effect, ...]) -> None:
        """Carry out effects: outcome, picture, caption, entry."""
        self._typed, self._listening, self._read_back = "", None, False
        told = summed_up(effects, language_of(self.session.bench))
        self._listening, said = told.listening, list(told.said)
        if told.picture is not None:
            self._bench_screen.picture.picture = told.picture
        if told.leave:
            self.exit()
        if self.session.trouble:
            said.insert(0, self.session.trouble)
        if isinstance(self.session, LinkedSession) and self.session.board_trouble:
            said.append(self.session.board_trouble)
        self._waiting = told.outcome is Outcome.WAIT
        self._bench_screen.show_outcome(told.outcome)
        self._bench_screen.show_keypad_first(voice_check.keypad_first(self.session.bench))
        self._caption("\n".join(said))
        self._bench_screen.trail.show(*trail(self.session.bench))
        if self.beside is not None:
            self._bench_screen.show_beside(self.beside.scene, self.beside.alone)
        self._show_entry()

    def _say_only(self, say: Say) -> None:
        self._caption(caption(say, language_of(self.session.bench)))
        self.bell()

    def _caption(self, text: str) -> None:
        self.caption = text
        self._bench_screen.show_caption(text)

    def _show_entry(self) -> None:
        wanted = self._listening
        if self._typed:
            self._waiting = False
            self._bench_screen.show_enter()
        elif self._bench_screen.enter_shown:
            self._bench_screen.show_outcome(None)
        kind = wanted.kind if wanted is not None else None
        # the helper at the bench must not learn the supervisor's code
        secret = wanted is not None and (wanted.step, wanted.field) == ("supervisor", "code")
        self._bench_screen.entry.show(self._typed, kind, secret=secret, waiting=self._waiting)

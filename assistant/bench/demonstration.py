"""The bench's screen with a virtual helper at it, until somebody presses a key. It can be left at any time."""

from textual import events
from textual.widgets import Static
from textual.worker import Worker

from assistant.bench.app import LEAVING, BenchApp, Heard
from assistant.bench.performer import Performer
from assistant.language.prompts import Talk
from assistant.speech.heard import HeardKind
from assistant.workflow.present import present

PLAYING = "The program plays the helper. Any key: your turn. Ctrl+C: leave."
YOURS = "Your turn: + yes, - no, Enter takes it, Backspace undoes. Ctrl+C: leave."
"""For somebody who sees the bench for the first time, and reads."""


class Demonstration(BenchApp):
    """A bench that plays by itself where it has a `performer`, and that Ctrl+C leaves."""

    leavable = True
    performer: Performer | None = None
    """Set before the app runs; without one the person at the keypad begins at once."""
    refusals = 0
    """How often something said was not understood."""
    _playing: Worker[None] | None = None

    async def on_ready(self) -> None:
        captions = self.screen.query_one("#captions")
        await captions.mount(Static("", id="said", markup=False), Static(YOURS, id="demo", markup=False))
        if self.performer is not None:
            self._note(PLAYING)
            self._playing = self.run_worker(self._play(self.performer))

    @property
    def playing(self) -> bool:
        return self._playing is not None

    def on_key(self, event: events.Key) -> None:
        """The first key is the person's, and only ends the play."""
        if self._playing is not None and event.key not in LEAVING:
            event.stop()
            event.prevent_default()
            self._playing.cancel()
            self._hand_over("")

    def on_heard(self, message: Heard) -> None:
        """Beside what the bench does with it: the virtual helper hears that it was not understood."""
        self.refusals += message.entry.kind in (HeardKind.REFUSED, HeardKind.TROUBLE)

    def show_said(self, words: str) -> None:
        """What the virtual helper says just now."""
        said = f"The helper says: {words}" if words else ""
        self.screen.query_one("#said", Static).update(said)

    async def _play(self, performer: Performer) -> None:
        began = self.session.now()
        await performer.play(self)
        took_s = round(self.session.now() - began)
        self._hand_over(f"A whole pair in {took_s // 60} min {took_s % 60} s: {performer.told}\n")

    def _hand_over(self, played: str) -> None:
        self._playing = None
        if self.performer is not None:
            self.performer.step_down()
        self.screen.query_one("#said", Static).display = False
        self._note(played + YOURS)
        self._talk = Talk.USUAL
        self.perform(present(self.session.bench))

    def _note(self, text: str) -> None:
        self.screen.query_one("#demo", Static).update(text)

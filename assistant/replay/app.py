"""Replay on a full terminal: the list, and one session."""

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from textual.app import App
from textual.binding import BindingType
from textual.widgets import DataTable

from assistant.replay.list_screen import ListScreen
from assistant.replay.rehear import summed
from assistant.replay.session_screen import SessionScreen
from assistant.replay.shelf import NoSession, Shelf, all_heard, clip_of
from assistant.replay.viewing import Viewing
from assistant.speech.errors import Trouble
from assistant.speech.mouth import Mouth
from assistant.ui.glyphs import Glyphs


class ReplayApp(App[None]):
    CSS_PATH = "replay.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+q,ctrl+c", "quit", "leave")]

    def __init__(self, shelf: Shelf, number: int | None = None) -> None:
        """`number`: a session of the list to begin with."""
        super().__init__()
        self._shelf, self._first = shelf, number
        self._mouth: Mouth | None = None

    def on_mount(self) -> None:
        self.set_class(self._shelf.outside.glyphs is Glyphs.ASCII, "ascii")
        self._mouth = Mouth(self._shelf.outside.player, self._silent, lambda: None)
        self.push_screen(ListScreen(self._shelf.rows))
        if self._first is not None:
            self._open(self._first)

    def on_unmount(self) -> None:
        if self._mouth is not None:
            self._mouth.close()

    def on_data_table_row_selected(self, event: DataTable.RowSelected) -> None:
        self._open(event.cursor_row + 1)

    def _open(self, number: int) -> None:
        outside = self._shelf.outside
        try:
            viewing = self._shelf.open(number)
        except NoSession as error:
            if isinstance(self.screen, ListScreen):
                self.screen.say(str(error))
            return
        self.push_screen(SessionScreen(viewing, outside.glyphs, outside.now))

    def action_leave_session(self) -> None:
        if self._mouth is not None:
            self._mouth.cut()
        self.pop_screen()

    def _tell(self, text: str) -> None:
        if isinstance(self.screen, SessionScreen):
            self.screen.say(text)

    def action_clip(self) -> None:
        """Play what was said at this moment."""
        if not isinstance(self.screen, SessionScreen) or self._mouth is None:
            return
        try:
            sound = clip_of(self.screen.viewing)
        except NoSession as error:
            why = str(error)
            self._tell(f"{why[:1].upper()}{why[1:]}.")
            return
        self._mouth.cut()
        self._mouth.say(lambda: sound)
        self._tell(f"Playing what was said, {sound.seconds:.1f} s.")

    def _silent(self, _: Trouble, why: str) -> None:
        """From the speaking thread."""
        self.call_from_thread(self._tell, f"No sound: {why}.")

    def action_hear(self) -> None:
        """Hear this moment's recording again with the model given; a model takes a moment to load."""
        hears = self._shelf.outside.hears

        def told(viewing: Viewing) -> str:
            again = hears(viewing.opened.path, viewing.moment)
            return "Nothing was recorded at this moment." if again is None else again.words

        self._hear(told)

    def action_hear_all(self) -> None:
        """The same for every recording of the day."""
        self._hear(lambda viewing: summed(all_heard(viewing, self._shelf.outside.hears)))

    def _hear(self, told: Callable[[Viewing], str]) -> None:
        if not isinstance(self.screen, SessionScreen):
            return
        self._tell("Hearing it again ...")
        viewing = replace(self.screen.viewing)  # one may step on meanwhile

        def hear() -> None:
            words = told(viewing)
            self.call_from_thread(self._heard, viewing.place, words)

        self.run_worker(hear, thread=True, exclusive=True)

    def _heard(self, place: int, told: str) -> None:
        if isinstance(self.screen, SessionScreen) and self.screen.viewing.place == place:
            self._tell(told)

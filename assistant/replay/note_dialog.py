"""One line for the trainer's note."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from assistant.replay.notes import MOST_CHARACTERS


class NoteDialog(ModalScreen[str | None]):
    """The note as it is to be; None where it is left as it was."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "back")]

    def __init__(self, note: str) -> None:
        super().__init__()
        self._note = note

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static("Note at this moment (empty takes it away)", markup=False)
            yield Input(self._note, max_length=MOST_CHARACTERS)
            yield Static("Enter keeps it    Escape leaves it as it was", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value)

    def action_leave(self) -> None:
        self.dismiss(None)

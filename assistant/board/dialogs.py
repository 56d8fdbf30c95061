"""What the board asks the supervisor for: a code, a reason, a count, a yes to something that hurts."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static


class Line(ModalScreen[str | None]):
    """One line of text; None when it is left with Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "back")]

    def __init__(self, title: str, *, secret: bool = False, most: int = 200) -> None:
        super().__init__()
        self._title, self._secret, self._most = title, secret, most

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self._title, markup=False)
            yield Input(password=self._secret, max_length=self._most, compact=True)
            yield Static("Enter: go on    Escape: back", markup=False, classes="dim")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_leave(self) -> None:
        self.dismiss(None)

"""One line of text asked for over a screen: a code, a reason, a note, a yes to something that hurts."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static


class OneLine(ModalScreen[str | None]):
    """The line without space at its ends; None when it is left with Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "back")]
    DEFAULT_CSS = """
    OneLine { align: center middle; }
    OneLine #dialog {
        width: 70; max-width: 95%; height: auto; border: solid white; background: black; padding: 1 2;
    }
    OneLine Input { background: #333333; color: white; margin: 1 0; }
    OneLine #hint { color: #aaaaaa; }
    """

    def __init__(
        self,
        title: str,
        hint: str = "Enter: go on    Escape: back",
        *,
        text: str = "",
        secret: bool = False,
        most: int = 200,
    ) -> None:
        """`text`: what stands there already; `most`: characters."""
        super().__init__()
        self._title, self._hint = title, hint
        self._text, self._secret, self._most = text, secret, most

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self._title, markup=False)
            yield Input(self._text, password=self._secret, max_length=self._most, compact=True)
            yield Static(self._hint, markup=False, id="hint")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_leave(self) -> None:
        self.dismiss(None)

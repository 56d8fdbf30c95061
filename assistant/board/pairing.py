"""How a bench is paired, and which are: the code large enough to be read from a bench away."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Footer, OptionList, Static
from textual.widgets.option_list import Option

from assistant.hub.views import FullView
from assistant.ui.glyphs import Glyphs
from assistant.ui.picture_view import SceneView
from assistant.ui.shapes import Ink, Numeral, Scene

_HOW = "At the bench: assistant bench --board {address} --pair {code}"


class PairingScreen(Screen[None]):
    """The code changes by itself after each pairing and after five wrong tries."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("x", "let_go", "let the marked bench go"),
        ("f", "forget", "fetch its record again"),
        ("escape", "dismiss", "back"),
    ]

    class Meant(Message):
        """Something to be done to one bench: `let_go` or `forget`."""

        def __init__(self, bench: str, what: str) -> None:
            super().__init__()
            self.bench, self.what = bench, what

    def __init__(self, view: FullView, glyphs: Glyphs) -> None:
        super().__init__()
        self._view = view
        self._code = SceneView(glyphs, id="code")
        self._where = Static(id="where", markup=False)
        self._heading = Static(id="heading", markup=False)
        self._paired = OptionList(id="paired", markup=False)

    def compose(self) -> ComposeResult:
        yield Static("Pair a bench: key these six digits at the bench", id="title", markup=False)
        yield self._code
        yield self._where
        yield self._heading
        yield self._paired
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        self.show(self._view)

    def show(self, view: FullView) -> None:
        self._view = view
        spaced = "  ".join((" ".join(view.code[:3]), " ".join(view.code[3:])))
        self._code.scene = Scene((Numeral(0, 0, spaced, 30.0, Ink.LIT),), 170.0, 34.0)
        first, *others = view.addresses or ["ADDRESS"]
        where = [_HOW.format(address=first, code=view.code)]
        if others:
            where.append(f"If that one is not reached: {' or '.join(others)}")
        if view.fingerprint:
            where.append(f"Certificate: {view.fingerprint}")
        self._where.update("\n".join(where))
        self._list(view)

    def _list(self, view: FullView) -> None:
        listed = self._paired
        self._heading.update("Paired benches" if view.paired else "No bench is paired yet")
        names = [option.id for option in listed.options]
        if names != view.paired:
            marked = listed.highlighted
            listed.set_options(Option(name, id=name) for name in view.paired)
            if view.paired:
                listed.highlighted = min(marked or 0, len(view.paired) - 1)

    def action_let_go(self) -> None:
        self._mean("let_go")

    def action_forget(self) -> None:
        self._mean("forget")

    def _mean(self, what: str) -> None:
        listed = self._paired
        option = listed.highlighted_option
        if option is None or option.id is None:
            self.app.notify("No bench is paired.")
            return
        self.post_message(self.Meant(option.id, what))

"""Press each key once: whether all that a bench needs arrives from this keyboard through this terminal."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar, Final

from textual import events
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.timer import Timer
from textual.widgets import Static

from assistant.bench.keys import Act, Pressed, pressed

PATIENCE_S: Final = 20.0
"""No key for so long: nobody is there, or no other key arrives."""
_CAPS: Final[Mapping[Pressed, str]] = {
    **{Pressed(Act.TYPE, character): character for character in "0123456789.+-"},
    Pressed(Act.AGAIN): "*",
    Pressed(Act.HELP): "/",
    Pressed(Act.ACCEPT): "Enter",
    Pressed(Act.BACK): "Backspace",
}
ROWS: Final = (("/", "*", "-"), ("7", "8", "9", "+"), ("4", "5", "6"), ("1", "2", "3", "Enter"), ("0", "."))
KEYS: Final = (*(cap for row in ROWS for cap in row), "Backspace")
"""The seventeen that a bench needs; NumLock itself never reaches a program."""


@dataclass(frozen=True, slots=True)
class Tried:
    """Which keys have come, by what is printed on them."""

    came: frozenset[str] = frozenset()
    numlock_off: bool = False
    """Cursor keys came instead of figures."""

    def after(self, key: Pressed) -> "Tried":
        if key.act is Act.NUMLOCK:
            return replace(self, numlock_off=True)
        cap = _CAPS.get(key)
        return self if cap is None else replace(self, came=self.came | {cap})

    @property
    def missing(self) -> tuple[str, ...]:
        return tuple(cap for cap in KEYS if cap not in self.came)

    @property
    def picture(self) -> str:
        """The pad: a key that came stands in brackets."""
        rows = [*ROWS, ("Backspace",)]
        return "\n".join(
            " ".join(f"[{cap}]" if cap in self.came else f" {cap} " for cap in row) for row in rows
        )


class KeypadCheck(App[Tried]):
    """Runs inline, below the other lines; returns what came once all keys have, or nobody presses any more."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "enough", ""),
        ("ctrl+c", "enough", ""),
        ("ctrl+q", "enough", ""),
    ]
    CSS = "Screen { height: auto; } Static { height: auto; }"

    def __init__(self, patience_s: float = PATIENCE_S) -> None:
        super().__init__()
        self.tried = Tried()
        self._patience_s = patience_s
        self._clock: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static("Press each key of the pad once; Esc ends it.", markup=False)
        yield Static(self.tried.picture, id="pad", markup=False)
        yield Static("", id="numlock", markup=False)

    def on_mount(self) -> None:
        self._clock = self.set_timer(self._patience_s, self.action_enough)

    def on_key(self, event: events.Key) -> None:
        self.tried = self.tried.after(pressed(event.key, event.character))
        self.query_one("#pad", Static).update(self.tried.picture)
        self.query_one("#numlock", Static).update("Press NumLock once." if self.tried.numlock_off else "")
        if self._clock is not None:
            self._clock.reset()
        if not self.tried.missing:
            self.exit(self.tried)

    def action_enough(self) -> None:
        self.exit(self.tried)

"""The list of sessions: choose one with Enter."""

from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import DataTable, Static

from assistant.replay.listing import Row
from assistant.replay.telling import WRONG
from assistant.replay.wording import lasting

WIDE_COLUMNS = 100
"""From here on the day and the helpers have room too."""
_COLUMNS = ("session", "bench", "length", "wrong", "outcome")
_WIDE_COLUMNS = ("session", "day", "bench", "helper", "length", "wrong", "outcome")


class ListScreen(Screen[None]):
    """Enter is taken by the app, which opens the session."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape,q", "app.quit", "leave")]

    def __init__(self, rows: list[Row]) -> None:
        super().__init__()
        self._rows = rows
        self._wide: bool | None = None

    def compose(self) -> ComposeResult:
        count = len(self._rows)
        yield Static(f"{count} recorded session{'' if count == 1 else 's'}", id="head", markup=False)
        yield DataTable(id="sessions", cursor_type="row", cell_padding=0)
        yield Static("", id="about", markup=False)
        yield Static("Enter opens a session    Escape leaves", id="keys", markup=False)

    def on_resize(self, event: events.Resize) -> None:
        wide = event.size.width >= WIDE_COLUMNS
        if wide is not self._wide:
            self._wide = wide
            self._fill(wide)

    def _fill(self, wide: bool) -> None:
        table = self.table
        marked = table.cursor_row
        table.clear(columns=True)
        table.add_columns(*(f" {name}" for name in (_WIDE_COLUMNS if wide else _COLUMNS)))
        for number, row in enumerate(self._rows):
            # text, for a name may hold brackets; one space between columns, so that an outcome fits in 80
            table.add_row(*(Text(f" {cell}") for cell in cells(row, wide)), key=str(number))
        table.move_cursor(row=marked)
        table.focus()
        if not self._rows:
            self.query_one("#about", Static).update("There is no session here.")

    @property
    def table(self) -> DataTable[Text]:
        return self.query_one("#sessions", DataTable)

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        if event.cursor_row < len(self._rows):
            row = self._rows[event.cursor_row]
            told = (f"{row.name}: {row.outcome}", *(f"{WRONG} {trouble}" for trouble in row.troubles))
            self.say("\n".join(told))

    def say(self, text: str) -> None:
        """More about the session, or why it cannot be opened."""
        self.query_one("#about", Static).update(text)


def cells(row: Row, wide: bool) -> tuple[str, ...]:
    """A row of the list. What cannot be read in whole is marked by its sign."""
    name = f"{row.name} {WRONG}" if row.troubles else row.name
    mistakes = f"{row.mistakes} !" if row.mistakes else "0"
    if not wide:
        return name, row.bench, lasting(row.seconds), mistakes, row.outcome
    helpers = ", ".join(str(helper) for helper in row.helpers)
    return name, row.day.date, row.bench, helpers, lasting(row.seconds), mistakes, row.outcome

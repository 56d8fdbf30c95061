"""The day so far: beside the benches where there is room, else on a screen of its own."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, Static

from assistant.board import telling
from assistant.board.cards import hanging
from assistant.hub.views import FullView, PatternView, TodayView
from assistant.ui.glyphs import COLOURS, Glyphs
from assistant.ui.shapes import Ink


def day(today: TodayView, columns: int, glyphs: Glyphs) -> Content:
    """Everything of the day, what needs a hand first."""
    parts: list[Content] = []
    for heading, lines in telling.day_parts(today):
        if heading == "Patterns":
            parts += [_pattern(pattern, columns, glyphs) for pattern in today.patterns]
        elif lines:
            parts.append(Content.assemble((heading, "bold"), f"\n{hanging(lines, columns, glyphs)}"))
    return Content("\n\n").join(parts)


def _pattern(pattern: PatternView, columns: int, glyphs: Glyphs) -> Content:
    what, *rest = telling.pattern_lines(pattern)
    head = hanging((f"!! {what}",), columns, glyphs).strip()
    return Content.assemble((head, f"bold {COLOURS[glyphs][Ink.LIT]}"), f"\n{hanging(rest, columns, glyphs)}")


class DayView(VerticalScroll):
    """Call `show` with every view."""

    def __init__(self, glyphs: Glyphs) -> None:
        self._text = Static(markup=False)
        super().__init__(self._text, id="day")
        self._glyphs = glyphs
        self._today: TodayView | None = None

    def show(self, today: TodayView) -> None:
        self._today = today
        columns = self.scrollable_content_region.width
        self._text.update(day(today, columns, self._glyphs))

    def on_resize(self) -> None:
        if self._today is not None:
            self.show(self._today)


class DayScreen(Screen[None]):
    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss", "back"), ("t", "dismiss", "back")]

    def __init__(self, view: FullView, glyphs: Glyphs) -> None:
        super().__init__()
        self._view, self._day = view, DayView(glyphs)

    def compose(self) -> ComposeResult:
        yield Static("The day so far (up and down for more)", id="title", markup=False)
        yield self._day
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        self.show(self._view)

    def show(self, view: FullView) -> None:
        self._day.show(view.board.today)

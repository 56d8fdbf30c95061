"""The board's main screen: questions above, benches below, the day beside them where there is room."""

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, OptionList, Static
from textual.widgets.option_list import Option

from assistant.board import telling
from assistant.board.cards import BenchCard
from assistant.board.day import DayView
from assistant.hub.views import BoardView, FullView, QuestionView
from assistant.ui.glyphs import COLOURS, Glyphs, for_terminal
from assistant.ui.shapes import Ink

WIDE_COLUMNS = 120
"""From here on the day stands beside the benches."""
_NO_BENCH = "No bench yet. Press p for the code to pair one with."


class BoardScreen(Screen[None]):
    """Widgets only; `show` takes every view. `muted`: the chime cannot be heard."""

    def __init__(self, glyphs: Glyphs) -> None:
        super().__init__()
        self._glyphs = glyphs
        self._cards: dict[str, BenchCard] = {}
        self.muted = False
        # held, not looked up: a view may still come while the screen is taken down
        self._top = Static(id="head", markup=False)
        self._asking = Static(id="asking", markup=False)
        self._questions = OptionList(id="questions", markup=False)
        self._none = Static(_NO_BENCH, id="none", markup=False)
        self._benches = VerticalScroll(self._none, id="benches")
        self._day = DayView(glyphs)

    def compose(self) -> ComposeResult:
        yield self._top
        with Horizontal(id="body"):
            with Vertical(id="main"):
                yield self._asking
                yield self._questions
                yield self._benches
            yield self._day
        yield Footer(show_command_palette=False)

    def on_resize(self, event: events.Resize) -> None:
        self.set_class(event.size.width >= WIDE_COLUMNS, "wide")
        self.call_after_refresh(self._make_room)

    async def show(self, view: FullView) -> None:
        board = view.board
        self._top.update(self._head(board))
        self._show_questions(board.questions, board.now)
        await self._show_benches(board)
        self._day.show(board.today)

    def _head(self, board: BoardView) -> Content:
        sign = "  no sound" if self.muted else ""
        trouble = ("\n" + board.trouble, "bold reverse") if board.trouble else ""
        return Content.assemble((telling.head_line(board) + sign, "bold"), trouble)

    # questions

    def _show_questions(self, questions: list[QuestionView], now: float) -> None:
        listed = self._questions
        ids = [f"{question.bench}:{question.line}" for question in questions]
        told = [self._question(number, question, now) for number, question in enumerate(questions, 1)]
        if [option.id for option in listed.options] != ids:
            self._relist(listed, [Option(line, id=key) for line, key in zip(told, ids, strict=True)])
        for key, line in zip(ids, told, strict=True):
            listed.replace_option_prompt(key, line)
        listed.display = bool(questions)
        wait = COLOURS[self._glyphs][Ink.WAIT]
        count = telling.counted(len(questions), "question")
        shown = (f" {count} - Enter opens it, oldest first ", f"bold reverse {wait}")
        none = (" no question waits", COLOURS[self._glyphs][Ink.DIM])
        self._asking.update(Content.assemble(shown if questions else none))

    def _relist(self, listed: OptionList, options: list[Option]) -> None:
        marked = listed.highlighted_option
        came = not listed.options
        listed.set_options(options)
        ids = [option.id for option in options]
        if options:
            listed.highlighted = ids.index(marked.id) if marked is not None and marked.id in ids else 0
        if came and options:
            listed.focus()
        self.call_after_refresh(self._make_room)

    def _question(self, number: int, question: QuestionView, now: float) -> str:
        return for_terminal(f"{number}. {telling.question_line(question, now)}", self._glyphs)

    # benches

    async def _show_benches(self, board: BoardView) -> None:
        names = [bench.name for bench in board.benches]
        self._none.display = not names
        if list(self._cards) != names and self._benches.is_attached:
            for card in self._cards.values():
                await card.remove()
            self._cards = {b.name: BenchCard(b, board.now, self._glyphs) for b in board.benches}
            await self._benches.mount(*self._cards.values())
            self.call_after_refresh(self._make_room)
        for bench in board.benches:
            if bench.name in self._cards:
                self._cards[bench.name].show(bench, board.now)

    def _make_room(self) -> None:
        """Four lines a bench as long as all benches fit; else three, else two."""
        if not self.is_attached:
            return  # the program is ending
        room = self._benches.size.height
        benches = max(1, len(self._cards))
        self.set_class(room < 4 * benches, "close")
        self.set_class(room < 3 * benches, "tight")

"""A question on a screen of its own: the plan and the readings, and what yes and no will do."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Footer, Static

from assistant.board import telling
from assistant.board.cards import hanging
from assistant.hub.views import FullView, QuestionView
from assistant.hub.words import helper_sign
from assistant.ui.glyphs import COLOURS, Glyphs, for_terminal
from assistant.ui.shapes import Ink


class AskedScreen(Screen[None]):
    """Leaves by itself when the question is over."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("y", "answer(True)", "yes"),
        ("n", "answer(False)", "no"),
        ("escape", "dismiss", "back"),
    ]

    class Decided(Message):
        """The supervisor's yes or no."""

        def __init__(self, question: QuestionView, yes: bool) -> None:
            super().__init__()
            self.question, self.yes = question, yes

    def __init__(self, question: QuestionView, now: float, glyphs: Glyphs) -> None:
        super().__init__()
        self.question, self._now, self._glyphs = question, now, glyphs
        self._title = Static(id="title", markup=False)
        self._text = Static(markup=False)
        self._scroll = VerticalScroll(self._text, id="details")
        self._choices = Static(id="choices", markup=False)

    def compose(self) -> ComposeResult:
        yield self._title
        yield self._scroll
        yield self._choices
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self.call_after_refresh(self._show)  # only then is the width known that the rows are wrapped to

    def show(self, view: FullView) -> None:
        """Follow the question; when it is over, leave."""
        same = [
            q for q in view.board.questions if (q.bench, q.line) == (self.question.bench, self.question.line)
        ]
        if not same:
            self.app.notify(f"{self.question.bench} goes on: the question is over.")
            self.dismiss()
            return
        self.question, self._now = same[0], view.board.now
        self._show()

    def action_answer(self, yes: bool) -> None:
        if self.question.answered:
            self.app.notify("The answer is on its way to the bench.")
            return
        self.post_message(self.Decided(self.question, yes))

    def _show(self) -> None:
        question, colours = self.question, COLOURS[self._glyphs]
        title = for_terminal(telling.question_line(question, self._now), self._glyphs)
        self._title.update(Content.styled(title, f"bold {colours[Ink.WAIT]}"))
        self._text.update(self._details())
        choices = Content.assemble(
            ("y", f"bold reverse {colours[Ink.RIGHT]}"),
            f" yes: {question.yes_does}\n",
            ("n", f"bold reverse {colours[Ink.WRONG]}"),
            f" no: {question.no_does}",
        )
        on_its_way = Content.styled("The answer is on its way to the bench.", "bold")
        self._choices.update(on_its_way if question.answered else choices)

    def _details(self) -> Content:
        question = self.question
        eye = "" if question.eye is None else f", {question.eye} eye"
        parts: list[str | tuple[str, str]] = [
            f"helper {helper_sign(question.helper)}, {question.doing}{eye}\n"
        ]
        for heading, rows in (
            ("Why", question.reasons),
            ("The plan", question.plan),
            ("What was read and measured", question.readings),
        ):
            if rows:
                told = hanging(rows, self._scroll.scrollable_content_region.width, self._glyphs)
                parts += ["\n", (heading, "bold"), f"\n{told}\n"]
        return Content.assemble(*parts)

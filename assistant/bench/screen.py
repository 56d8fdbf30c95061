"""The one screen of a bench: trail above, picture in the middle, entry and outcome below, caption last."""

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import Static

from assistant.ui.digits import BigEntry
from assistant.ui.glyphs import Glyphs
from assistant.ui.picture_view import PictureView
from assistant.ui.trail import Trail
from assistant.workflow.pictures import Outcome, OutcomePicture


class BenchScreen(Screen[None]):
    """Widgets only; what they show comes from the app."""

    def __init__(self, glyphs: Glyphs) -> None:
        super().__init__()
        self._glyphs = glyphs

    def compose(self) -> ComposeResult:
        yield Trail(self._glyphs, id="trail")
        yield PictureView(self._glyphs, id="picture")
        with Horizontal(id="answer"):
            yield PictureView(self._glyphs, id="outcome")
            yield BigEntry(self._glyphs, id="entry")
        with Vertical(id="captions"):
            yield Static("", id="caption", markup=False)

    @property
    def trail(self) -> Trail:
        return self.query_one(Trail)

    @property
    def picture(self) -> PictureView:
        return self.query_one("#picture", PictureView)

    @property
    def entry(self) -> BigEntry:
        return self.query_one(BigEntry)

    def show_outcome(self, outcome: Outcome | None) -> None:
        view = self.query_one("#outcome", PictureView)
        view.picture = None if outcome is None else OutcomePicture(outcome)

    def show_caption(self, text: str) -> None:
        self.query_one("#caption", Static).update(text)

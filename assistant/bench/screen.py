"""The one screen of a bench: trail above, picture in the middle, entry between the outcomes, caption last.

Not right stands at the left of the entry, right at its right; the raised hand is in the middle.
"""

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import Static

from assistant.bench.caption_view import CaptionView
from assistant.ui.digits import BigEntry
from assistant.ui.glyphs import Glyphs
from assistant.ui.hints import at_its_side, enter_now, keypad_first, too_small
from assistant.ui.picture_view import PictureView, SceneView
from assistant.ui.shapes import Scene
from assistant.ui.trail import Trail
from assistant.workflow.pictures import Outcome

LEAST_COLUMNS, LEAST_ROWS = 60, 20
"""A smaller window shows only that it is too small."""


class BenchScreen(Screen[None]):
    """Widgets only; what they show comes from the app."""

    def __init__(self, glyphs: Glyphs) -> None:
        super().__init__()
        self._glyphs = glyphs

    def compose(self) -> ComposeResult:
        yield Trail(self._glyphs, id="trail")
        with Horizontal(id="work"):
            yield PictureView(self._glyphs, id="picture")
            yield SceneView(self._glyphs, id="beside")
        with Horizontal(id="answer"):
            yield SceneView(self._glyphs, id="wrong")
            yield BigEntry(self._glyphs, id="entry")
            yield SceneView(self._glyphs, id="right")
            yield SceneView(self._glyphs, id="keys")
            yield Static("", id="board", markup=False)
        with Vertical(id="captions"):
            yield CaptionView("", id="caption", markup=False)
        yield SceneView(self._glyphs, id="small")

    def on_mount(self) -> None:
        self.query_one("#small", SceneView).scene = too_small()

    def on_resize(self, event: events.Resize) -> None:
        small = event.size.width < LEAST_COLUMNS or event.size.height < LEAST_ROWS
        self.set_class(small, "too-small")

    @property
    def trail(self) -> Trail:
        return self.query_one(Trail)

    @property
    def picture(self) -> PictureView:
        return self.query_one("#picture", PictureView)

    @property
    def entry(self) -> BigEntry:
        return self.query_one(BigEntry)

    @property
    def standing(self) -> bool:
        """False while it is being taken down."""
        return bool(self.query("#board"))

    def show_board(self, there: bool) -> None:
        """A sign beside the entry once this bench has a board: two that talk, or one alone."""
        board = self.query_one("#board", Static)
        board.display = True
        board.set_class(not there, "away")
        board.update("o<->o" if there else "o   x")

    def show_keypad_first(self, first: bool) -> None:
        """A number pad beside the entry: it is to be keyed, because saying it was not understood."""
        keys = self.query_one("#keys", SceneView)
        keys.display = first
        keys.scene = keypad_first() if first else None

    def show_beside(self, scene: Scene | None, alone: bool) -> None:
        """What lies beside the picture, or in its place; None: the picture has the whole width."""
        beside = self.query_one("#beside", SceneView)
        beside.display = scene is not None
        beside.scene = scene
        self.picture.display = not alone

    def show_outcome(self, outcome: Outcome | None) -> None:
        """The sign of the last entry at its own side, until something is typed."""
        for side in (Outcome.WRONG, Outcome.RIGHT):
            self.query_one(f"#{side.value}", SceneView).scene = at_its_side(side) if side is outcome else None

    def show_enter(self) -> None:
        """Something is typed: the last outcome is over, and Enter is what comes next."""
        self.show_outcome(None)
        self.query_one("#right", SceneView).scene = enter_now()

    @property
    def enter_shown(self) -> bool:
        return self.query_one("#right", SceneView).scene == enter_now()

    def show_caption(self, text: str) -> None:
        self.query_one("#caption", CaptionView).tell(text)

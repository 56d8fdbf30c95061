"""The widgets in a real Textual app at the smallest screen."""

import pytest
from textual.app import App, ComposeResult

from assistant.optics.eye import Eye
from assistant.ui.digits import BigEntry
from assistant.ui.glyphs import Glyphs
from assistant.ui.picture_view import PictureView
from assistant.ui.trail import Trail
from assistant.workflow.pictures import Outcome, OutcomePicture, TrayPicture
from assistant.workflow.steps import FieldKind


class Shown(App[None]):
    def __init__(self, glyphs: Glyphs) -> None:
        super().__init__()
        self.glyphs = glyphs

    def compose(self) -> ComposeResult:
        yield Trail(self.glyphs)
        yield PictureView(self.glyphs, TrayPicture(Eye.RIGHT, 9, 8, 6))
        yield BigEntry(self.glyphs)


@pytest.mark.parametrize("glyphs", list(Glyphs))
async def test_the_three_widgets_share_a_small_screen(glyphs: Glyphs) -> None:
    app = Shown(glyphs)
    async with app.run_test(size=(80, 24)) as pilot:
        view, entry, trail = (app.query_one(w) for w in (PictureView, BigEntry, Trail))
        assert isinstance(view, PictureView)
        assert isinstance(entry, BigEntry)
        assert isinstance(trail, Trail)
        trail.show((("plan", None), ("fetch", Eye.RIGHT)), 1)
        entry.show("42", FieldKind.CHECK_NUMBER)
        await pilot.pause()
        assert view.size.height == 18
        before = view.render().plain
        assert len(before.split("\n")) == 18
        view.picture = OutcomePicture(Outcome.WAIT)
        await pilot.pause()
        assert view.render().plain != before
        assert "[" in trail.render().plain
        assert entry.render().plain.strip()
        entry.show("", None)
        view.picture = None
        assert entry.render().plain == view.render().plain == ""

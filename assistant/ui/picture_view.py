"""A Textual widget that shows any picture as large as its own size allows."""

from textual.content import Content
from textual.widget import Widget

from assistant.ui.canvas import draw, to_content
from assistant.ui.glyphs import Glyphs
from assistant.ui.pictures import scene
from assistant.workflow.pictures import Picture


class PictureView(Widget):
    """Set `picture` to show another one; None shows nothing."""

    DEFAULT_CSS = "PictureView { width: 1fr; height: 1fr; }"

    def __init__(
        self,
        glyphs: Glyphs,
        picture: Picture | None = None,
        *,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(id=id, classes=classes)
        self._glyphs = glyphs
        self._picture = picture

    @property
    def picture(self) -> Picture | None:
        return self._picture

    @picture.setter
    def picture(self, picture: Picture | None) -> None:
        if picture != self._picture:
            self._picture = picture
            self.refresh()

    def render(self) -> Content:
        width, height = self.content_size
        if self._picture is None or width < 1 or height < 1:
            return Content("")
        return to_content(draw(scene(self._picture), width, height, self._glyphs), self._glyphs)

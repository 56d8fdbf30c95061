"""Textual widgets that show a scene, or a picture, as large as their own size allows."""

from textual.content import Content
from textual.widget import Widget

from assistant.ui.canvas import draw, to_content
from assistant.ui.glyphs import Glyphs
from assistant.ui.pictures import scene
from assistant.ui.shapes import Scene
from assistant.workflow.pictures import Picture


class SceneView(Widget):
    """Set `scene` to show another one; None shows nothing."""

    DEFAULT_CSS = "SceneView { width: 1fr; height: 1fr; }"

    def __init__(self, glyphs: Glyphs, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._glyphs = glyphs
        self._scene: Scene | None = None

    @property
    def scene(self) -> Scene | None:
        return self._scene

    @scene.setter
    def scene(self, scene: Scene | None) -> None:
        if scene != self._scene:
            self._scene = scene
            self.refresh()

    def render(self) -> Content:
        width, height = self.content_size
        if self._scene is None or width < 1 or height < 1:
            return Content("")
        return to_content(draw(self._scene, width, height, self._glyphs), self._glyphs)


class PictureView(SceneView):
    """Set `picture` to show another one; None shows nothing."""

    def __init__(
        self,
        glyphs: Glyphs,
        picture: Picture | None = None,
        *,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(glyphs, id=id, classes=classes)
        self.picture = picture

    @property
    def picture(self) -> Picture | None:
        return self._picture

    @picture.setter
    def picture(self, picture: Picture | None) -> None:
        self._picture = picture
        self.scene = None if picture is None else scene(picture)

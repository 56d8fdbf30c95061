"""The entry of the current step in very large figures, with a cursor and the sign of its unit."""

from textual.content import Content
from textual.widget import Widget

from assistant.ui import numerals
from assistant.ui.canvas import Cells, draw, to_content
from assistant.ui.glyphs import Glyphs
from assistant.ui.hints import hint
from assistant.ui.raster import ACROSS, DOWN
from assistant.ui.shapes import Ink, Label, Numeral, Scene, Shape
from assistant.workflow.steps import FieldKind

UNITS = {
    FieldKind.POWER: "D",
    FieldKind.CYLINDER: "D",
    FieldKind.AXIS: "°",
    FieldKind.LENGTH: "mm",
    FieldKind.ACUITY: "",
}
PREFIXES = {FieldKind.ACUITY: "6/"}
_CURSOR = "_"


def big_entry(text: str, kind: FieldKind, columns: int, rows: int, glyphs: Glyphs) -> Cells:
    """The typed text as large as it fits, an underline where the next figure goes, then the unit.

    Raises:
        ValueError: a character the keypad does not have, or no room at all.
    """
    shown = PREFIXES.get(kind, "") + text + _CURSOR
    unit = "" if glyphs is Glyphs.ASCII and kind is FieldKind.AXIS else UNITS.get(kind, "")
    width, height = float(columns * ACROSS), float(rows * DOWN)
    dot = _largest_dot(shown, unit, columns, rows, glyphs)
    if dot == 0:
        return draw(
            Scene((Label(0.0, 0.0, f"{shown} {unit}".rstrip(), Ink.LIT),), width, height),
            columns,
            rows,
            glyphs,
        )
    tall = float(dot * numerals.HEIGHT)
    wide = numerals.dots(shown).shape[1] * dot
    unit_wide = _unit_cells(unit) * ACROSS
    x = -unit_wide / 2.0
    shapes: list[Shape] = [Numeral(x, 0.0, shown, tall, Ink.LIT)]
    if unit:
        shapes.append(Label(x + wide / 2.0 + 2 * ACROSS, -tall / 2.0 + DOWN / 2.0, unit, Ink.LINE, -1))
    return draw(Scene(tuple(shapes), width, height), columns, rows, glyphs)


def _largest_dot(shown: str, unit: str, columns: int, rows: int, glyphs: Glyphs) -> int:
    """Samples a dot of the font may take, in whole steps of what the glyphs can show; 0: no room."""
    step = DOWN if glyphs is Glyphs.ASCII else ACROSS
    across = (columns - _unit_cells(unit)) * ACROSS // int(numerals.dots(shown).shape[1])
    down = rows * DOWN // numerals.HEIGHT
    return max(0, min(across, down) // step * step)


def _unit_cells(unit: str) -> int:
    return len(unit) + 3 if unit else 0


class BigEntry(Widget):
    """Set `show(text, kind)` as keys come in."""

    DEFAULT_CSS = "BigEntry { width: 1fr; height: 5; }"

    def __init__(self, glyphs: Glyphs, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._glyphs = glyphs
        self._text = ""
        self._kind: FieldKind | None = None
        self._waiting = False

    def show(self, text: str, kind: FieldKind | None, *, secret: bool = False, waiting: bool = False) -> None:
        """Show what was typed so far, or which keys are wanted while nothing is.

        No kind: nothing is wanted, the place stays empty. `secret`: a star for each figure. `waiting`: the
        raised hand stands among the keys.
        """
        self._text, self._kind = "*" * len(text) if secret else text, kind
        self._waiting = waiting
        self.refresh()

    def render(self) -> Content:
        width, height = self.content_size
        if self._kind is None or width < 1 or height < 1:
            return Content("")
        return to_content(self._cells(self._kind, width, height), self._glyphs)

    def _cells(self, kind: FieldKind, width: int, height: int) -> Cells:
        if self._text or kind is FieldKind.ACUITY:
            return big_entry(self._text, kind, width, height, self._glyphs)
        unit = "" if self._glyphs is Glyphs.ASCII and kind is FieldKind.AXIS else UNITS.get(kind, "")
        return draw(hint(kind, unit, self._waiting), width, height, self._glyphs)

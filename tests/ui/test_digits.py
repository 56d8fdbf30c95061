"""The large entry: as large as it fits, every figure in it, readable in every way of drawing."""

import pytest

from assistant.ui import numerals
from assistant.ui.canvas import Cells
from assistant.ui.digits import big_entry
from assistant.ui.glyphs import Glyphs
from assistant.workflow.steps import FieldKind


def chars(cells: Cells) -> str:
    return "\n".join("".join(cell.char for cell in row) for row in cells)


@pytest.mark.parametrize("glyphs", list(Glyphs))
@pytest.mark.parametrize("kind", list(FieldKind))
@pytest.mark.parametrize(("columns", "rows"), [(10, 1), (40, 5), (78, 7), (116, 14)])
def test_every_kind_at_every_size(glyphs: Glyphs, kind: FieldKind, columns: int, rows: int) -> None:
    cells = big_entry("-12.25", kind, columns, rows, glyphs)
    assert len(cells) == rows
    assert {len(row) for row in cells} == {columns}
    assert chars(cells).strip()
    if glyphs is Glyphs.ASCII:
        assert all(c <= "~" for c in chars(cells))


def read_back(cells: Cells, dot: int) -> str:
    """The large figures read out of the blocks, a dot of the font being `dot` cells wide."""
    rows = [row for row in chars(cells).split("\n") if "█" in row]
    lit = [[c == "█" for c in row] for row in rows]
    left = min(row.index(True) for row in lit if any(row))
    columns = [tuple(row[x] for row in lit) for x in range(left, len(lit[0]), dot)]
    text = ""
    while columns and any(any(column) for column in columns):
        width = next((w for w, column in enumerate(columns) if not any(column)), len(columns))
        glyph = columns[:width]
        text += next((c for c in "0123456789.-+_" if _columns(c) == glyph), "~")
        columns = columns[width + 1 :]
    return text


def _columns(char: str) -> list[tuple[bool, ...]]:
    return [tuple(bool(v) for v in column) for column in numerals.dots(char).T]


@pytest.mark.parametrize("typed", ["0", "17", "180", "175", "96", "83", "42"])
def test_what_is_typed_can_be_read(typed: str) -> None:
    assert read_back(big_entry(typed, FieldKind.AXIS, 78, 5, Glyphs.TRUECOLOR), 2) == typed + "_"


def test_a_longer_entry_is_drawn_smaller_and_stays_whole() -> None:
    long = big_entry("-12.25", FieldKind.POWER, 30, 5, Glyphs.TRUECOLOR)
    short = big_entry("-1", FieldKind.POWER, 30, 5, Glyphs.TRUECOLOR)
    assert sum(any(c.char != " " for c in row) for row in long) < sum(
        any(c.char != " " for c in row) for row in short
    )


def test_without_room_for_large_figures_it_is_plain_text() -> None:
    assert chars(big_entry("-2.25", FieldKind.POWER, 20, 1, Glyphs.ASCII)).strip() == "-2.25_ D"
    assert chars(big_entry("12", FieldKind.ACUITY, 20, 1, Glyphs.ASCII)).strip() == "6/12_"


def test_a_character_the_font_lacks_is_named() -> None:
    with pytest.raises(ValueError, match="no large figure for 'x'"):
        big_entry("x", FieldKind.DIGITS, 78, 5, Glyphs.ASCII)

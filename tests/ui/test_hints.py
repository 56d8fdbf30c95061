"""Which keys are wanted, by picture; where outcomes stand; what a window too small shows."""

import pytest

from assistant.ui.canvas import draw
from assistant.ui.digits import BigEntry
from assistant.ui.glyphs import Glyphs
from assistant.ui.hints import at_its_side, enter_now, hint, too_small
from assistant.ui.shapes import Numeral, Scene
from assistant.workflow.pictures import Outcome
from assistant.workflow.steps import FieldKind


def drawn(shown: Scene, glyphs: Glyphs, columns: int = 56, rows: int = 6) -> str:
    return "\n".join("".join(cell.char for cell in row) for row in draw(shown, columns, rows, glyphs))


def keys(kind: FieldKind) -> set[str]:
    return {shape.text for shape in hint(kind, "", False).shapes if isinstance(shape, Numeral)}


def test_signs_are_shown_where_they_are_keys() -> None:
    assert keys(FieldKind.YES_NO) == keys(FieldKind.POWER) == keys(FieldKind.CYLINDER) == {"-", "+"}
    assert keys(FieldKind.CHECK_NUMBER) == {"-"}
    assert keys(FieldKind.DONE) == keys(FieldKind.LENGTH) == keys(FieldKind.AXIS) == set()


@pytest.mark.parametrize("glyphs", list(Glyphs))
def test_ways_of_answering_look_different(glyphs: Glyphs) -> None:
    kinds = (FieldKind.DONE, FieldKind.YES_NO, FieldKind.POWER, FieldKind.CHECK_NUMBER, FieldKind.DIGITS)
    seen = [drawn(hint(kind, "", waiting), glyphs) for kind in kinds for waiting in (False, True)]
    assert len(set(seen)) == len(seen)
    if glyphs is Glyphs.ASCII:
        assert all(char <= "~" for text in seen for char in text)


@pytest.mark.parametrize("glyphs", list(Glyphs))
@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (3, 2), (20, 6), (40, 12)])
def test_a_window_too_small_says_so_at_any_size(glyphs: Glyphs, columns: int, rows: int) -> None:
    assert drawn(too_small(), glyphs, columns, rows).strip()


def test_right_wrong_and_enter_differ_by_shape() -> None:
    shown = (at_its_side(Outcome.RIGHT), at_its_side(Outcome.WRONG), enter_now())
    assert at_its_side(Outcome.WAIT) is None
    assert len({drawn(one, Glyphs.ASCII, 12, 6) for one in shown if one is not None}) == 3


def test_a_secret_shows_how_many_figures_and_not_which() -> None:
    entries = []
    for text in ("4071", "9999"):
        entry = BigEntry(Glyphs.ASCII)
        entry.show(text, FieldKind.DIGITS, secret=True)
        entries.append(entry._text)
    assert entries == ["****", "****"]

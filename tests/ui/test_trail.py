"""The trail: one sign for a step, the current one bracketed, never wider than the screen."""

import pytest
from rich.cells import cell_len

from assistant.optics.eye import Eye
from assistant.ui.glyphs import Glyphs
from assistant.ui.shapes import Ink
from assistant.ui.trail import SIGNS, Stop, trail
from assistant.workflow.steps import DAY, FINISHING, MAKING, STEPS

WHOLE: tuple[Stop, ...] = (
    ("plan", None),
    *((step, eye) for eye in Eye for step in MAKING),
    *(("check", eye) for eye in Eye),
    *((step, None) for step in FINISHING),
)


def test_every_step_has_a_sign_of_its_own_one_cell_wide() -> None:
    assert set(SIGNS) == {step.id for step in STEPS}
    for signs in zip(*SIGNS.values(), strict=True):
        assert len(set(signs)) == len(STEPS)
        assert all(cell_len(sign) == 1 for sign in signs)
    assert all(plain <= "~" for _, plain in SIGNS.values())


@pytest.mark.parametrize("glyphs", list(Glyphs))
@pytest.mark.parametrize("columns", [80, 40, 12])
def test_it_fits_and_shows_the_current_step(glyphs: Glyphs, columns: int) -> None:
    for stops in (WHOLE, tuple((step, None) for step in DAY)):
        for now in range(len(stops)):
            runs = trail(stops, now, columns, glyphs)
            text = "".join(run for run, _ in runs)
            assert cell_len(text) <= columns
            assert f"[{SIGNS[stops[now][0]][glyphs is Glyphs.ASCII]}]" in text
            assert [ink for _, ink in runs].count(Ink.LIT) == 1


@pytest.mark.parametrize("glyphs", list(Glyphs))
def test_a_whole_pair_fits_eighty_columns(glyphs: Glyphs) -> None:
    assert all(len(trail(WHOLE, now, 80, glyphs)) == len(WHOLE) for now in range(len(WHOLE)))


def test_done_and_to_come_differ_without_colour() -> None:
    first, last = (trail(WHOLE, now, 80, Glyphs.ASCII) for now in (0, len(WHOLE) - 1))
    assert all("-" in text for text, _ in first[1:])
    assert all("=" in text for text, _ in last[:-1])


def test_the_eyes_are_marked_where_they_begin() -> None:
    text = "".join(run for run, _ in trail(WHOLE, 0, 80, Glyphs.ASCII))
    assert text.index("(#") < text.index(")#")


def test_bad_stops_are_named() -> None:
    with pytest.raises(ValueError, match="stop 3 of a trail of 1"):
        trail((("plan", None),), 3, 80, Glyphs.ASCII)
    with pytest.raises(ValueError, match="no sign for step 'polish'"):
        trail((("polish", None),), 0, 80, Glyphs.ASCII)

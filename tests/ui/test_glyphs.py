"""Which way of drawing a terminal gets."""

import pytest

from assistant.ui.glyphs import ASCII_AREA, COLOURS, Glyphs, detect
from assistant.ui.shapes import Ink


@pytest.mark.parametrize(
    ("environ", "encoding", "expected"),
    [
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor"}, "utf-8", Glyphs.TRUECOLOR),
        ({"TERM": "xterm"}, "UTF-8", Glyphs.SIXTEEN),
        ({"TERM": "linux"}, "utf-8", Glyphs.ASCII),
        ({"TERM": "xterm", "COLORTERM": "truecolor"}, "iso-8859-1", Glyphs.ASCII),
        ({"TERM": "xterm"}, None, Glyphs.ASCII),
        ({"TERM": "linux", "ASSISTANT_GLYPHS": "Sixteen"}, "utf-8", Glyphs.SIXTEEN),
    ],
)
def test_detect(environ: dict[str, str], encoding: str | None, expected: Glyphs) -> None:
    assert detect(environ, encoding) is expected


def test_an_unknown_name_is_refused_with_what_is_allowed() -> None:
    with pytest.raises(ValueError, match="'neon'; allowed are truecolor, sixteen, ascii"):
        detect({"ASSISTANT_GLYPHS": "neon"}, "utf-8")


def test_every_ink_can_be_told_apart_without_colour() -> None:
    drawn = [ink for ink in Ink if ink is not Ink.VOID]
    assert set(ASCII_AREA) == set(drawn)
    assert len(set(ASCII_AREA.values())) == len(drawn)
    assert all(set(colours) == set(drawn) for colours in COLOURS.values())

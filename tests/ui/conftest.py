"""Reading geometry back out of drawn cells."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.ui.canvas import Cells
from assistant.ui.shapes import Ink, Scene

Points = NDArray[np.float64]
Reader = Callable[[Cells, Scene, Ink], Points]

_BRAILLE = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
_QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"


def samples_of(char: str) -> list[tuple[int, int]]:
    """Which of the 2 by 4 samples of a cell a character shows, as (across, down)."""
    code = ord(char) - 0x2800
    if 0 <= code < 0x100:
        return [place for bit, place in enumerate(_BRAILLE) if code >> bit & 1]
    quarters = max(0, _QUARTERS.find(char))
    return [
        (quarter % 2, 2 * (quarter // 2) + half)
        for quarter in range(4)
        if quarters >> quarter & 1
        for half in (0, 1)
    ]


def drawn_points(cells: Cells, scene: Scene, ink: Ink) -> Points:
    """World coordinates of every sample shown in `ink`, shape (n, 2)."""
    width, height = len(cells[0]) * 2, len(cells) * 4
    scale = min(width / scene.width, height / scene.height)
    found = [
        ((column * 2 + across + 0.5 - width / 2) / scale, (height / 2 - row * 4 - down - 0.5) / scale)
        for row, line in enumerate(cells)
        for column, cell in enumerate(line)
        if cell.ink is ink
        for across, down in samples_of(cell.char)
    ]
    return np.array(found).reshape(-1, 2)


@pytest.fixture
def points() -> Reader:
    return drawn_points

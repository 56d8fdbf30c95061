"""What a practice is worth, in filled lenses: a helper who cannot read counts them, and hears them."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.lesson.naming import TALL, WIDE, nothing
from assistant.lesson.parts import sign_of
from assistant.optics.eye import Eye
from assistant.practice.rehearsal import NONE
from assistant.ui.pictures.parts import Shapes, lens
from assistant.ui.shapes import Numeral, Scene, moved, outline

FINDING, READING = 3, 2
MOST: Final = FINDING + READING
_APART: Final = 46.0


class Found(StrEnum):
    """How the helper came to name the mistake."""

    RAISED = "raised"
    """By a raised hand, before the tool said that anything was wrong."""
    FIRST = "first"
    """At the tool's question, at once."""
    SECOND = "second"
    MISSED = "missed"


_FOR_FINDING: Final = {Found.RAISED: 3, Found.FIRST: 2, Found.SECOND: 1, Found.MISSED: 0}


@dataclass(frozen=True, slots=True)
class Score:
    """One practice counted."""

    mistake: str
    """The code that names it; none where nothing went wrong."""
    eye: Eye | None
    found: Found
    false_alarms: int
    """Hands raised for a mistake that there was not."""
    readings: int
    misread: int
    """Readings that were keyed otherwise than the instrument showed."""

    @property
    def for_finding(self) -> int:
        """0 to 3 lenses; where nothing went wrong, to say so at once is worth all three."""
        whole = self.mistake == NONE and self.found is Found.FIRST
        return max(0, (FINDING if whole else _FOR_FINDING[self.found]) - self.false_alarms)

    @property
    def for_reading(self) -> int:
        """2 lenses for no reading wrong, 1 for one or two."""
        return READING if not self.misread else 1 if self.misread <= 2 else 0

    @property
    def lenses(self) -> int:
        return self.for_finding + self.for_reading

    @property
    def scene(self) -> Scene:
        """The mistake over the lenses for finding it, a reading over the lenses for reading."""
        sign = nothing((0.0, 0.0)) if self.mistake == NONE else sign_of(self.mistake, self.eye or Eye.RIGHT)
        window = (outline((0.0, 0.0), 40.0, 20.0), Numeral(0.0, 0.0, "0.75", 12.0))
        return Scene(
            (
                *moved(sign, (-48.0, 26.0), 1.5),
                *moved(window, (84.0, 26.0), 1.2),
                *_row(-48.0, self.for_finding, FINDING),
                *_row(84.0, self.for_reading, READING),
            ),
            WIDE,
            TALL,
        )

    @property
    def text(self) -> str:
        return f"{self.mistake} {self.found} lenses {self.lenses} of {MOST}"


def _row(middle: float, filled: int, most: int) -> Shapes:
    """Lenses in a row, as many of them filled as were earned."""
    first = middle - (most - 1) * _APART / 2.0
    places = [first + number * _APART for number in range(most)]
    return tuple(part for n, x in enumerate(places) for part in lens((x, -24.0), 17.0, filled=n < filled))

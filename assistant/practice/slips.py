"""What hands and eyes get wrong, how often, and what a checked pair should then be told.

Rates are chances per opportunity. All are assumed: no counts of mistakes at such a bench are known to us.
They are set high on purpose, so that a hundred pairs meet every mistake.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Final


class Slip(StrEnum):
    """Mistakes of the hands, in the order of the work; then misreadings."""

    WRONG_FRAME = "wrong_frame"
    WRONG_POCKET = "wrong_pocket"
    """The pocket beside it is opened; its own check number is read out."""
    STRAY_LENS = "stray_lens"
    """Somebody put a neighbour's lens into the right pocket; it is read as it is."""
    NEIGHBOUR_POCKET = "neighbour_pocket"
    """The same, and the helper reads the pocket's label instead of the lens."""
    SPHERE_SIGN = "sphere_sign"
    """A lens of the other sign lies in the pocket, and the label is read instead of the lens."""
    PLUS_AXIS_DOTTED = "plus_axis_dotted"
    SLOT_ON_CENTRE_LINE = "slot_on_centre_line"
    CUT_FOR_OTHER_EYE = "cut_for_other_eye"
    MARKED_FACE_DOWN = "marked_face_down"
    SCALE_MISREAD_TEN = "scale_misread_ten"
    DIGITS_CONFUSED = "digits_confused"
    DIGITS_SWAPPED = "digits_swapped"
    SCALE_SET_WRONG = "scale_set_wrong"
    """Set wrongly and read back as it lies."""
    SLOT_SHALLOW = "slot_shallow"
    SLOT_DEEP = "slot_deep"
    PIN_LONG = "pin_long"
    PIN_SHORT = "pin_short"
    FITTED_FACE_DOWN = "fitted_face_down"
    TURNED_IN_RIM = "turned_in_rim"
    """The lens stands beside its pin, or the pin was shorter than it was said to be."""
    LENSES_SWAPPED = "lenses_swapped"
    CHIPPED = "chipped"
    FRAME_BENT = "frame_bent"
    READ_SIGN = "read_sign"
    READ_STEP = "read_step"
    READ_AXIS_TEN = "read_axis_ten"
    READ_AXIS_DIGITS = "read_axis_digits"
    RULE_MISREAD = "rule_misread"


MISREADINGS: Final = (
    Slip.READ_SIGN,
    Slip.READ_STEP,
    Slip.READ_AXIS_TEN,
    Slip.READ_AXIS_DIGITS,
    Slip.RULE_MISREAD,
)

CAUSE_OF: Final[Mapping[Slip, str]] = MappingProxyType(
    {
        Slip.WRONG_FRAME: "wrong_frame",
        Slip.NEIGHBOUR_POCKET: "neighbour_pocket",
        Slip.SPHERE_SIGN: "sphere_sign",
        Slip.PLUS_AXIS_DOTTED: "plus_axis_dotted",
        Slip.SLOT_ON_CENTRE_LINE: "slot_on_centre_line",
        Slip.CUT_FOR_OTHER_EYE: "cut_for_other_eye",
        Slip.MARKED_FACE_DOWN: "face_down",
        Slip.SCALE_MISREAD_TEN: "scale_misread_ten",
        Slip.DIGITS_CONFUSED: "digits_confused",
        Slip.DIGITS_SWAPPED: "digits_swapped",
        Slip.FITTED_FACE_DOWN: "face_down",
        Slip.TURNED_IN_RIM: "turned_in_rim",
        Slip.LENSES_SWAPPED: "lenses_swapped",
        Slip.FRAME_BENT: "height_wrong",
    }
)
"""What the check of the finished pair should name; a slip that is not here is caught before."""

_ASSUMED: Final[Mapping[Slip, float]] = {
    Slip.WRONG_FRAME: 0.005,
    Slip.WRONG_POCKET: 0.02,
    Slip.STRAY_LENS: 0.005,
    Slip.NEIGHBOUR_POCKET: 0.003,
    Slip.SPHERE_SIGN: 0.002,
    Slip.PLUS_AXIS_DOTTED: 0.01,
    Slip.SLOT_ON_CENTRE_LINE: 0.02,
    Slip.CUT_FOR_OTHER_EYE: 0.01,
    Slip.MARKED_FACE_DOWN: 0.01,
    Slip.SCALE_MISREAD_TEN: 0.01,
    Slip.DIGITS_CONFUSED: 0.005,
    Slip.DIGITS_SWAPPED: 0.005,
    Slip.SCALE_SET_WRONG: 0.02,
    Slip.SLOT_SHALLOW: 0.05,
    Slip.SLOT_DEEP: 0.01,
    Slip.PIN_LONG: 0.05,
    Slip.PIN_SHORT: 0.03,
    Slip.FITTED_FACE_DOWN: 0.01,
    Slip.TURNED_IN_RIM: 0.02,
    Slip.LENSES_SWAPPED: 0.01,
    Slip.CHIPPED: 0.01,
    Slip.FRAME_BENT: 0.01,
    Slip.READ_SIGN: 0.005,
    Slip.READ_STEP: 0.01,
    Slip.READ_AXIS_TEN: 0.005,
    Slip.READ_AXIS_DIGITS: 0.003,
    Slip.RULE_MISREAD: 0.005,
}


@dataclass(frozen=True, slots=True)
class Rates:
    """How often each slip happens at each opportunity, and how steady hand and eye are."""

    chance_of: Mapping[Slip, float] = field(default_factory=lambda: MappingProxyType({}))
    hand_deg: float = 0.4
    """Dotting, ticking and cutting each miss by up to this much. Assumed."""
    eye_d: float = 0.0
    """Cylinder that the eye overlooks as it turns the lens to its axis for dotting, one sigma. Assumed."""
    reading_d: float = 0.0
    """The same at a reading, and how far a drum is set from sharp; 0: readings are true to the step."""

    def only_hands(self) -> "Rates":
        """The same with every reading true to the instrument's step."""
        kept: dict[Slip, float] = {
            slip: chance for slip, chance in self.chance_of.items() if slip not in MISREADINGS
        }
        return Rates(MappingProxyType(kept), self.hand_deg, self.eye_d, 0.0)


CAREFUL: Final = Rates()
"""No slips at all; hands as steady as hands are."""
LEARNER: Final = Rates(_ASSUMED, hand_deg=0.4, eye_d=0.005, reading_d=0.01)

_SAID_ALIKE: Final = ((12, 20), (13, 30), (14, 40), (15, 50), (16, 60), (17, 70), (18, 80), (19, 90))
"""Fifteen for fifty: PA Patient Safety Advisory, June 2006. The others: common practice, no source."""


def said_alike(number: int) -> tuple[int, ...]:
    """Axes that may be heard for this one."""
    hundreds, rest = number // 100 * 100, number % 100
    other = [b if rest == a else a for a, b in _SAID_ALIKE if rest in (a, b)]
    return tuple(hundreds + n for n in other if hundreds + n <= 180)


def turned_round(number: int) -> tuple[int, ...]:
    """Axes got by keying two neighbouring figures in the wrong order."""
    said = str(number)
    found = (int(said[:i] + said[i + 1] + said[i] + said[i + 2 :]) for i in range(len(said) - 1))
    return tuple(n for n in found if 1 <= n <= 180 and n != number)

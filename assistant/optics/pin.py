"""The slot's depth and the pin's length: long enough to hold, short enough not to press on the lens.

Lengths in millimetres, the pin measured as far as it stands into the slot. Common practice, no source.
A measurement exactly on a limit is allowed.
"""

import math
from enum import StrEnum
from typing import Final

from assistant.optics.power import OpticsError

GAUGE_ROUNDING_MM: Final = 1e-9
"""0.9 - 0.2 is not 0.7 in binary; a millionth of a micrometre decides nothing."""


class SlotOutcome(StrEnum):
    SHALLOW = "shallow"
    RIGHT = "right"
    DEEP = "deep"


class PinOutcome(StrEnum):
    LONG = "long"
    RIGHT = "right"
    SHORT = "short"


class PinCannotHold(OpticsError):  # noqa: N818 - names what happened at the bench
    """No pin length is both clear of the slot's floor and long enough to hold."""


def pin_length_mm(slot_depth_mm: float, clearance_mm: float, least_engagement_mm: float) -> float:
    """Pin length wanted: measured slot depth less the clearance.

    Raises `PinCannotHold` where that is under the least engagement, `OpticsError` for an impossible length.
    """
    _require_length("slot depth", slot_depth_mm)
    _require_length("clearance", clearance_mm)
    _require_length("least engagement", least_engagement_mm)
    wanted = slot_depth_mm - clearance_mm
    if wanted < least_engagement_mm - GAUGE_ROUNDING_MM:
        raise PinCannotHold(
            f"slot {slot_depth_mm:g} mm deep with {clearance_mm:g} mm of clearance leaves a pin of"
            f" {wanted:.2f} mm; allowed is at least {least_engagement_mm:g} mm"
        )
    return wanted


def judge_slot_depth(depth_mm: float, least_mm: float, most_mm: float) -> SlotOutcome:
    """Shallow: cut again. Deep: the lens is set aside."""
    _require_length("slot depth", depth_mm)
    if depth_mm < least_mm - GAUGE_ROUNDING_MM:
        return SlotOutcome.SHALLOW
    return SlotOutcome.DEEP if depth_mm > most_mm + GAUGE_ROUNDING_MM else SlotOutcome.RIGHT


def judge_pin(
    pin_mm: float, slot_depth_mm: float, clearance_mm: float, least_engagement_mm: float
) -> PinOutcome:
    """Long: trim again. Short: it cannot hold, so a new pin or another frame.

    Raises as `pin_length_mm` does, where no length at all would be right.
    """
    _require_length("pin", pin_mm)
    longest = pin_length_mm(slot_depth_mm, clearance_mm, least_engagement_mm)
    if pin_mm > longest + GAUGE_ROUNDING_MM:
        return PinOutcome.LONG
    return PinOutcome.SHORT if pin_mm < least_engagement_mm - GAUGE_ROUNDING_MM else PinOutcome.RIGHT


def _require_length(name: str, value_mm: float) -> None:
    if not (math.isfinite(value_mm) and value_mm >= 0):
        raise OpticsError(f"{name} is {value_mm:g} mm; allowed is 0 mm or more")

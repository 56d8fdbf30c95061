"""What can still be made of a lens that reads wrong.

Bearings of slots are measured from the lens's own minus-axis dotted line, anticlockwise, curved side towards
the viewer. A lens that reads axis M has the slot on its pin at `pin - M`; it should be at `pin - A`, so the
new slot lies M - A round from the old one; half a turn further is the same lens (front view, derived here).
A new slot must leave a kit distance of untouched edge between itself and every slot already there.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.optics.diagnosis import Cause
from assistant.optics.eye import Eye
from assistant.optics.faults import CauseCode, Marking, marked_at_deg
from assistant.optics.power import OpticsError, Power
from assistant.optics.slot import pin_bearing_deg


class RescueKind(StrEnum):
    NONE_NEEDED = "none_needed"
    TURN_OVER = "turn_over"
    SWAP_LENSES = "swap_lenses"
    SEAT_AGAIN = "seat_again"
    SECOND_SLOT = "second_slot"
    SET_ASIDE = "set_aside"


@dataclass(frozen=True, slots=True)
class Edge:
    """What a second slot must respect, millimetres."""

    radius_mm: float
    slot_width_mm: float
    spacing_mm: float
    """Least arc of untouched edge between two slots."""

    def gap_mm(self, turn_deg: float) -> float:
        """Untouched edge between two slots `turn_deg` apart; negative where they overlap."""
        return math.radians(abs(wrap_turn_deg(turn_deg))) * self.radius_mm - self.slot_width_mm

    def clears(self, gap_mm: float) -> bool:
        return gap_mm >= self.spacing_mm - 1e-9


@dataclass(frozen=True, slots=True)
class NewSlot:
    turn_deg: float
    """From the slot now at the pin, in (-180, 180], anticlockwise in front view."""
    gap_mm: float
    """Untouched edge to the nearest slot already there."""
    clears: bool


@dataclass(frozen=True, slots=True)
class Rescue:
    """What to do. `turn_from_old_slot_deg` and `scale_setting_deg` only for a second slot."""

    kind: RescueKind
    turn_from_old_slot_deg: float | None
    scale_setting_deg: float | None
    reason: str
    dot_again: bool = False
    """The dots cannot be trusted: dot the lens afresh before anything is marked."""
    otherwise: "Rescue | None" = None
    """What to do where the first look shows that `kind` cannot be it."""


_DOT_AGAIN: Final = (CauseCode.PLUS_AXIS_DOTTED, CauseCode.TURNED_IN_RIM, CauseCode.UNKNOWN)
"""Causes after which the dots are known to be wrong, or are not known to be right."""
_ALIKE: Final = 1e-6
_SAME_SLOT_DEG: Final = 0.5
"""A slot this near to where one is wanted is that slot."""


def wrap_turn_deg(turn_deg: float) -> float:
    """A turn in (-180, 180]."""
    wrapped = turn_deg % 360.0
    return wrapped - 360.0 if wrapped > 180.0 else wrapped


def new_slot(
    ordered_axis_deg: float, measured_axis_deg: float, edge: Edge, other_slots_deg: Sequence[float] = ()
) -> NewSlot:
    """The better end of the right diameter: the one farther from every slot already cut, degrees.

    `other_slots_deg`: turns from the slot now at the pin to further old slots, if there are any.
    """
    turn = measured_axis_deg - ordered_axis_deg
    old = (0.0, *other_slots_deg)
    ends = [wrap_turn_deg(turn), wrap_turn_deg(turn + 180.0)]
    gaps = [min(edge.gap_mm(end - slot) for slot in old) for end in ends]
    best = 1 if farther(gaps[1], gaps[0]) else 0
    return NewSlot(ends[best], gaps[best], edge.clears(gaps[best]))


def farther(second: float, first: float) -> bool:
    """Whether the second end, half a turn on, is the better one; of ends alike, a quarter turn off, it is not."""
    return second > first + _ALIKE


def axes_left(
    eye: Eye, depression_deg: float, slots_from_line_deg: Sequence[float], edge: Edge
) -> tuple[int, ...]:
    """Whole axes, 1 to 180, that a lens with these slots can still be given in this eye.

    By a new slot at either end that clears all old ones, or by an old slot that lies right already.
    """
    pin = pin_bearing_deg(eye, depression_deg)

    def possible(bearing_deg: float) -> bool:
        turns = [wrap_turn_deg(bearing_deg - slot) for slot in slots_from_line_deg]
        fits_old = any(abs(turn) <= _SAME_SLOT_DEG for turn in turns)
        return fits_old or all(edge.clears(edge.gap_mm(turn)) for turn in turns)

    return tuple(a for a in range(1, 181) if possible(pin - a) or possible(pin - a + 180.0))


@dataclass(frozen=True, slots=True)
class Worn:
    """A finished lens as it reads in its rim. Raises `OpticsError` for an edge that cannot hold a slot."""

    eye: Eye
    read: Power
    """In either cylinder form."""
    marking: Marking
    edge: Edge
    slots_from_line_deg: tuple[float, ...] = ()
    """All its slots, the one on the pin last; empty where it has that one only."""

    def __post_init__(self) -> None:
        edge = self.edge
        if not 0 < edge.slot_width_mm < edge.radius_mm or edge.spacing_mm < 0:
            raise OpticsError(
                f"slot {edge.slot_width_mm:g} mm wide, {edge.spacing_mm:g} mm apart on a lens of radius"
                f" {edge.radius_mm:g} mm; allowed is a slot narrower than the radius, a spacing of 0 or more"
            )

    @property
    def slots(self) -> tuple[float, ...]:
        on_pin = pin_bearing_deg(self.eye, self.marking.depression_deg)
        return self.slots_from_line_deg or ((on_pin - (self.read.minus_form.axis or 0.0)) % 360.0,)


def rescue(cause: Cause, ordered: Power, worn: Worn) -> Rescue:
    """The way out for the likeliest cause of a failed reading; `ordered` in either cylinder form."""
    code = cause.code
    if code is CauseCode.LENSES_SWAPPED:
        return _plain(RescueKind.SWAP_LENSES, "each lens is right for the other rim: exchange the two lenses")
    if code in (CauseCode.SPHERE_SIGN, CauseCode.NEIGHBOUR_POCKET):
        return _set_aside("its powers are not the ones ordered", worn)
    if code is CauseCode.UNKNOWN and not math.isfinite(cause.misfit):
        aside = _set_aside("nothing explains its powers", worn)
        return _plain(RescueKind.SEAT_AGAIN, f"{_SLIP}: {aside.reason}", aside)
    slot = _second_slot(code, ordered.minus_form, worn)
    if code is CauseCode.FACE_DOWN:
        return _plain(RescueKind.TURN_OVER, f"{_OVER}: {slot.reason}", slot)
    if code is CauseCode.TURNED_IN_RIM:
        return _plain(RescueKind.SEAT_AGAIN, f"{_SEAT}: {slot.reason}", slot)
    if code is CauseCode.UNKNOWN:
        return _plain(RescueKind.SEAT_AGAIN, f"{_BARELY}: {slot.reason}", slot)
    return slot


def none_needed() -> Rescue:
    """For a lens that passes."""
    return _plain(RescueKind.NONE_NEEDED, "the lens passes")


_OVER: Final = (
    "turn the lens over, so that its curved side ends outwards;"
    " if it is outwards already, it was marked face down"
)
_SEAT: Final = (
    "loosen the rim, seat the lens with the pin in its slot, tighten, and read again, with a new pin if the"
    " old one is too short; if the lens sits firmly on its pin"
)
_SLIP: Final = "it may have been misread: seat it, tighten, and read once more; if it reads the same"
_BARELY: Final = (
    "barely outside, as a lens made right may read: seat it, tighten, and read once more;"
    " if it reads the same"
)


def _plain(kind: RescueKind, reason: str, otherwise: Rescue | None = None) -> Rescue:
    return Rescue(kind, None, None, reason, otherwise=otherwise)


def _second_slot(code: CauseCode, want: Power, worn: Worn) -> Rescue:
    read, marking = worn.read.minus_form, worn.marking
    if want.axis is None or read.axis is None:
        return _set_aside("it has no axis to put right", worn)
    on_pin, edge = worn.slots[-1], worn.edge
    found = new_slot(want.axis, read.axis, edge, [slot - on_pin for slot in worn.slots[:-1]])
    if not found.clears:
        gap = max(found.gap_mm, 0.0)
        return _set_aside(
            f"a new slot would leave {gap:.1f} mm to an old one, {edge.spacing_mm:g} needed", worn
        )
    setting = marked_at_deg(marking, worn.eye, want.axis)
    dot_again = code in _DOT_AGAIN
    first = "dot the lens again along its minus axis, then " if dot_again else ""
    reason = (
        f"{first}cut a second slot: dotted line at {setting:g}, new slot {found.turn_deg:+.0f} degrees from"
        f" the old one, {found.gap_mm:.1f} mm clear"
    )
    return Rescue(RescueKind.SECOND_SLOT, found.turn_deg, setting, reason, dot_again)


def _set_aside(why: str, worn: Worn) -> Rescue:
    return _plain(RescueKind.SET_ASIDE, f"{why}: set it aside; {_still_good(worn)}")


def _still_good(worn: Worn) -> str:
    """What a lens set aside can be used for, in words."""
    read = worn.read.minus_form
    if read.axis is None:
        return f"it serves any order of {read}, in the slot that it has"
    powers = f"{read.sphere:+.2f}/{read.cylinder:+.2f}"
    left = {eye: axes_left(eye, worn.marking.depression_deg, worn.slots, worn.edge) for eye in Eye}
    if all(len(axes) == 180 for axes in left.values()):
        return f"it serves any order of {powers} at any axis, with a slot at one end or the other"
    said = ", ".join(f"{eye.value} eye {_spans(axes) or 'none'}" for eye, axes in left.items())
    return f"it serves orders of {powers} at these axes: {said}"


def _spans(axes: tuple[int, ...]) -> str:
    """Whole axes as spans: (1, 2, 3, 9) is "1-3, 9-9"."""
    starts = [axis for axis in axes if axis - 1 not in axes]
    ends = [axis for axis in axes if axis + 1 not in axes]
    return ", ".join(f"{start}-{end}" for start, end in zip(starts, ends, strict=True))

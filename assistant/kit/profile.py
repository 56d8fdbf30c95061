"""What is in the case, as frozen values. `load.py` reads and validates it; nothing here is a constant.

Lengths in millimetres, angles in degrees, powers in dioptres, times in seconds.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from assistant.kit.bank import Bank
from assistant.optics.eye import Eye
from assistant.optics.power import Power


class NasalIndex(StrEnum):
    """Where the protractor's nasal index is drawn."""

    AT_PIN = "at_pin"
    ON_CENTRE_LINE = "on_centre_line"


@dataclass(frozen=True, slots=True)
class LensBlank:
    diameter_mm: float
    refractive_index: float
    front_power_d: float
    """Surface power of the curved (front) side of a minus lens; plus lenses add what they need."""
    least_centre_mm: float
    least_edge_mm: float
    rim_depth_mm: float
    """How thick an edge the rim hides; a thicker lens stands proud."""

    @property
    def radius_mm(self) -> float:
        return self.diameter_mm / 2.0


@dataclass(frozen=True, slots=True)
class FrameSize:
    centre_distance_mm: float
    colours: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Pin:
    drop_mm: float
    """How far the pin sits below the rim's horizontal centre line."""
    diameter_mm: float
    length_mm: float
    least_engagement_mm: float
    clearance_mm: float
    """Clearance wanted between the pin's end and the slot's floor."""


@dataclass(frozen=True, slots=True)
class Slot:
    width_mm: float
    least_depth_mm: float
    aimed_depth_mm: float
    most_depth_mm: float
    rescue_spacing_mm: float
    """Least arc of untouched edge between a first slot and a rescuing second one."""


@dataclass(frozen=True, slots=True)
class Protractor:
    nasal_index: NasalIndex
    step_deg: float


@dataclass(frozen=True, slots=True)
class Focimeter:
    power_step_d: float
    axis_step_deg: float
    reference: Power
    """The kit's reference lens, read at the start of day."""
    power_tolerance_d: float
    axis_tolerance_deg: float
    """An offset found at the start of day beyond these stops the bench."""


@dataclass(frozen=True, slots=True)
class Limits:
    substitute_blur_d: float
    """A lens blurring more than this is never offered."""
    centre_distance_tolerance_mm: float
    height_tolerance_mm: float
    sphere_range_d: tuple[float, float]
    strongest_cylinder_d: float
    near_working_distance_mm: float
    acuity_question: int
    """A wearer who reads worse than 6/x with the finished pair is a question for the supervisor."""


@dataclass(frozen=True, slots=True)
class Tray:
    """How pockets lie in the case: numbered from 1, row by row from the top left, tray after tray."""

    columns: int
    rows: int


@dataclass(frozen=True, slots=True)
class Kit:
    name: str
    lens: LensBlank
    fitted_vertex_mm: float
    frames: tuple[FrameSize, ...]
    pin: Pin
    slot: Slot
    protractor: Protractor
    focimeter: Focimeter
    limits: Limits
    tray: Tray
    standard: str
    """Id of the tolerance standard in force, one of `optics.tolerance.STANDARDS`."""
    time_budget_s: Mapping[str, float]
    """Step id to seconds."""
    supervisor_codes: tuple[str, ...]
    bank: Bank

    @property
    def pin_depression_deg(self) -> float:
        """alpha = asin(h/r): how far below the horizontal the pin lies, seen from the lens centre."""
        return math.degrees(math.asin(self.pin.drop_mm / self.lens.radius_mm))

    def pin_bearing_deg(self, eye: Eye) -> float:
        """Front-view bearing of the pin, 0 to 360: -alpha right eye, 180 + alpha left eye."""
        return (eye.nasal_bearing_deg - eye.nasal_sign * self.pin_depression_deg) % 360.0

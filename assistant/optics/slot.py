"""Where the slot goes, so that the pin holds the lens at its axis; and what a turned lens costs.

Front view, degrees anticlockwise from the viewer's right. A pin h below the centre line of a lens of radius
r lies alpha = asin(h/r) below the horizontal on the nasal side: at -alpha right eye, 180 + alpha left eye.

The lens lies on the protractor curved side up, so as in front view, its dotted line (the minus axis) at the
scale setting, and is ticked at the nasal index. Worn, that tick is at the pin. Where the index is drawn at
pin height nothing turns between scale and rim: the setting is the axis A. Where it is drawn on the centre
line the lens turns from 0 to -alpha (right) or from 180 to 180 + alpha (left) to be worn, so the setting
must be alpha more (right) or alpha less (left) than the axis. Geometry of the job, derived here.
"""

import math
from dataclasses import dataclass
from typing import Final

from assistant.optics.eye import Eye
from assistant.optics.power import (
    OpticsError,
    Power,
    axis_difference_deg,
    from_vector,
    require_range,
    wrap_axis,
)

_WHOLE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Setting:
    """Where the dotted line goes on the protractor, degrees."""

    exact_deg: float
    setting_deg: float
    """`exact_deg` to the protractor's step, in (0, 180]."""
    rounding_deg: float
    """Setting minus exact, signed: the axis error that the step costs."""


def pin_depression_deg(drop_mm: float, radius_mm: float) -> float:
    """alpha = asin(h/r): how far below the horizontal the pin lies, degrees; drop and radius in mm.

    Raises `OpticsError` unless the radius is positive and the drop at least 0 and less than the radius.
    """
    if not (math.isfinite(radius_mm) and radius_mm > 0):
        raise OpticsError(f"lens radius is {radius_mm:g} mm; allowed is more than 0 mm")
    if not 0 <= drop_mm < radius_mm:
        raise OpticsError(f"pin drop is {drop_mm:g} mm; allowed is 0 to less than {radius_mm:g} mm")
    return math.degrees(math.asin(drop_mm / radius_mm))


def pin_bearing_deg(eye: Eye, depression_deg: float) -> float:
    """Front-view bearing of the pin in [0, 360): 360 - alpha right eye, 180 + alpha left eye."""
    return (eye.nasal_bearing_deg - eye.nasal_sign * _depression(depression_deg)) % 360.0


def slot_from_line_deg(eye: Eye, axis_deg: float, depression_deg: float) -> float:
    """Bearing of the slot from the lens's own dotted line (minus axis), in [0, 360).

    -alpha - A right eye, 180 + alpha - A left eye; 180 further is the same lens.
    """
    return (pin_bearing_deg(eye, depression_deg) - _axis(axis_deg)) % 360.0


def scale_setting_deg(
    eye: Eye, axis_deg: float, depression_deg: float, index_on_centre_line: bool, step_deg: float
) -> Setting:
    """Where the dotted line (minus axis) goes on the protractor, to its step; see the module for why.

    All in degrees. `step_deg` is the protractor's and must divide 180. Raises `OpticsError`.
    """
    turn = eye.nasal_sign * _depression(depression_deg) if index_on_centre_line else 0.0
    exact = wrap_axis(_axis(axis_deg) + turn)
    setting = to_step_deg(exact, step_deg)
    return Setting(exact, setting, axis_difference_deg(setting, exact))


def to_step_deg(axis_deg: float, step_deg: float) -> float:
    """An axis to the nearest mark of a scale that has one every `step_deg`, in (0, 180]; halves go up."""
    require_range("protractor step", step_deg, 0.1, 30.0, " degrees")
    steps = 180.0 / step_deg
    if abs(steps - round(steps)) > _WHOLE * steps:
        raise OpticsError(f"protractor step is {step_deg:g} degrees; allowed is a step that divides 180")
    return wrap_axis(math.floor(axis_deg / step_deg + 0.5 + _WHOLE) * step_deg)


def play_deg(slot_width_mm: float, pin_diameter_mm: float, radius_mm: float) -> float:
    """The most a lens can turn on its pin, degrees: (slot width - pin diameter) / radius radians.

    The whole travel from one wall to the other. Raises `OpticsError` if the pin is wider than the slot.
    """
    if not (math.isfinite(radius_mm) and radius_mm > 0):
        raise OpticsError(f"lens radius is {radius_mm:g} mm; allowed is more than 0 mm")
    if not 0 < pin_diameter_mm <= slot_width_mm < 2 * radius_mm:
        raise OpticsError(
            f"slot {slot_width_mm:g} mm wide for a pin of {pin_diameter_mm:g} mm; allowed is a slot at least"
            f" as wide as the pin and narrower than the lens"
        )
    return math.degrees((slot_width_mm - pin_diameter_mm) / radius_mm)


def residual_cylinder(cylinder_d: float, turn_deg: float) -> float:
    """Cylinder left uncorrected when a cylinder is worn `turn_deg` off axis: |2 C sin t|, dioptres."""
    return abs(2.0 * cylinder_d * math.sin(math.radians(turn_deg)))


def residual(needed: Power, worn: Power) -> Power:
    """What is still missing with `worn` in place of `needed`: needed minus worn, minus form."""
    return from_vector(needed.vector - worn.vector)


def axis_budget_deg(rounding_deg: float, play_deg: float, focimeter_axis_step_deg: float) -> float:
    """Most axis error that careful work can still show, degrees.

    Rounding of the setting, the whole play (the tick may have become a wall of the slot, not its middle)
    and half a step of the focimeter's axis scale.
    """
    require_range("play", play_deg, 0.0, 90.0, " degrees")
    require_range("focimeter axis step", focimeter_axis_step_deg, 0.0, 90.0, " degrees")
    return abs(rounding_deg) + play_deg + focimeter_axis_step_deg / 2.0


def _depression(depression_deg: float) -> float:
    return require_range("pin depression", depression_deg, 0.0, 90.0, " degrees")


def _axis(axis_deg: float) -> float:
    return require_range("axis", axis_deg, 0.0, 180.0)

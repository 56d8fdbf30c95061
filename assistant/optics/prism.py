"""Prism away from the optical centre, with the full power matrix, and what two eyes make of it.

Front view: x to the viewer's right, y up. Base vector p = -F r, r the pupil seen from the optical centre in
centimetres, p in prism dioptres. Prentice's rule in matrix form: Long 1976; Keating (from memory, sure).
p_x > 0 is base in for the right eye and base out for the left; p_y > 0 is base up.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import numpy.typing as npt

from assistant.optics.eye import Eye
from assistant.optics.power import Floats, OpticsError, Power

NO_PRISM: Final = 1e-9
"""Below this a prism is rounding."""

Base = Literal["in", "out"]


@dataclass(frozen=True, slots=True)
class Imbalance:
    """What the two eyes must make up together, in prism dioptres; neither figure is ever negative.

    `base` is None where there is no horizontal prism.
    """

    horizontal: float
    base: Base | None
    vertical: float


def prisms(power: Power, pupil_from_centre_mm: npt.ArrayLike) -> Floats:
    """Base vectors for many pupil places: offsets (..., 2) in millimetres, result (..., 2) prism dioptres."""
    offsets = np.asarray(pupil_from_centre_mm, float)
    if offsets.shape[-1:] != (2,) or not np.isfinite(offsets).all():
        raise OpticsError("pupil offset must be finite (x, y) pairs in millimetres")
    return np.asarray(offsets / 10.0 @ -power.matrix + 0.0, float)


def prism(power: Power, pupil_from_centre_mm: tuple[float, float]) -> tuple[float, float]:
    """Base vector (x, y) in prism dioptres where the pupil lies (x, y) mm from the optical centre."""
    x, y = prisms(power, pupil_from_centre_mm)
    return float(x), float(y)


def base_names(eye: Eye, base: tuple[float, float]) -> tuple[str, str]:
    """A base vector in words: ("0.725 BO", "0.678 BU"); "0" where there is none."""
    x, y = base
    horizontal = "BI" if x * eye.nasal_sign > 0 else "BO"
    return _named(x, horizontal), _named(y, "BU" if y > 0 else "BD")


def _named(amount: float, base: str) -> str:
    return "0" if abs(amount) < NO_PRISM else f"{abs(amount):.3f} {base}"


def imbalances(
    right_power: Power,
    left_power: Power,
    right_offsets_mm: npt.ArrayLike,
    left_offsets_mm: npt.ArrayLike,
) -> tuple[Floats, Floats]:
    """Imbalance for many frames at once: offsets (..., 2) mm, pupil seen from each lens's optical centre.

    Returns horizontal (...), base in positive and base out negative, both eyes added; and vertical (...),
    the difference between the eyes, never negative. Prism dioptres.
    """
    right, left = prisms(right_power, right_offsets_mm), prisms(left_power, left_offsets_mm)
    # in for the right eye is towards +x, for the left towards -x, so adding the bases is a difference in x
    return np.asarray(right[..., 0] - left[..., 0]), np.abs(right[..., 1] - left[..., 1])


def imbalance(
    right_power: Power,
    left_power: Power,
    right_offset_mm: tuple[float, float],
    left_offset_mm: tuple[float, float],
) -> Imbalance:
    """Imbalance of one pair; offsets are each pupil seen from its lens's optical centre, (x, y) mm."""
    horizontal, vertical = imbalances(right_power, left_power, right_offset_mm, left_offset_mm)
    return Imbalance(abs(float(horizontal)), base_of(float(horizontal)), float(vertical))


def base_of(horizontal_in_positive: float) -> Base | None:
    """The name of a signed horizontal prism, base in positive: "in", "out", or None when there is none."""
    if abs(horizontal_in_positive) < NO_PRISM:
        return None
    return "in" if horizontal_in_positive > 0 else "out"

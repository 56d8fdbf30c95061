"""Spherocylindrical powers: written forms, power vectors and power matrices.

Sources: Thibos, Wheeler and Horner, Optom Vis Sci 1997;74:367 (power vectors); Long 1976 and Keating
(power matrix; from memory); ISO 8429:1986 (axis notation, 180 written rather than 0).
"""

import math
import re
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

LARGEST_POWER_D: Final = 40.0
"""No spectacle lens is stronger; a larger figure is a slip of the finger."""
NO_CYLINDER_D: Final = 1e-9
"""Below this a cylinder is rounding, not a cylinder."""


class OpticsError(ValueError):
    """A value the optics cannot use; the message names it and its allowed range."""


def require_range(name: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Return `value` if it is a number within [low, high], else raise `OpticsError` naming all three."""
    if not (math.isfinite(value) and low <= value <= high):
        raise OpticsError(f"{name} is {value:g}{unit}; allowed is {low:g} to {high:g}{unit}")
    return float(value)


def wrap_axis(axis_deg: float) -> float:
    """An axis in (0, 180]: 0 becomes 180, 190 becomes 10."""
    wrapped = axis_deg % 180.0
    return 180.0 if wrapped < 1e-9 or wrapped > 180.0 - 1e-9 else wrapped


def axis_difference_deg(axis_deg: float, reference_deg: float) -> float:
    """Signed smallest turn from `reference_deg` to `axis_deg`, in (-90, 90]."""
    difference = (axis_deg - reference_deg) % 180.0
    return difference - 180.0 if difference > 90.0 else difference


@dataclass(frozen=True, slots=True)
class Power:
    """A power in dioptres, axis in degrees (None exactly when there is no cylinder).

    Either cylinder form may be held; `minus_form` is the canonical one. Raises `OpticsError` for a
    power beyond 40 D, an axis outside 1 to 180 (0 is read as 180), a cylinder without an axis.
    """

    sphere: float
    cylinder: float = 0.0
    axis: float | None = None

    def __post_init__(self) -> None:
        require_range("sphere", self.sphere, -LARGEST_POWER_D, LARGEST_POWER_D, " D")
        require_range("cylinder", self.cylinder, -LARGEST_POWER_D, LARGEST_POWER_D, " D")
        if abs(self.cylinder) < NO_CYLINDER_D:
            object.__setattr__(self, "cylinder", 0.0)
            object.__setattr__(self, "axis", None)
        elif self.axis is None:
            raise OpticsError(f"cylinder {self.cylinder:+.2f} D has no axis; allowed is 1 to 180")
        else:
            require_range("axis", self.axis, 0.0, 180.0)
            object.__setattr__(self, "axis", wrap_axis(self.axis))

    @property
    def mean(self) -> float:
        """Mean (spherical equivalent) power M = S + C/2, in dioptres."""
        return self.sphere + self.cylinder / 2.0

    @property
    def vector(self) -> Floats:
        """Power vector (M, J0, J45) in dioptres, shape (3,). Thibos et al. 1997."""
        return vectors(self.sphere, self.cylinder, 0.0 if self.axis is None else self.axis)

    @property
    def matrix(self) -> Floats:
        """Power matrix in dioptres, shape (2, 2), x to the viewer's right and y up. Long 1976."""
        angle = math.radians(self.axis or 0.0)
        s, c = math.sin(angle), math.cos(angle)
        off = -self.cylinder * s * c
        return np.array(
            [[self.sphere + self.cylinder * s * s, off], [off, self.sphere + self.cylinder * c * c]]
        )

    @property
    def meridians(self) -> tuple[float, float]:
        """The two principal powers, along the axis first, then across it, in dioptres."""
        return self.sphere, self.sphere + self.cylinder

    @property
    def transposed(self) -> "Power":
        """The same lens in the other cylinder form: S+C, -C, axis 90 degrees on."""
        if self.axis is None:
            return self
        return Power(self.sphere + self.cylinder, -self.cylinder, wrap_axis(self.axis + 90.0))

    @property
    def minus_form(self) -> "Power":
        return self.transposed if self.cylinder > 0 else self

    @property
    def plus_form(self) -> "Power":
        return self.transposed if self.cylinder < 0 else self

    def turned(self, turn_deg: float) -> "Power":
        """The lens turned anticlockwise in front view by `turn_deg`."""
        if self.axis is None:
            return self
        return Power(self.sphere, self.cylinder, wrap_axis(self.axis + turn_deg))

    def __str__(self) -> str:
        if self.axis is None:
            return f"{self.sphere:+.2f}"
        return f"{self.sphere:+.2f}/{self.cylinder:+.2f}x{self.axis:g}"


def vectors(sphere: npt.ArrayLike, cylinder: npt.ArrayLike, axis_deg: npt.ArrayLike) -> Floats:
    """Power vectors of many powers at once: inputs broadcast to shape (...), result (..., 3), dioptres.

    M = S + C/2, J0 = -(C/2) cos 2A, J45 = -(C/2) sin 2A. Thibos et al., Optom Vis Sci 1997;74:367.
    """
    s, c = np.asarray(sphere, float), np.asarray(cylinder, float)
    twice = 2.0 * np.radians(np.asarray(axis_deg, float))
    m, j0, j45 = np.broadcast_arrays(s + c / 2.0, -c / 2.0 * np.cos(twice), -c / 2.0 * np.sin(twice))
    return np.stack([m, j0, j45], axis=-1)


def from_vector(vector: npt.ArrayLike) -> Power:
    """The minus-form power of a vector (M, J0, J45), shape (3,), dioptres. Thibos et al. 1997."""
    m, j0, j45 = (float(v) for v in np.asarray(vector, float))
    half = math.hypot(j0, j45)
    if 2 * half < NO_CYLINDER_D:
        return Power(m)
    return Power(m + half, -2.0 * half, wrap_axis(math.degrees(math.atan2(j45, j0)) / 2.0))


def from_matrix(matrix: npt.ArrayLike) -> Power:
    """The minus-form power of a symmetric power matrix, shape (2, 2), dioptres. Long 1976.

    Raises `OpticsError` for a matrix that is not symmetric: no thin lens has one.
    """
    f = np.asarray(matrix, float)
    if f.shape != (2, 2) or not np.allclose(f, f.T, rtol=0.0, atol=1e-9):
        raise OpticsError("power matrix must be 2 by 2 and symmetric")
    return from_vector([(f[0, 0] + f[1, 1]) / 2.0, (f[0, 0] - f[1, 1]) / 2.0, f[0, 1]])


def blur(power: Power, other: Power) -> float:
    """Dioptric distance |u1 - u2| between two powers. Thibos et al. 1997."""
    return float(np.linalg.norm(power.vector - other.vector))


def added(power: Power, other: Power) -> Power:
    """Two thin lenses in contact, at any axes to one another (obliquely crossed cylinders)."""
    return from_vector(power.vector + other.vector)


_NUMBER = r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)"
_WRITTEN = re.compile(rf"^\s*({_NUMBER})\s*(?:/\s*({_NUMBER})\s*(?:[x×]\s*(\d+(?:\.\d+)?)\s*)?)?$")


def parse_power(written: str) -> Power:
    """Read "-2.25/-1.50x10", "+1.00", "0/-0.50x180"; keeps the form it was written in.

    Raises `OpticsError` naming the text and the shape wanted, or the value out of range.
    """
    text = written.replace("\N{MINUS SIGN}", "-").replace(",", ".")
    match = _WRITTEN.match(text)
    if match is None:
        raise OpticsError(f"power {written!r} cannot be read; write it as -2.25/-1.50x10 or +1.00")
    sphere, cylinder, axis = match.groups()
    if axis is not None and float(cylinder) == 0.0:
        raise OpticsError(
            f"power {written!r} has an axis and no cylinder; leave the axis out or give the cylinder"
        )
    return Power(float(sphere), float(cylinder or 0.0), None if axis is None else float(axis))

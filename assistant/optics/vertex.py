"""Vertex distance: what a lens must become when it is worn nearer to the eye, or further from it.

F' = F / (1 - d F) for each principal meridian, d in metres, positive when the lens moves towards the eye.
Textbook effectivity formula (from memory, sure); check values in tests/reference.
"""

from typing import Final

import numpy as np
import numpy.typing as npt

from assistant.optics.power import Floats, OpticsError, Power, require_range

LEAST_VERTEX_MM: Final = 0.0
MOST_VERTEX_MM: Final = 30.0


def moved(power_d: npt.ArrayLike, towards_eye_mm: npt.ArrayLike) -> Floats:
    """Meridian powers that do the same work after the lens moved `towards_eye_mm` nearer to the eye.

    Inputs broadcast; powers and result in dioptres, move in millimetres (negative: away from the eye).
    Raises `OpticsError` where the new place lies at or beyond the lens's own focus.
    """
    f, d = np.broadcast_arrays(np.asarray(power_d, float), np.asarray(towards_eye_mm, float) / 1000.0)
    if not (np.isfinite(f).all() and np.isfinite(d).all()):
        raise OpticsError("a power or a move is not a number; allowed are finite dioptres and millimetres")
    left_over = 1.0 - d * f
    if (left_over <= 0.0).any():
        worst = np.unravel_index(int(np.argmin(left_over)), left_over.shape)
        raise OpticsError(
            f"power {float(f[worst]):+.2f} D cannot be moved {1000 * float(d[worst]):g} mm towards the eye:"
            f" allowed is less than its focal length, {1000 / float(f[worst]):.1f} mm"
        )
    return np.asarray(f / left_over, float)


def moved_power(power: Power, from_mm: float, to_mm: float) -> Power:
    """The minus-form power needed at vertex distance `to_mm` for one refracted at `from_mm`; axis kept.

    Powers in dioptres, distances in millimetres from 0 to 30. Raises `OpticsError` for a distance outside
    that range or a lens moved past its focus.
    """
    require_range("refraction vertex distance", from_mm, LEAST_VERTEX_MM, MOST_VERTEX_MM, " mm")
    require_range("fitted vertex distance", to_mm, LEAST_VERTEX_MM, MOST_VERTEX_MM, " mm")
    form = power.minus_form
    sphere, across = (float(f) for f in moved(form.meridians, from_mm - to_mm))
    return Power(sphere, across - sphere, form.axis)

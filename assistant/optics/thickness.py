"""Centre and edge thickness from exact sags, to say which lens stands proud and where an edge is thin.

The form assumed: a spherical front of the kit's stock curve, made stronger where the lens needs it so that
the back is never bulging (`front_power_for`); the cylinder on the back, as a torus whose flatter meridian
is the big circle. Back surface power in each meridian F2 = F - F1 / (1 - t F1 / n), so that the back
vertex power is exactly F. Sag R - sqrt(R^2 - y^2), R = 1000 (n - 1) / F. Textbook (from memory, sure).

The centre is as thin as `least_centre_mm` allows and no edge is thinner than `least_edge_mm`.
"""

import math
from dataclasses import dataclass
from typing import Final

from assistant.optics.power import OpticsError, Power, require_range

LEAST_THICKNESS_MM: Final = 0.4
"""GOST R 51044-97 4.2.6, seen at ajdocs.ru/gsp/15232/10: no lens thinner than this anywhere."""
MOST_THICKNESS_MM: Final = 40.0
_SETTLED_MM: Final = 1e-10


@dataclass(frozen=True, slots=True)
class Thickness:
    centre_mm: float
    edge_mm: float


def sag_mm(surface_power_d: float, height_mm: float, index: float) -> float:
    """Depth of a spherical surface at `height_mm` from its axis, mm, with the sign of its power.

    Raises `OpticsError` where the surface is too steep to reach that height.
    """
    return _sag(_curvature(surface_power_d, index), height_mm)


def front_power_for(power: Power, stock_front_d: float) -> float:
    """Front surface power for a lens: the kit's stock curve, or the strongest plus meridian if that is more.

    Dioptres. With it the back surface is flat or hollow in every meridian.
    """
    require_range("front power", stock_front_d, 0.0, 25.0, " D")
    return max(stock_front_d, *power.meridians)


def centre_and_edge(
    meridian_d: float,
    diameter_mm: float,
    index: float,
    front_power_d: float,
    least_centre_mm: float,
    least_edge_mm: float,
) -> Thickness:
    """Centre and edge thickness, mm, along a meridian of back vertex power `meridian_d`.

    `front_power_d` is the front surface itself and must be at least the meridian's power. Raises
    `OpticsError` for that, for a floor under 0.4 mm, a surface too steep for the diameter, or a figure out
    of range.
    """
    _require_blank(diameter_mm, index, least_centre_mm, least_edge_mm)
    if meridian_d > front_power_d:
        raise OpticsError(
            f"front power {front_power_d:+.2f} D is too weak for a lens of {meridian_d:+.2f} D;"
            f" allowed is at least the lens's own power"
        )
    radius = diameter_mm / 2.0
    front_sag = sag_mm(front_power_d, radius, index)

    def edge_of(centre_mm: float) -> float:
        hollow = sag_mm(-_back_power(meridian_d, front_power_d, centre_mm, index), radius, index)
        return centre_mm - front_sag + hollow

    if edge_of(least_centre_mm) >= least_edge_mm:
        return Thickness(least_centre_mm, edge_of(least_centre_mm))
    centre = least_centre_mm
    # the back curve changes a little with the centre, so a few rounds settle it
    while abs(missing := least_edge_mm - edge_of(centre)) > _SETTLED_MM:
        centre = require_range("centre thickness", centre + missing, 0.0, MOST_THICKNESS_MM, " mm")
    return Thickness(centre, edge_of(centre))


def edge_thickness_mm(
    power: Power,
    bearing_deg: float,
    diameter_mm: float,
    index: float,
    front_power_d: float,
    least_centre_mm: float,
    least_edge_mm: float,
) -> float:
    """Edge thickness, mm, at a front-view bearing, the lens lying at its own axis.

    `front_power_d` is the kit's stock curve; `front_power_for` says what the lens gets. Raises as
    `centre_and_edge` does.
    """
    if not math.isfinite(bearing_deg):
        raise OpticsError(f"edge bearing is {bearing_deg:g}; allowed is any number of degrees")
    front = front_power_for(power, front_power_d)
    along, across = power.minus_form.meridians
    centre = centre_and_edge(along, diameter_mm, index, front, least_centre_mm, least_edge_mm).centre_mm
    radius = diameter_mm / 2.0
    turn = math.radians(bearing_deg - (power.minus_form.axis or 0.0))
    hollow = toric_sag_mm(
        -_back_power(along, front, centre, index),
        -_back_power(across, front, centre, index),
        (radius * math.cos(turn), radius * math.sin(turn)),
        index,
    )
    return centre - sag_mm(front, radius, index) + hollow


def toric_sag_mm(
    along_d: float, across_d: float, along_across_mm: tuple[float, float], index: float
) -> float:
    """Depth of a torus at a point given along and across its first principal meridian, mm.

    The flatter meridian is the big circle, the steeper one is swept along it; a flat one gives a cylinder.
    """
    surfaces = sorted(zip((along_d, across_d), along_across_mm, strict=True), key=lambda s: abs(s[0]))
    (flat_d, flat_mm), (steep_d, steep_mm) = surfaces
    flat = _curvature(flat_d, index)
    swept = _sag(_curvature(steep_d, index), steep_mm)
    under = (1.0 - flat * swept) ** 2 - (flat * flat_mm) ** 2
    if under <= 0.0:
        raise OpticsError(f"surface of {flat_d:+.2f} D is too steep to reach {abs(flat_mm):g} mm")
    return (2.0 * swept - flat * swept**2 + flat * flat_mm**2) / (1.0 + math.sqrt(under))


def _curvature(surface_power_d: float, index: float) -> float:
    """Per millimetre."""
    return surface_power_d / (1000.0 * (index - 1.0))


def _sag(curvature: float, height_mm: float) -> float:
    # R - sqrt(R^2 - y^2), written so that a flat surface needs no special case
    under = 1.0 - (curvature * height_mm) ** 2
    if under <= 0.0:
        raise OpticsError(
            f"surface of radius {1 / abs(curvature):.1f} mm is too steep to reach {abs(height_mm):g} mm"
            f" from its centre"
        )
    return curvature * height_mm**2 / (1.0 + math.sqrt(under))


def _back_power(meridian_d: float, front_power_d: float, centre_mm: float, index: float) -> float:
    return meridian_d - front_power_d / (1.0 - centre_mm / 1000.0 * front_power_d / index)


def _require_blank(diameter_mm: float, index: float, least_centre_mm: float, least_edge_mm: float) -> None:
    require_range("lens diameter", diameter_mm, 20.0, 90.0, " mm")
    require_range("refractive index", index, 1.4, 2.0)
    require_range("least centre thickness", least_centre_mm, LEAST_THICKNESS_MM, MOST_THICKNESS_MM, " mm")
    require_range("least edge thickness", least_edge_mm, LEAST_THICKNESS_MM, MOST_THICKNESS_MM, " mm")

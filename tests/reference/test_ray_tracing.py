"""The core against two independent libraries: a sequential ray tracer and a ray transfer matrix package.

optiland traces exact rays through real surfaces; raytracing multiplies ABCD matrices. Neither knows
Prentice's rule, the effectivity formula or a power matrix.
"""

import math
from typing import Any

import numpy as np
import pytest
from optiland.materials import IdealMaterial
from optiland.optic.optic import Optic
from raytracing import DielectricInterface, Lens, MatrixGroup, Space

from assistant.optics.power import Power, added, parse_power
from assistant.optics.prism import prism
from assistant.optics.thickness import centre_and_edge, front_power_for, sag_mm
from assistant.optics.vertex import moved

pytestmark = pytest.mark.filterwarnings("ignore::numba.core.errors.NumbaIRAssumptionWarning")

INDEX = 1.498
WAVELENGTH_UM = 0.5876
STOP_MM = 20.0
"""Entrance pupil of the traced lens; rays enter at a share of half of it."""
PARAXIAL = 1e-3
"""Rays a thousandth as far out have a millionth of the aberration."""


def spherical_lens(front_mm: float, back_mm: float, centre_mm: float, index: float = INDEX) -> Optic:
    return _traced(front_mm, centre_mm, index, {"radius": back_mm})


def toric_lens(front_mm: float, back_x_mm: float, back_y_mm: float, centre_mm: float) -> Optic:
    back = {"surface_type": "biconic", "radius_x": back_x_mm, "radius_y": back_y_mm}
    return _traced(front_mm, centre_mm, INDEX, back | {"conic_x": 0.0, "conic_y": 0.0})


def _traced(front_mm: float, centre_mm: float, index: float, back: dict[str, Any]) -> Optic:
    lens = Optic()
    lens.surfaces.add(index=0, thickness=np.inf)
    material = IdealMaterial(n=index)
    lens.surfaces.add(index=1, radius=front_mm, thickness=centre_mm, material=material, is_stop=True)
    lens.surfaces.add(index=2, thickness=50, **back)
    lens.surfaces.add(index=3)
    lens.set_aperture("EPD", STOP_MM)
    lens.fields.set_type("angle")
    lens.fields.add(y=0)
    lens.wavelengths.add(value=WAVELENGTH_UM, is_primary=True)
    return lens


def traced_back_vertex_power(lens: Optic) -> float:
    # F2 is told from the image surface, 50 mm behind the back vertex
    return 1000.0 / (50.0 + float(np.ravel(lens.paraxial.F2())[0]))


def traced_deviation(lens: Optic, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Deviation of a ray that enters straight at (x, y) mm, in prism dioptres: the base lies that way."""
    half = STOP_MM / 2
    lens.trace_generic(Hx=0, Hy=0, Px=x_mm / half, Py=y_mm / half, wavelength=WAVELENGTH_UM)
    rays = lens.surfaces
    along = np.ravel(rays.N[2])[0]
    return float(100 * np.ravel(rays.L[2])[0] / along), float(100 * np.ravel(rays.M[2])[0] / along)


def traced_prism(power: Power, pupil_mm: tuple[float, float], scale: float) -> tuple[float, float]:
    """Prism of a thin flat-fronted toric lens, traced in the lens's own principal directions."""
    along_d, across_d = power.meridians
    flat = 1e9

    def back(power_d: float) -> float:
        return -1000 * (INDEX - 1) / power_d if power_d else flat

    lens = toric_lens(flat, back(along_d), back(across_d), 1e-6)
    turn = math.radians(power.axis or 0.0)
    c, s = math.cos(turn), math.sin(turn)
    x, y = (v * scale for v in pupil_mm)
    u, v = traced_deviation(lens, c * x + s * y, -s * x + c * y)
    return (c * u - s * v) / scale, (s * u + c * v) / scale


def matrix_lens(front_mm: float, back_mm: float, centre_mm: float, index: float = INDEX) -> MatrixGroup:
    return MatrixGroup(
        [
            DielectricInterface(n1=1.0, n2=index, R=front_mm),
            Space(d=centre_mm, n=index),
            DielectricInterface(n1=index, n2=1.0, R=back_mm),
        ]
    )


def test_back_and_front_vertex_power_of_a_thick_lens() -> None:
    # Front +6, back -8, 2 mm thick: formula -1.951548, front vertex -1.915455; computed for this project.
    front, back = 498 / 6, 498 / 8
    assert traced_back_vertex_power(spherical_lens(front, back, 2.0)) == pytest.approx(-1.951548, abs=1e-6)
    by_matrix = matrix_lens(front, back, 2.0)
    assert 1000 / by_matrix.backFocalLength() == pytest.approx(-1.951548, abs=1e-6)
    assert 1000 / by_matrix.frontFocalLength() == pytest.approx(-1.915455, abs=1e-6)


@pytest.mark.parametrize("power_d", [-12.0, -6.0, -2.0, 0.25, 4.0, 9.0, 12.0])
@pytest.mark.parametrize(("diameter_mm", "index", "stock_d"), [(42.0, 1.498, 4.0), (40.0, 1.586, 6.0)])
def test_a_lens_ground_to_centre_and_edge_has_the_power(
    power_d: float, diameter_mm: float, index: float, stock_d: float
) -> None:
    front_d, radius = front_power_for(Power(power_d), stock_d), diameter_mm / 2
    made = centre_and_edge(power_d, diameter_mm, index, front_d, 2.0, 1.0)
    # only the two measured thicknesses and the front curve go in: the back sphere is worked back from them
    hollow = made.edge_mm - made.centre_mm + sag_mm(front_d, radius, index)
    front_mm, back_mm = 1000 * (index - 1) / front_d, (radius**2 + hollow**2) / (2 * hollow)
    traced = spherical_lens(front_mm, back_mm, made.centre_mm, index)
    assert traced_back_vertex_power(traced) == pytest.approx(power_d, abs=1e-6)
    by_matrix = matrix_lens(front_mm, back_mm, made.centre_mm, index)
    assert 1000 / by_matrix.backFocalLength() == pytest.approx(power_d, abs=1e-6)


@pytest.mark.parametrize("power_d", [-14.0, -10.0, -4.0, 4.0, 8.0, 14.0])
@pytest.mark.parametrize(("from_mm", "to_mm"), [(12, 0), (14, 10), (12, 14), (8, 13)])
def test_a_moved_lens_gives_the_eye_the_same_light(power_d: float, from_mm: float, to_mm: float) -> None:
    needed_d = float(moved(power_d, from_mm - to_mm))

    def vergence_at_the_eye(lens_d: float, distance_mm: float) -> float:
        path = MatrixGroup([Lens(f=1000 / lens_d), Space(d=distance_mm)])
        # a straight ray at height 1 arrives at height A with slope C
        return float(-1000 * path.C / path.A)

    assert vergence_at_the_eye(needed_d, to_mm) == pytest.approx(vergence_at_the_eye(power_d, from_mm))


ROWS = [
    ("-8.00", (-3.0, 0.0)),
    ("+6.00", (-2.0, -1.0)),
    ("+3.00/-1.50x30", (4.0, -5.0)),
    ("-5.00/-2.00x45", (3.0, -2.0)),
    ("+4.00/-2.00x180", (2.0, -8.0)),
    ("-2.00/-4.00x60", (0.0, -10.0)),
    ("0/-3.00x45", (5.0, 0.0)),
]
"""The Prentice table of test_prism_values.py."""


@pytest.mark.parametrize(("written", "pupil_mm"), ROWS)
def test_prism_of_the_matrix_is_the_prism_of_rays(written: str, pupil_mm: tuple[float, float]) -> None:
    power = parse_power(written)
    expected = prism(power, pupil_mm)
    assert traced_prism(power, pupil_mm, PARAXIAL) == pytest.approx(expected, abs=5e-5)
    # at full size a real thin lens bends a little more than Prentice says
    assert traced_prism(power, pupil_mm, 1.0) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(("front_d", "traced"), [(0.0, 2.4049), (2.0, 2.4027), (4.0, 2.4013)])
def test_prism_of_a_real_minus_lens(front_d: float, traced: float) -> None:
    # -8.00, 1.5 mm thick, ray at 3 mm; Prentice 2.400; the traced figures were computed for this project.
    back_d = -8.0 - front_d / (1 - 0.0015 * front_d / INDEX)
    front_mm = 498 / front_d if front_d else 1e9
    x, y = traced_deviation(spherical_lens(front_mm, -498 / back_d, 1.5), 0.0, 3.0)
    assert (x, y) == pytest.approx((0.0, traced), abs=1e-4)
    assert prism(Power(-8.0), (0.0, 3.0))[1] == pytest.approx(y, abs=0.005)


@pytest.mark.parametrize(
    ("one", "other"),
    [("0/+2.00x30", "0/+3.00x60"), ("-2.00/-1.00x10", "+0.50/-0.75x70"), ("0/+1.00x90", "0/+1.00x45")],
)
def test_crossed_cylinders_bend_rays_as_their_sum_does(one: str, other: str) -> None:
    a, b = parse_power(one), parse_power(other)
    for pupil_mm in ((3.0, 0.0), (0.0, 3.0), (2.0, -4.0)):
        each = np.add(traced_prism(a, pupil_mm, PARAXIAL), traced_prism(b, pupil_mm, PARAXIAL))
        assert tuple(each) == pytest.approx(traced_prism(added(a, b), pupil_mm, PARAXIAL), abs=5e-5)

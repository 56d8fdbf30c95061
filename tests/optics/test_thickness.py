import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.power import OpticsError, Power
from assistant.optics.thickness import (
    centre_and_edge,
    edge_thickness_mm,
    front_power_for,
    sag_mm,
    toric_sag_mm,
)

KITS = [(42.0, 1.498, 4.0, 1.8, 1.0), (40.0, 1.586, 5.0, 1.4, 0.8)]
"""Diameter, index, stock front, least centre, least edge."""
kits = st.sampled_from(KITS)
spheres = st.floats(-12, 12)
cylinders = st.floats(-3, -0.25)


@given(st.floats(-12, 12), st.floats(0, 21))
def test_sag_is_its_series(power_d: float, height_mm: float) -> None:
    c = power_d / 498.0
    series = sum(
        math.comb(2 * k, k) / (4.0**k) / (2 * k + 2) * c ** (2 * k + 1) * height_mm ** (2 * k + 2)
        for k in range(40)
    )
    assert sag_mm(power_d, height_mm, 1.498) == pytest.approx(series, rel=1e-9, abs=1e-12)


@given(st.floats(0.5, 12), st.floats(1, 20))
def test_sag_lies_on_the_sphere(power_d: float, height_mm: float) -> None:
    radius = 498.0 / power_d
    depth = sag_mm(power_d, height_mm, 1.498)
    assert (radius - depth) ** 2 + height_mm**2 == pytest.approx(radius**2)


@given(st.floats(-12, 12), st.floats(0, 360))
def test_a_torus_with_equal_meridians_is_a_sphere(power_d: float, bearing_deg: float) -> None:
    point = (20 * math.cos(math.radians(bearing_deg)), 20 * math.sin(math.radians(bearing_deg)))
    assert toric_sag_mm(power_d, power_d, point, 1.5) == pytest.approx(sag_mm(power_d, 20, 1.5), abs=1e-9)


@given(st.floats(0.5, 8), st.floats(0.5, 8), st.floats(0, 90))
def test_a_torus_point_lies_on_the_swept_circle(one: float, other: float, bearing_deg: float) -> None:
    x, y = 20 * math.cos(math.radians(bearing_deg)), 20 * math.sin(math.radians(bearing_deg))
    depth = toric_sag_mm(one, other, (x, y), 1.5)
    (big, u), (small, v) = sorted([(500 / one, x), (500 / other, y)], reverse=True)
    # implicit torus: the tube's centre runs on a circle of big - small about (0, big)
    ring = math.hypot(big - depth, u)
    assert (ring - (big - small)) ** 2 + v**2 == pytest.approx(small**2, rel=1e-9)


@given(kits, spheres)
def test_floors_hold_and_one_is_reached(kit: tuple[float, ...], sphere: float) -> None:
    diameter, index, stock, least_centre, least_edge = kit
    front = front_power_for(Power(sphere), stock)
    found = centre_and_edge(sphere, diameter, index, front, least_centre, least_edge)
    assert found.centre_mm >= least_centre - 1e-9
    assert found.edge_mm >= least_edge - 1e-9
    assert min(found.centre_mm - least_centre, found.edge_mm - least_edge) == pytest.approx(0, abs=1e-9)


@given(kits, spheres, cylinders, st.floats(1, 180), st.floats(0, 360))
def test_the_edge_of_a_toric_lens(
    kit: tuple[float, ...], sphere: float, cylinder: float, axis: float, bearing: float
) -> None:
    diameter, index, stock, least_centre, least_edge = kit
    power = Power(sphere, cylinder, axis)

    def edge(at_deg: float) -> float:
        return edge_thickness_mm(power, at_deg, diameter, index, stock, least_centre, least_edge)

    thin, thick = edge(axis), edge(axis + 90)
    assert least_edge - 1e-9 <= thin < thick
    assert thin - 1e-9 <= edge(bearing) <= thick + 1e-9
    assert edge(bearing) == pytest.approx(edge(bearing + 180), abs=1e-9)
    assert edge(2 * axis - bearing) == pytest.approx(edge(bearing), abs=1e-9)


@pytest.mark.parametrize(("diameter", "index", "stock", "centre", "edge"), KITS)
def test_along_a_principal_meridian_the_toric_edge_is_the_meridian_edge(
    diameter: float, index: float, stock: float, centre: float, edge: float
) -> None:
    power = Power(-4.0, -2.0, 30)
    across = edge_thickness_mm(power, 120, diameter, index, stock, centre, edge)
    assert across == pytest.approx(centre_and_edge(-6.0, diameter, index, stock, centre, edge).edge_mm)


def test_more_minus_is_a_thicker_edge_and_more_plus_a_thicker_centre() -> None:
    edges = [centre_and_edge(f, 42, 1.498, 4, 1.8, 1.0).edge_mm for f in np.arange(-2, -12.1, -1)]
    centres = [centre_and_edge(f, 42, 1.498, f, 1.8, 1.0).centre_mm for f in np.arange(5, 14.1, 1)]
    assert edges == sorted(edges)
    assert centres == sorted(centres)


def test_both_forms_are_one_lens() -> None:
    power = Power(3, -2, 20)
    assert edge_thickness_mm(power, 75, 42, 1.498, 4, 1.8, 1) == pytest.approx(
        edge_thickness_mm(power.transposed, 75, 42, 1.498, 4, 1.8, 1)
    )


@pytest.mark.parametrize(
    ("told", "meridian", "diameter", "index", "front", "centre", "edge"),
    [
        ("front power \\+4.00 D is too weak", 6.0, 42, 1.5, 4.0, 1.8, 1.0),
        ("lens diameter is 10 mm; allowed is 20 to 90 mm", -1.0, 10, 1.5, 4.0, 1.8, 1.0),
        ("refractive index is 1", -1.0, 42, 1.0, 4.0, 1.8, 1.0),
        ("least centre thickness is 0.3 mm", -1.0, 42, 1.5, 4.0, 0.3, 1.0),
        ("least edge thickness is 0 mm", -1.0, 42, 1.5, 4.0, 1.8, 0.0),
        ("too steep", -1.0, 70, 1.5, 16.0, 1.8, 1.0),
        ("too steep", -20.0, 70, 1.5, 4.0, 1.8, 1.0),
    ],
)
def test_bad_input_is_named(
    told: str, meridian: float, diameter: float, index: float, front: float, centre: float, edge: float
) -> None:
    with pytest.raises(OpticsError, match=told):
        centre_and_edge(meridian, diameter, index, front, centre, edge)


def test_a_bearing_is_a_number_and_a_front_is_not_hollow() -> None:
    with pytest.raises(OpticsError, match="edge bearing is nan"):
        edge_thickness_mm(Power(-1), math.nan, 42, 1.5, 4, 1.8, 1)
    with pytest.raises(OpticsError, match="front power is -1 D"):
        edge_thickness_mm(Power(-1), 0, 42, 1.5, -1, 1.8, 1)
    with pytest.raises(OpticsError, match="too steep"):
        toric_sag_mm(-15, -16, (35, 0), 1.5)

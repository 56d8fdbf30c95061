"""Sags, edges and centres; values computed for this project by an independent script."""

import pytest

from assistant.optics.thickness import centre_and_edge, sag_mm

DIAMETERS_MM = (40.0, 50.0, 60.0, 70.0)


@pytest.mark.parametrize(
    ("height_mm", "exact_mm", "rough_mm"),
    [(20, 2.4457, 2.4096), (25, 3.8546, 3.7651), (30, 5.6114, 5.4217), (35, 7.7404, 7.3795)],
)
def test_sag_of_a_radius_of_83(height_mm: float, exact_mm: float, rough_mm: float) -> None:
    assert sag_mm(498 / 83, height_mm, 1.498) == pytest.approx(exact_mm, abs=5e-5)
    assert height_mm**2 / (2 * 83) == pytest.approx(rough_mm, abs=5e-5)


# Index 1.498 (ophthalmiclenses blog, seen). Centre 2.0 for minus, edge 1.0 for plus: from memory.
@pytest.mark.parametrize(
    ("power_d", "front_d", "edges_mm"),
    [
        (-6, 2, (4.498, 5.986, 7.898, 10.308)),
        (-6, 0, (4.446, 5.855, 7.611, 9.740)),
        (-10, 2, (6.335, 9.122, 13.020, 18.745)),
    ],
)
def test_minus_edges(power_d: float, front_d: float, edges_mm: tuple[float, ...]) -> None:
    for diameter, edge in zip(DIAMETERS_MM, edges_mm, strict=True):
        found = centre_and_edge(power_d, diameter, 1.498, front_d, 2.0, 1.0)
        assert found.centre_mm == 2.0
        assert found.edge_mm == pytest.approx(edge, abs=6e-4)


@pytest.mark.parametrize(
    ("power_d", "front_d", "centres_mm"),
    [
        (6, 9, (3.454, 4.902, 6.751, 9.079)),
        (10, 12, (5.125, 7.622, 10.949, 15.559)),
        (10, 10, (5.052, 7.404, 10.377, 14.094)),
    ],
)
def test_plus_centres(power_d: float, front_d: float, centres_mm: tuple[float, ...]) -> None:
    for diameter, centre in zip(DIAMETERS_MM, centres_mm, strict=True):
        found = centre_and_edge(power_d, diameter, 1.498, front_d, 0.4, 1.0)
        assert found.edge_mm == pytest.approx(1.0, abs=1e-9)
        assert found.centre_mm == pytest.approx(centre, abs=6e-4)

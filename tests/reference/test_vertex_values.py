"""Vertex distance. Values computed for this project by an independent script, unless said otherwise."""

import pytest

from assistant.optics.power import parse_power
from assistant.optics.vertex import moved, moved_power


@pytest.mark.parametrize(
    ("power_d", "from_mm", "to_mm", "needed_d"),
    [
        (-10, 12, 0, -8.9286),
        (10, 12, 0, 11.3636),
        (12, 14, 10, 12.6050),
        (-12, 14, 10, -11.4504),
        (-10, 12, 14, -10.2041),
        (8, 12, 8, 8.2645),
        (-4, 12, 0, -3.8168),
        (4, 12, 0, 4.2017),
        (-20, 12, 0, -16.129),
        (13, 12, 0, 15.4028),
    ],
)
def test_spheres(power_d: float, from_mm: float, to_mm: float, needed_d: float) -> None:
    assert float(moved(power_d, from_mm - to_mm)) == pytest.approx(needed_d, abs=5e-5)


def test_a_published_table() -> None:
    # optometry.fans (seen): +13.00 at 12 mm is +15.50 at the eye, rounded to quarter steps.
    assert round(float(moved(13, 12)) * 4) / 4 == 15.50


@pytest.mark.parametrize(
    ("written", "from_mm", "to_mm", "sphere", "cylinder", "axis"),
    [
        ("-8.00/-4.00x180", 12, 0, -7.2993, -3.1902, 180),
        ("+13.00/-2.00x90", 12, 0, 15.4028, -2.7300, 90),
        ("-10.00/-3.00x90", 12, 14, -10.2041, -3.1429, 90),
        ("+12.00/-3.00x20", 14, 10, 12.6050, -3.2689, 20),
    ],
)
def test_each_meridian(
    written: str, from_mm: float, to_mm: float, sphere: float, cylinder: float, axis: float
) -> None:
    needed = moved_power(parse_power(written), from_mm, to_mm)
    assert needed.sphere == pytest.approx(sphere, abs=5e-5)
    assert needed.cylinder == pytest.approx(cylinder, abs=1e-4)
    assert needed.axis == axis

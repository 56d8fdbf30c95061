"""Orders of invented people, seeded, for practice and proof.

Pupils: 63.4 +/- 3.8 mm (US Army, n = 3976; from memory). Powers: mostly weak, some strong, so that every part
of a bank is used; the shape is assumed, since no table of powers worn was found.
"""

from random import Random
from typing import Final

from assistant.kit.profile import Kit
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import Power

PUPILS_MM: Final = (63.4, 3.8)
PUPILS_ALLOWED_MM: Final = (54.0, 74.0)
BETWEEN_EYES_D: Final = 0.5
AXIS_MIRROR_DEG: Final = 8.0


def person(kit: Kit, chance: Random, case: str) -> Order:
    """One person's order, in quarter dioptres, within the kit's bank; both eyes alike as eyes mostly are."""
    low, high = kit.limits.sphere_range_d
    sphere = _quarters(max(low / 2.0, min(high / 2.0, chance.gauss(-0.75, 2.5))))
    cylinder = _cylinder(kit, chance)
    other = _quarters(sphere + chance.gauss(0.0, BETWEEN_EYES_D))
    axis = chance.choice((0.0, 90.0)) + chance.gauss(0.0, 20.0)
    right = _power(sphere, cylinder, axis)
    fellow = _quarters(min(0.0, max(kit.limits.strongest_cylinder_d, cylinder + chance.gauss(0.0, 0.25))))
    left = _power(other, fellow, 180.0 - axis + chance.gauss(0.0, AXIS_MIRROR_DEG))
    pupils = round(min(max(chance.gauss(*PUPILS_MM), PUPILS_ALLOWED_MM[0]), PUPILS_ALLOWED_MM[1]))
    return Order(EyeOrder(right), EyeOrder(left), pd_mm=float(pupils), case=case)


def _cylinder(kit: Kit, chance: Random) -> float:
    """None for a fifth of people, else weaker ones more often than strong ones."""
    if chance.random() < 0.2:
        return 0.0
    return _quarters(max(kit.limits.strongest_cylinder_d, -0.5 - chance.expovariate(1.0)))


def _power(sphere: float, cylinder: float, axis: float) -> Power:
    return Power(sphere, cylinder, float(round(axis) % 180 or 180) if cylinder else None)


def _quarters(value: float) -> float:
    return round(value * 4.0) / 4.0

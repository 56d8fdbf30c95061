"""How the demonstration bank was spread: `python -m assistant.kit.spread` prints its bank.csv.

No table of how often each power is needed was to be found, so the bank is modelled. Mean powers fall off
on both sides as two exponentials, a steep one for most people and a shallow one for the strong lenses that a
normal curve would leave out (Bangladesh, 11,624 people: 1.8 % beyond -5 D, a normal curve predicts 0.07 %;
Bourne 2004); a rise at +1 to +3 D is for reading. Cylinders fall off as one exponential (Andhra Pradesh:
37.6 % over 0.50 D). Counts go with the square root of the need, which keeps the rare powers in stock; every
sphere in quarter steps has a pocket. The rates of fall are our own reading of those figures, not published.
"""

import csv
import sys
from io import StringIO
from typing import Final

import numpy as np

from assistant.kit.bank_file import COLUMNS
from assistant.optics.power import Floats

LENSES: Final = 960
STRONGEST_SPHERE_D: Final = 12.0
STRONGEST_CYLINDER_D: Final = -3.0
STEP_D: Final = 0.25
COMMONEST_MEAN_D: Final = -0.5
CHECK_NUMBER_STRIDE: Final = 37
"""Shares no factor with 100, so that a hundred pockets in a row have a hundred check numbers."""


def need(sphere: Floats, cylinder: Floats) -> Floats:
    """Relative need for minus-cylinder lenses, arrays (...), dioptres in; see the module for its sources."""
    mean = sphere + cylinder / 2.0
    away = np.abs(mean - COMMONEST_MEAN_D)
    distance = 0.95 * np.exp(-away / 1.6) + 0.05 * np.exp(-away / 2.5)
    reading = 0.5 * np.exp(-(((mean - 2.0) / 0.9) ** 2)) * (cylinder == 0.0)
    return np.asarray((distance + reading) * np.exp(cylinder / 0.8))


def spread_counts() -> list[tuple[float, float, int]]:
    """(sphere, cylinder, count) of every pocket, weakest need left out; the counts add up to `LENSES`."""
    spheres = np.arange(-STRONGEST_SPHERE_D, STRONGEST_SPHERE_D + STEP_D / 2, STEP_D)
    cylinders = np.arange(0.0, STRONGEST_CYLINDER_D - STEP_D / 2, -STEP_D)
    sphere, cylinder = (grid.ravel() for grid in np.meshgrid(spheres, cylinders, indexing="ij"))
    inside = sphere + cylinder >= -STRONGEST_SPHERE_D
    sphere, cylinder = sphere[inside], cylinder[inside]
    weight = np.sqrt(need(sphere, cylinder))
    least = (cylinder == 0.0).astype(int)
    low, high = 0.0, float(LENSES)
    for _ in range(100):
        scale = (low + high) / 2.0
        total = int(np.maximum(np.round(scale * weight), least).sum())
        low, high = (scale, high) if total < LENSES else (low, scale)
    count = np.maximum(np.round(high * weight).astype(int), least)
    # the last few lenses over the total come off the fullest pockets
    for row in np.argsort(-count, kind="stable")[: int(count.sum()) - LENSES]:
        count[row] -= 1
    return [(float(s), float(c), int(n)) for s, c, n in zip(sphere, cylinder, count, strict=True) if n]


def bank_csv() -> str:
    """The bank as CSV text: pockets from the strongest minus to the strongest plus, by cylinder within."""
    text = StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(COLUMNS)
    for pocket, (sphere, cylinder, count) in enumerate(spread_counts(), start=1):
        check_number = f"{(pocket * CHECK_NUMBER_STRIDE + 11) % 100:02d}"
        out.writerow((f"{sphere:+.2f}", f"{cylinder:.2f}", count, pocket, check_number))
    return text.getvalue()


if __name__ == "__main__":
    sys.stdout.write(bank_csv())
